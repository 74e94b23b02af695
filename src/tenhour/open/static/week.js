// This week: what to do, ticked off into the log.

import { choice, dateText, field, h, isoToday, put } from "./dom.js";
import { answer, load, send, store, tell } from "./house-file.js";
import { cautionsOf, dates, tablesOf, within } from "./parts.js";

export function week() {
  const now = h("div", { className: "answer" });
  const element = h("div", { className: "screen" }, h("h2", {}, "This week"), now);
  let version = null;
  const crop = (key) => store.words.crops.find((one) => one.key === key)?.name ?? key;

  let place = -1; // of the button pressed last: the one that stands there next is given the focus

  async function log(words, button) {
    place = [...now.querySelectorAll("button")].indexOf(button);
    button.disabled = true;
    try {
      await send("log", { words });
      version = null;
      await load();
    } catch (error) {
      tell(error.message.split("\n"));
      button.disabled = false;
    }
  }

  const tick = (label, words) => {
    const button = h("button", { type: "button", className: "tick", onclick: () => log(words, button) }, label);
    return button;
  };

  function sowing(one) {
    const when = one.ready_from ? `, ready ${dateText(one.ready_from)} to ${dateText(one.ready_to)}` : "";
    const out = one.set_out ? `, ${one.where}, set out about ${dateText(one.set_out)}` : "";
    return h("li", {}, h("b", {}, crop(one.crop)), ` on ${one.bed}${out}${when} `, tick("Sown", { what: "sown", crop: one.crop, bed: one.bed }));
  }

  function standing(one) {
    const ready = one.ready_from ? `ready ${dateText(one.ready_from)} to ${dateText(one.ready_to)}` : "";
    return h("li", {}, h("b", {}, crop(one.crop)), `${one.bed ? ` on ${one.bed}` : ""}, sown ${dateText(one.sown)}. ${ready} `,
      tick("Harvested", { what: "harvested", crop: one.crop, bed: one.bed ?? "" }), " ", tick("Cleared", { what: "cleared", crop: one.crop, bed: one.bed ?? "" }));
  }

  function noting() {
    const what = { what: "sown", crop: store.words.crops[0].key, bed: store.file.house.beds[0].name };
    const day = h("input", { type: "date", value: isoToday(), max: isoToday() });
    const button = h("button", { type: "button", onclick: () => log({ ...what, on: day.value }, button) }, "Write it into the log");
    return h("details", {}, h("summary", {}, "Something else was done"), h("div", { className: "fields" },
      field("What", choice(store.words.whats.map((w) => [w, w]), what.what, (v) => { what.what = v; })),
      field("Crop", choice(store.words.crops.map((c) => [c.key, c.name]), what.crop, (v) => { what.crop = v; })),
      field("Bed", choice(store.file.house.beds.map((b) => [b.name, b.name]), what.bed, (v) => { what.bed = v; })),
      field("Day", day)), button);
  }

  async function fresh() {
    const told = await within(now, "Growing every crop on every bed…", () => answer("week", { dates: dates() }));
    if (!told) return;
    const { json } = told;
    put(now, h("div", { className: "today" }, json.sow.length ? h("p", {}, "Sow now:") : h("p", {}, "Nothing to sow on the beds this week."), h("ul", { className: "jobs" }, json.sow.map(sowing))),
      json.stands.length ? [h("h3", {}, "What stands"), h("ul", { className: "jobs" }, json.stands.map(standing))] : null,
      h("h3", {}, "Warmth and water"), h("p", {}, json.warmth), h("p", {}, json.care),
      json.later.length ? [h("h3", {}, "Not yet; at full size worth it from"), h("ul", {}, json.later.map((one) => h("li", {}, `${dateText(one.date)}: ${crop(one.crop)} on ${one.bed}`)))] : null,
      noting(), tablesOf(told.html, "All numbers of this week"), cautionsOf(told.cautions));
    if (place >= 0 && document.activeElement === document.body) now.querySelectorAll("button")[place]?.focus();
    place = -1;
    element.dataset.answered = store.file.version;
  }

  return {
    element,
    update() {
      if (version === store.file.version) return;
      version = store.file.version;
      fresh();
    },
  };
}
