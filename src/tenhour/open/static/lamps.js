// Lamps: which lamp a bed and a crop need, how high, when it burns, and what that costs.

import { choice, field, h, length, monthText, put, s } from "./dom.js";
import { answer, store } from "./house-file.js";
import { cautionsOf, dates, printed, tablesOf, within } from "./parts.js";

export function lamps() {
  const wanted = { bed: "", crop: "leaf-lettuce", lamp: "led-bar", price: "" };
  const form = h("div", { className: "fields" }), found = h("div", { className: "answer" });
  const element = h("div", { className: "screen" }, h("h2", {}, "Lamps"), form,
    h("button", { type: "button", className: "main-button", onclick: fresh }, "Size the lamp"), found);

  async function fresh() {
    const told = await within(found, "Hanging lamps over the bed…", () => answer("lamps", { ...wanted, dates: dates() }));
    if (!told) return;
    const { json } = told;
    put(found, sums(json), clock(json.clock ?? []), ladder(json), printed(told.text),
      tablesOf(told.html, "All tables: heights, clock, sizes and cost"), cautionsOf(told.cautions));
    element.dataset.answered = "yes";
  }

  const fixed = (value, digits, unit) => (value === null || value === undefined ? null : `${value.toFixed(digits)} ${unit}`);

  function sums(json) {
    return h("div", { className: "sums" }, h("dl", {}, [["Lamps", json.fixtures === undefined ? null : String(json.fixtures)], ["Power", fixed(json.power_w, 0, "W")],
      ["Above the leaves", json.height_m === undefined ? null : length(json.height_m)], ["Hours a day", fixed(json.hours_h, 1, "h")],
      ["Light they add", fixed(json.missing_dli_mol_m2_d, 1, "mol m⁻² d⁻¹")], ["Energy of the season", fixed(json.energy_season_kwh, 0, "kWh")],
      ["Cost", json.cost_season === null || json.cost_season === undefined ? null : `${json.cost_season.toFixed(0)} ${json.currency ?? ""}`]]
      .filter(([, value]) => value !== null).map(([term, value]) => h("div", {}, h("dt", {}, term), h("dd", {}, value)))));
  }

  /** Hours on the clock by month, as bars from midnight to midnight. */
  function clock(rows) {
    const hours = (text) => Number(text.split(":")[0]) + Number(text.split(":")[1]) / 60;
    const lit = rows.filter((row) => row.on);
    if (!lit.length) return null;
    const [wide, high, left] = [720, 22, 60];
    const svg = s("svg", { viewBox: `0 0 ${wide} ${lit.length * high + 24}`, class: "plan-drawing", role: "img",
      "aria-label": `Lamps burn: ${lit.map((row) => `${monthText(row.month)} ${row.on} to ${row.off}`).join(", ")}` });
    const x = (h) => left + h / 24 * (wide - left - 24);
    lit.forEach((row, n) => {
      const from = hours(row.on), to = hours(row.off);
      const spans = to > from ? [[from, to]] : [[from, 24], [0, to]];
      svg.append(s("text", { class: "quiet-text", x: 6, y: n * high + 17, "font-size": 14 }, monthText(row.month)),
        ...spans.map(([a, b]) => s("rect", { class: "burn", x: x(a), y: n * high + 4, width: x(b) - x(a), height: high - 8 })));
    });
    for (const hour of [0, 6, 12, 18, 24]) svg.append(s("text", { class: "quiet-text mid", x: x(hour), y: lit.length * high + 18, "font-size": 14 }, `${hour}:00`),
      s("line", { class: "hair", x1: x(hour), x2: x(hour), y1: 0, y2: lit.length * high }));
    return h("figure", {}, h("figcaption", {}, "When they burn"), svg);
  }

  /** Sizes of lamps side by side, the chosen one marked. */
  function ladder(json) {
    const rows = json.ladder ?? [];
    if (!rows.length) return null;
    const most = Math.max(...rows.map((row) => row.dli_mol_m2_d ?? 0), 0.1);
    return h("div", {}, h("h3", {}, "Sizes compared"), h("div", { className: "scroll", tabIndex: 0, role: "region", "aria-label": "Sizes compared" }, h("table", {},
      h("thead", {}, h("tr", {}, ["size", "light", "W", "days to harvest", "kWh"].map((t) => h("th", { scope: "col" }, t)))),
      h("tbody", {}, rows.map((row) => h("tr", {}, h("th", { scope: "row" }, row.name === json.chosen ? `${row.name} (chosen)` : row.name),
        h("td", {}, h("meter", { min: 0, max: most, value: row.dli_mol_m2_d, "aria-label": "light" }), ` ${row.dli_mol_m2_d.toFixed(1)}`),
        [fixed(row.power_w, 0, ""), row.days_to_harvest ?? "–", fixed(row.energy_season_kwh, 0, "")].map((t) => h("td", { className: "n" }, t))))))));
  }

  return {
    element,
    update() {
      const beds = store.file.house.beds.map((bed) => bed.name);
      if (!beds.includes(wanted.bed)) wanted.bed = beds[0];
      const price = h("input", { type: "text", placeholder: "0.30 EUR", value: wanted.price, onchange: () => { wanted.price = price.value; } });
      put(form, field("Bed", choice(beds.map((b) => [b, b]), wanted.bed, (v) => { wanted.bed = v; })),
        field("Crop", choice(store.words.crops.filter((c) => c.way !== "fruiting").map((c) => [c.key, c.name]), wanted.crop, (v) => { wanted.crop = v; })),
        field("Lamp", choice(store.words.lamps.map((l) => [l.key, l.title]), wanted.lamp, (v) => { wanted.lamp = v; })),
        field("Price of a kWh", price, "Left empty: no cost is reckoned."));
    },
  };
}
