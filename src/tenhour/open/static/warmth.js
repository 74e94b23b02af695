// Warmth: the nights by month, and the floor the heater keeps, dragged; what that costs in heat, wood and money.

import { allMonths, ARROWS, degc, field, figures, h, isUs, monthLetter, monthText, narrow, put, s, temp, tempText } from "./dom.js";
import { answer, change, store } from "./house-file.js";
import { cautionsOf, dates, picturesOf, tablesOf, within } from "./parts.js";

const [H, LEFT, TOP, BOTTOM] = [300, 46, 14, 34];
const WIDE = 720, PHONE = 360;
const [LOWEST, HIGHEST] = [-10, 24];
const STEP_DEGC = 0.5;

export function warmth() {
  const chart = h("div", {}), sums = h("div", { className: "sums", role: "status" }), more = h("div", {}), fields = h("div", { className: "fields" });
  const element = h("div", { className: "screen" }, h("h2", {}, "Warmth"),
    h("p", { className: "quiet" }, "Each month's nights in the house: the bar reaches from the coldest hour of an ordinary winter to the mean of the nights, grey where it freezes. Drag the line to the floor the heater shall keep."),
    h("div", { className: "scroll", tabIndex: 0, role: "region", "aria-label": "Nights by month" }, chart), sums, fields, more);
  let json = null, wanted = null, version = null, busy = false, next = null;
  const house = () => store.file.house;
  const floor = () => wanted ?? house().night_set_degc;

  const edits = (warm) => {
    const set = [{ do: "set", path: ["air", "night_set_degc"], value: isUs() && typeof warm === "number" ? `${tempText(warm)}` : warm }];
    if ((house().day_set_degc ?? -99) < warm) set.push({ do: "set", path: ["air", "day_set_degc"], value: set[0].value });
    return set;
  };
  const unheated = () => ["night_set_degc", "day_set_degc"].filter((key) => house()[key] !== null).map((key) => ({ do: "remove", path: ["air", key] }));

  const y = (degc) => TOP + (HIGHEST - degc) / (HIGHEST - LOWEST) * (H - TOP - BOTTOM);
  const degcAt = (py) => HIGHEST - (py - TOP) / (H - TOP - BOTTOM) * (HIGHEST - LOWEST);

  function draw() {
    const W = narrow() ? PHONE : WIDE;
    const svg = s("svg", { viewBox: `0 0 ${W} ${H}`, class: "plan-drawing warmth-drawing", role: "group", "aria-label": "Nights by month" });
    const wide = (W - LEFT) / 12;
    for (let degc = LOWEST; degc <= HIGHEST; degc += 5) svg.append(s("line", { class: "hair", x1: LEFT, x2: W, y1: y(degc), y2: y(degc) }),
      s("text", { class: "quiet-text", x: 0, y: y(degc) + 5, "font-size": 14 }, temp(degc)));
    const clamp = (v) => Math.min(HIGHEST, Math.max(LOWEST, v));
    for (const month of allMonths()) {
      const x = LEFT + (month - 1) * wide;
      svg.append(s("text", { class: "quiet-text mid", x: x + wide / 2, y: H - 10, "font-size": 14 }, narrow() ? monthLetter(month) : monthText(month)));
      const row = json?.months[month - 1];
      if (!row) continue;
      const [low, high] = [clamp(row.lowest_degc), clamp(Math.max(row.night_degc, row.lowest_degc + 0.4))];
      svg.append(s("rect", { class: row.lowest_degc < 0 ? "frost" : "mild", x: x + wide * 0.2, y: y(high), width: wide * 0.6, height: y(low) - y(high) },
        s("title", {}, `${monthText(month)}: nights ${temp(row.night_degc)}, coldest ${temp(row.lowest_degc)}`)));
    }
    /** The middle of the three months whose bars leave most room for the word on the line. */
    const freeAt = () => {
      const clear = (month) => { const row = json?.months[month - 1]; return row ? row.lowest_degc - (floor() ?? LOWEST) : 0; };
      const best = allMonths().slice(1, -1).reduce((a, b) => (Math.min(clear(b - 1), clear(b), clear(b + 1)) > Math.min(clear(a - 1), clear(a), clear(a + 1)) ? b : a), 11);
      return LEFT + (best - 0.5) * wide;
    };
    const set = floor() !== null;
    const at = set ? floor() : LOWEST;
    const line = s("g", { class: "floor-line", tabindex: 0, role: "slider", "aria-label": "Floor the heater keeps at night", "aria-valuemin": LOWEST, "aria-valuemax": HIGHEST,
      "aria-valuenow": at, "aria-valuetext": set ? temp(at) : "unheated" },
    s("rect", { class: "grip", x: LEFT, y: -14, width: W - LEFT, height: 28 }), s("line", { class: "arrow", x1: LEFT, x2: W, y1: 0, y2: 0 }),
    s("text", { class: "ink-text haloed mid", x: freeAt(), y: -7, "font-size": 15 }, set ? `floor ${temp(at)}` : "unheated: drag up to heat"));
    const place = (degc) => { line.setAttribute("transform", `translate(0 ${y(degc)})`); };
    place(at);
    const held = (degc) => Math.min(20, Math.max(LOWEST, Math.round(degc / STEP_DEGC) * STEP_DEGC));
    line.addEventListener("pointerdown", (event) => {
      const from = y(at);
      const scale = svg.getScreenCTM();
      const move = (e) => {
        wanted = held(degcAt(from + (e.clientY - event.clientY) / scale.d));
        place(wanted);
        line.lastChild.textContent = `floor ${temp(wanted)}`;
        passing(wanted);
      };
      const end = (e) => {
        window.removeEventListener("pointermove", move);
        window.removeEventListener("pointerup", end);
        window.removeEventListener("pointercancel", end);
        const to = wanted;
        wanted = null;
        if (e.type === "pointerup" && to !== null && to !== at) keep(to);
        else update(true);
      };
      for (const [name, what] of [["pointermove", move], ["pointerup", end], ["pointercancel", end]]) window.addEventListener(name, what);
      event.preventDefault();
    });
    line.addEventListener("keydown", (event) => {
      const way = ARROWS[event.key];
      if (!way) return;
      event.preventDefault();
      keep(held(at + (way[0] - way[1]) * STEP_DEGC)).then(() => element.querySelector(".floor-line")?.focus());
    });
    svg.append(line);
    put(chart, house().stated_air ? h("p", { className: "quiet" }, "The file says how warm it is: the bars show that. Take day_degc and night_degc out of [air] to try a heater's floor.") : null, svg);
  }

  const keep = (degc) => (degc <= LOWEST ? change("no heater", unheated()) : change(`floor ${temp(degc)} at night`, edits(degc)));

  /** What a floor in passing would cost: one question at a time, the newest next. */
  async function passing(degc) {
    next = degc;
    if (busy) return;
    busy = true;
    while (next !== null) {
      const one = next;
      next = null;
      try {
        const told = await answer("heat", { dates: dates() }, one <= LOWEST ? unheated() : edits(one));
        if (told && wanted !== null) { json = told.json; drawSums(); }
      } catch { /* said when it is let go */ }
    }
    busy = false;
  }

  function drawSums() {
    const { winter, wood_kg: wood, cost_currency: cost, heater } = json;
    const weight = wood === null || wood === undefined ? null : isUs() ? `${Math.round(wood * 2.20462)} lb` : `${Math.round(wood)} kg`;
    put(sums, h("dl", {}, [["Heat in a winter", `${figures(winter.energy_kwh)} kWh`], weight ? ["Dry wood", weight] : null,
      cost === null || cost === undefined ? null : ["Money", String(Math.round(cost))], ["Coldest hour of an ordinary winter", temp(winter.lowest_air_degc)],
      ["One winter in ten", temp(winter.lowest_air_1in10_degc)], ["Hours of frost", String(figures(winter.hours_below_0_h))],
      ["Heater that holds it", `${figures(heater.power_w)} W`]].filter(Boolean).map(([term, value]) => h("div", {}, h("dt", {}, term), h("dd", {}, value)))));
  }

  function drawFields() {
    const input = h("input", { type: "text", inputMode: "decimal", size: 6, value: house().night_set_degc === null ? "" : temp(house().night_set_degc).split(" ")[0],
      onchange: () => (input.value.trim() === "" ? change("no heater", unheated()) : change("the floor at night", edits(degc(input.value)))) });
    put(fields, house().stated_air ? null : field(`Floor at night (${isUs() ? "°F" : "°C"})`, input, "Empty: unheated."));
  }

  async function fresh() {
    const told = await within(sums, "Heating the house through the winters…", () => answer("heat", { dates: dates(), pictures: true }));
    if (!told) return;
    json = told.json;
    draw();
    drawSums();
    const gains = json.measures.filter((one) => one.saved_kwh >= 0.5);
    put(more, gains.length ? [h("h3", {}, "What would help most"), h("ul", {}, gains.slice(0, 5).map((one) =>
      h("li", {}, `${one.measure}: ${figures(one.saved_kwh)} kWh less`)))] : null, picturesOf(told.pictures, true), tablesOf(told.html, "All numbers"), cautionsOf(told.cautions));
    element.dataset.answered = store.file.version;
  }

  function update(again) {
    draw();
    drawFields();
    if (!again && version === store.file.version) return;
    version = store.file.version;
    fresh();
  }

  return { element, update: () => update(false) };
}
