// Plan: the household's meals week by week, what to do this week, what stays missing; and the year of every bed.

import { choice, dateText, field, h, isoToday, put } from "./dom.js";
import { answer, load, send, store, tell } from "./house-file.js";
import { cautionsOf, dates, picturesOf, printed, tablesOf, within } from "./parts.js";

const SECONDS = "20";
/** What a job is called in the log; what is bought is not logged. */
const LOGGED = { sow: "sown", raise: "sown", outdoors: "sown", trays: "sown", "set-out": "set-out", "move-in": "set-out", pick: "harvested", clear: "cleared" };
const last = { version: null, told: null, done: new Set() };
const wanted = { people: "", seconds: SECONDS, step: "" };
const count = (v) => (Math.abs(v - Math.round(v)) < 0.05 ? v.toFixed(0) : v.toFixed(1));

/** The Monday of a day's week, and days on from a date. */
const daysOn = (iso, days) => {
  const at = new Date(`${iso}T12:00:00Z`);
  at.setUTCDate(at.getUTCDate() + days);
  return at.toISOString().slice(0, 10);
};
const monday = (iso) => daysOn(iso, -((new Date(`${iso}T12:00:00Z`).getUTCDay() + 6) % 7));

export function plan() {
  const form = h("div", { className: "fields" }), found = h("div", { className: "answer" }), year = h("div", {});
  const element = h("div", { className: "screen" }, h("h2", {}, "Plan"),
    h("p", { className: "quiet how" }, "What to sow where and when, so that every week has its meals. The wishes of the household stand in the house file, under [household]; without them sensible ones of two people stand in."),
    form, h("button", { type: "button", className: "main-button", onclick: fresh }, "Plan the weeks"), found,
    h("h3", {}, "The year of every bed"), h("p", { className: "quiet how" }, "Every crop by itself: what to sow, set out and take, with its dates."),
    h("button", { type: "button", onclick: ahead }, "Show the year ahead"), year);

  async function fresh() {
    const words = { dates: dates(), pictures: true, seconds_s: wanted.seconds, step_weeks: wanted.step };
    if (wanted.people.trim()) words.people_count = wanted.people;
    const told = await within(found, "Searching for the best plan and for what would mend it: a minute or two. The other screens can be used meanwhile…", () => answer("feed", words));
    if (!told) return;
    Object.assign(last, { version: store.file.version, told, done: new Set() });
    show();
  }

  function show() {
    const { json, text, html, pictures, cautions } = last.told;
    const from = monday(isoToday()), to = daysOn(from, 7);
    const jobs = json.jobs.filter((job) => job.on >= from && job.on < to);
    const now = json.weeks.find((week) => week.start === from);
    const later = json.jobs.filter((job) => job.on >= to && job.do !== "buy");
    put(found, h("p", { className: "today" }, text.split("\n\n", 1)[0].replace(/\s+/g, " ")),
      h("h3", {}, "This week"), jobs.length ? h("ul", { className: "jobs" }, jobs.map((job) => h("li", {}, job.text, " ", tick(job)))) : h("p", {}, "Nothing to sow, set out or clear."),
      h("p", {}, now?.eat.length ? `To eat: ${now.eat.map((one) => `${nameOf(one.crop)} from ${one.bed}`).join(", ")}.` : "Nothing to eat from the beds yet."),
      h("h3", {}, "Meals by week"), picturesOf(pictures.slice(0, 2)), meals(json),
      h("h3", {}, "What stays missing"), gaps(json),
      h("h3", {}, "The beds by week"), picturesOf(pictures.slice(2)),
      later.length ? h("details", {}, h("summary", {}, "What to do in the weeks after"), h("ul", {}, later.map((job) => h("li", {}, `${dateText(job.on)}: ${job.text}`)))) : null,
      h("div", { className: "buttons" }, h("button", { type: "button", onclick: keep }, "Keep this plan")),
      h("p", { className: "hint" }, "It is kept in plan.json beside the house file; the next plan changes no more of it than it must."),
      printed(text), tablesOf(html, "All tables: sowings, trays, seed, jobs"), cautionsOf(cautions));
    element.dataset.answered = last.version;
  }

  const nameOf = (key) => store.words.crops.find((one) => one.key === key)?.name ?? key;
  const wishesOf = (json) => [...new Set(json.weeks.flatMap((week) => week.wishes.map((wish) => wish.wish)))];

  function meals(json) {
    const wishes = wishesOf(json);
    const cell = (week, name) => {
      const wish = week.wishes.find((one) => one.wish === name);
      if (!wish || !(wish.wanted_count > 0)) return h("td", { className: "n" }, "–");
      const short = wish.there_count < wish.wanted_count - 0.05;
      return h("td", { className: short ? "n short" : "n" }, `${count(wish.there_count)} of ${count(wish.wanted_count)}`);
    };
    return h("details", {}, h("summary", {}, "Portions there and wanted, week by week"), h("div", { className: "scroll", tabIndex: 0, role: "region", "aria-label": "Portions by week" }, h("table", {},
      h("caption", {}, "Portions there, of those wanted."),
      h("thead", {}, h("tr", {}, ["week of", ...wishes].map((t) => h("th", { scope: "col" }, t)))),
      h("tbody", {}, json.weeks.map((week) => h("tr", {}, h("th", { scope: "row" }, dateText(week.start)), wishes.map((name) => cell(week, name))))))));
  }

  function gaps(json) {
    if (!json.missing.length) return h("p", {}, "Nothing: every week has the portions it wants.");
    const wishes = wishesOf(json).map((name) => [name, json.missing.filter((one) => one.wish === name)]).filter(([, rows]) => rows.length);
    const said = wishes.map(([name, rows]) => {
      const worst = rows.reduce((a, b) => (b.missing_count > a.missing_count ? b : a));
      return h("li", {}, h("b", {}, name), `: ${rows.length === 1 ? "one week" : `${rows.length} weeks`}, worst in the week of ${dateText(worst.start)}, ${count(worst.missing_count)} of ${count(worst.wanted_count)} portions`);
    });
    return h("div", {}, h("ul", {}, said), json.remedies.length ? [h("h4", {}, "What would close it"), h("ul", {}, json.remedies.map((one) => h("li", {}, one.text)))] : null);
  }

  /** A button that writes a job into the log, with the ground or the plants it takes. */
  function tick(job) {
    const what = LOGGED[job.do];
    if (!what) return null;
    const key = [job.on, job.do, job.crop, job.bed].join();
    const label = { sown: "Sown", "set-out": "Set out", harvested: "Harvested", cleared: "Cleared" }[what];
    if (last.done.has(key)) return h("span", { className: "quiet" }, `(${label.toLowerCase()}, in the log)`);
    const { sowings, trays } = last.told.json;
    const own = (list) => list.find((one) => one.crop === job.crop && one.bed === job.bed && (one.moved ? one.set_out : one.sow) === job.sow);
    const words = { what, crop: job.crop, bed: job.do === "outdoors" ? "" : job.bed ?? "" };
    const ground = own(sowings) ?? own(trays);
    if (ground && (what === "sown" || job.do === "move-in")) Object.assign(words, { area_m2: ground.area_m2, plants_count: ground.plants_count ?? null });
    const button = h("button", { type: "button", className: "tick", onclick: async () => {
      button.disabled = true;
      try {
        await send("log", { words });
        last.done.add(key);
        await load();
        const place = [...found.querySelectorAll(".tick")].indexOf(button), held = [document.body, button].includes(document.activeElement);
        show();
        if (held) found.querySelectorAll(".tick")[Math.max(0, place)]?.focus();
      } catch (error) {
        tell(error.message.split("\n"));
        button.disabled = false;
      }
    } }, label);
    return button;
  }

  async function keep() {
    try {
      const { kept } = await send("keep-plan", {});
      await load();
      tell([`The plan is kept in ${kept}; Undo takes that back.`]);
    } catch (error) { tell(error.message.split("\n")); }
  }

  async function ahead() {
    const told = await within(year, "A year of every crop on every bed…", () => answer("season", { dates: dates() }));
    if (!told) return;
    const tasks = [...told.json.tasks].sort((a, b) => (a.date < b.date ? -1 : 1));
    put(year, h("div", { className: "months" }, tasks.length ? h("ul", {}, tasks.map((task) => h("li", {}, `${dateText(task.date)}, ${task.bed}: ${task.text}`))) : h("p", {}, "Nothing is planned in the year ahead.")),
      tablesOf(told.html, "All tables of the year"));
  }

  return {
    element,
    update() {
      if (!form.children.length) {
        const people = h("input", { type: "text", inputMode: "numeric", size: 4, value: wanted.people, oninput: () => { wanted.people = people.value; } });
        const seconds = h("input", { type: "text", inputMode: "numeric", size: 4, value: wanted.seconds, oninput: () => { wanted.seconds = seconds.value.trim() || SECONDS; } });
        put(form, field("People", people, "Left empty: those of the house file."), field("Seconds to search", seconds, "Longer finds better plans."),
          field("Sowings offered", choice([["", "as many as suit the beds"], ["1", "every week"], ["2", "every second week"]], wanted.step, (value) => { wanted.step = value; }), "Fewer are planned quicker."));
      }
      if (last.version === store.file.version && last.told) {
        if (!found.children.length) show();
      } else if (last.version !== null) {
        last.version = null;
        put(found, h("p", { className: "quiet" }, "The house has changed since it was planned: plan anew."));
        delete element.dataset.answered;
      }
    },
  };
}
