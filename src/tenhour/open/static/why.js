// Why: tap what is seen on the seedlings; the causes and what would help.

import { choice, degc, field, h, isoToday, isUs, number, put, roomy } from "./dom.js";
import { answer, store } from "./house-file.js";
import { cautionsOf, dates, printed, tablesOf, within } from "./parts.js";

const M2_PER_FT2 = 0.09290304;
/** What the command calls its options, as this screen calls them. */
const FIELDS = { "tenhour read": "Readings", "--dli": "Light a day", "--night-c": "At night", "--day-c": "By day", "--density": "Plants to an area", "--up": "Came up on" };
const here = (text) => Object.entries(FIELDS).reduce((said, [option, name]) => said.replaceAll(option, name), text);
const THREE_WEEKS_MS = 21 * 86400000;
const KNOWN = "If you know it.";

export function why() {
  const told = { crop: "tomato", bed: "", signs: new Set(), sown: new Date(Date.now() - THREE_WEEKS_MS).toISOString().slice(0, 10), seen: isoToday(), up: "", day: "", night: "", light: "", density: "" };
  const form = h("div", {}), found = h("div", { className: "answer" });
  const element = h("div", { className: "screen" }, h("h2", {}, "Why are they leggy?"), form,
    h("button", { type: "button", className: "main-button", onclick: fresh }, "Find the cause"), found);
  const toArea = (value) => (typeof value === "number" && isUs() ? value / M2_PER_FT2 : value);

  async function fresh() {
    const words = { crop: told.crop, bed: told.bed, sown: told.sown, seen: told.seen, signs: [...told.signs], day_degc: degc(told.day), night_degc: degc(told.night),
      up: told.up, dli_mol_m2_d: number(told.light), density_per_m2: toArea(number(told.density)), dates: dates() };
    const got = await within(found, "Looking at the weeks since they came up…", () => answer("why", words));
    if (!got) return;
    const { json } = got;
    put(found, h("p", { className: "today" }, here(json.sentence)),
      h("ul", { className: "causes" }, json.causes.map((one) => h("li", {}, h("span", {}, `${one.cause}: ${Math.round(one.share_frac * 100)} %`),
        h("meter", { min: 0, max: 1, value: one.share_frac, "aria-label": one.cause })))),
      json.remedies.length ? [h("h3", {}, "What would help"), h("ul", {}, json.remedies.slice(0, 5).map((one) => h("li", {}, `${one.remedy}${one.detail ? `: ${one.detail}` : ""}`)))] : null, printed(got.text), tablesOf(got.html, "All tables"), cautionsOf(got.cautions));
    element.dataset.answered = "yes";
  }

  const day = (key, label, hint) => {
    const input = h("input", { type: "date", value: told[key], max: isoToday(), onchange: () => { told[key] = input.value; } });
    return field(label, input, hint);
  };
  const measured = (key, label) => {
    const input = h("input", { type: "text", inputMode: "decimal", size: 6, value: told[key], onchange: () => { told[key] = input.value; } });
    return field(label, input, KNOWN);
  };

  return {
    element,
    update() {
      const beds = store.file.house.beds.map((bed) => bed.name);
      if (told.bed && !beds.includes(told.bed)) told.bed = "";
      put(form, h("div", { className: "fields" }, field("Crop", roomy(choice(store.words.crops.map((c) => [c.key, c.name]), told.crop, (v) => { told.crop = v; }))),
        field("Where they stand", choice([["", "not said"], ...beds.map((b) => [b, b])], told.bed, (v) => { told.bed = v; })), day("sown", "Sown on"), day("seen", "Seen on"),
        day("up", "Came up on", KNOWN), measured("day", `By day (${isUs() ? "°F" : "°C"})`), measured("night", `At night (${isUs() ? "°F" : "°C"})`),
        measured("light", "Light a day (mol m⁻²)"), measured("density", isUs() ? "Plants to an area (sq ft)" : "Plants to an area (m²)")),
      h("fieldset", { className: "signs" }, h("legend", {}, "What you see"), store.words.signs.map((sign) => h("label", {},
        h("input", { type: "checkbox", checked: told.signs.has(sign.key), onchange: (event) => told.signs[event.target.checked ? "add" : "delete"](sign.key) }), ` ${sign.says}`))));
    },
  };
}
