// Lamps: which lamp a bed and a crop need, how high, when it burns, and what that costs.

import { choice, field, h, length, put, roomy } from "./dom.js";
import { answer, load, send, store, tell } from "./house-file.js";
import { cautionsOf, dates, picturesOf, printed, tablesOf, within } from "./parts.js";

export function lamps() {
  const wanted = { bed: "", crop: "leaf-lettuce", lamp: "led-bar", price: "", over_bed: false };
  const form = h("div", { className: "fields" }), whole = h("label", { className: "tickbox" }), found = h("div", { className: "answer" });
  const element = h("div", { className: "screen" }, h("h2", {}, "Lamps"), form, whole,
    h("button", { type: "button", className: "main-button", onclick: fresh }, "Size the lamp"), found);

  async function fresh() {
    const told = await within(found, "Hanging lamps over the bed…", () => answer("lamps", { ...wanted, dates: dates(), pictures: true }));
    if (!told) return;
    const { json } = told;
    put(found, h("p", { className: "today" }, json.sentence), sums(json), picturesOf(told.pictures), keeping(json), ladder(json), printed(told.text),
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

  /** Lamps written over their bed into the house file: every light and heat of it then counts them. */
  function keeping(json) {
    if (!(json.fixtures > 0)) return null;
    const hung = store.file.house.lamps.some((one) => one.bed === wanted.bed);
    return h("div", {}, h("div", { className: "buttons" }, h("button", { type: "button", onclick: keep }, hung ? "Put them in place of the bed's lamps" : "Hang them in the house file")),
      h("p", { className: "hint" }, "Written under [[lamps]] as they are planned for the bed itself; every answer then counts their light, their heat and their current. Undo takes it back."));
  }

  async function keep() {
    const said = h("p", { className: "quiet", role: "status" }, "Hanging lamps over the bed…");
    found.prepend(said);
    try {
      await send("keep-lamps", { words: { ...wanted } });
      await load();
      tell([`The lamps hang over ${wanted.bed} in ${store.file.file}; Undo takes that back.`]);
    } catch (error) { tell(error.message.split("\n")); } finally { said.remove(); }
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
        field("Crop", roomy(choice(store.words.crops.filter((c) => c.way !== "fruiting").map((c) => [c.key, c.name]), wanted.crop, (v) => { wanted.crop = v; }))),
        field("Lamp", choice(store.words.lamps.map((l) => [l.key, l.title]), wanted.lamp, (v) => { wanted.lamp = v; })),
        field("Price of a kWh", price, "Left empty: no cost is reckoned."));
      put(whole, h("input", { type: "checkbox", checked: wanted.over_bed, onchange: (event) => { wanted.over_bed = event.target.checked; } }), " Light the bed itself, not seedlings alone");
    },
  };
}
