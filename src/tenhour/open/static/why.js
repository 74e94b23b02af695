// Why: tap what is seen on the seedlings; the causes and what would help.

import { choice, field, h, isoToday, isUs, put } from "./dom.js";
import { answer, store } from "./house-file.js";
import { cautionsOf, dates, printed, tablesOf, within } from "./parts.js";

const THREE_WEEKS_MS = 21 * 86400000;

export function why() {
  const told = { crop: "tomato", bed: "", signs: new Set(), sown: new Date(Date.now() - THREE_WEEKS_MS).toISOString().slice(0, 10), seen: isoToday(), day: "", night: "" };
  const form = h("div", {}), found = h("div", { className: "answer" });
  const element = h("div", { className: "screen" }, h("h2", {}, "Why are they leggy?"), form,
    h("button", { type: "button", className: "main-button", onclick: fresh }, "Find the cause"), found);
  const degc = (text) => (text.trim() === "" ? null : isUs() ? (Number(text) - 32) / 1.8 : Number(text));

  async function fresh() {
    const words = { crop: told.crop, bed: told.bed, sown: told.sown, seen: told.seen, signs: [...told.signs], day_degc: degc(told.day), night_degc: degc(told.night), dates: dates() };
    const got = await within(found, "Looking at the weeks since they came up…", () => answer("why", words));
    if (!got) return;
    const { json } = got;
    put(found, h("p", { className: "today" }, json.sentence),
      h("ul", { className: "causes" }, json.causes.map((one) => h("li", {}, `${one.cause}: ${Math.round(one.share_frac * 100)} % `,
        h("meter", { min: 0, max: 1, value: one.share_frac, "aria-label": one.cause })))),
      json.remedies.length ? [h("h3", {}, "What would help"), h("ul", {}, json.remedies.slice(0, 5).map((one) => h("li", {}, `${one.remedy}${one.detail ? `: ${one.detail}` : ""}`)))] : null, printed(got.text), tablesOf(got.html, "All tables"), cautionsOf(got.cautions));
    element.dataset.answered = "yes";
  }

  const day = (key, label) => {
    const input = h("input", { type: "date", value: told[key], max: isoToday(), onchange: () => { told[key] = input.value; } });
    return field(label, input);
  };
  const warmth = (key, label) => {
    const input = h("input", { type: "text", inputMode: "decimal", size: 6, value: told[key], onchange: () => { told[key] = input.value; } });
    return field(`${label} (${isUs() ? "°F" : "°C"})`, input, "If you know it.");
  };

  return {
    element,
    update() {
      const beds = store.file.house.beds.map((bed) => bed.name);
      if (told.bed && !beds.includes(told.bed)) told.bed = "";
      put(form, h("div", { className: "fields" }, field("Crop", choice(store.words.crops.map((c) => [c.key, c.name]), told.crop, (v) => { told.crop = v; })),
        field("Where they stand", choice([["", "not said"], ...beds.map((b) => [b, b])], told.bed, (v) => { told.bed = v; })), day("sown", "Sown on"), day("seen", "Seen on"),
        warmth("day", "By day"), warmth("night", "At night")),
      h("fieldset", { className: "signs" }, h("legend", {}, "What you see"), store.words.signs.map((sign) => h("label", {},
        h("input", { type: "checkbox", checked: told.signs.has(sign.key), onchange: (event) => told.signs[event.target.checked ? "add" : "delete"](sign.key) }), ` ${sign.says}`))));
    },
  };
}
