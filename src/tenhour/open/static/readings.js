// Readings: a meter's number at a point of the plan, beside one outdoors; what they say of the house.

import { ARROWS, choice, field, h, length, narrow, put, radios, s, step } from "./dom.js";
import { load, send, store, tell } from "./house-file.js";
import { cautionsOf, dates, openPart, tablesOf, within } from "./parts.js";

const CM = 100;

export function readings() {
  const one = { place: "outside", x_m: null, y_m: null, lux: "", meters: "one" };
  const plan = s("svg", { class: "plan-drawing", role: "group", "aria-label": "Plan of the beds: choose where the meter lay" });
  const form = h("div", { className: "fields" }), found = h("div", { className: "answer" });
  const element = h("div", { className: "screen" }, h("h2", {}, "Readings"),
    h("p", { className: "quiet how" }, "On a dull day around noon hold a lux meter level in the open, note it, and within two minutes on a bed; six times or more. Each number is put into readings.csv beside the house file."),
    h("div", { className: "two" }, plan, h("div", { className: "panel" }, form)),
    h("div", { className: "buttons" }, h("button", { type: "button", className: "main-button", onclick: compare }, "Compare with the model")), found);

  const clock = () => {
    const at = new Date();
    const two = (n) => String(n).padStart(2, "0");
    return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}T${two(at.getHours())}:${two(at.getMinutes())}`;
  };

  function draw() {
    const house = store.file.house;
    const [[x0, y0], [x1, y1]] = house.floor_m;
    const pad = Math.max(x1 - x0, y1 - y0) * 0.06, size = Math.max(x1 - x0, y1 - y0) * CM / (narrow() ? 20 : 30);
    plan.setAttribute("viewBox", [(x0 - pad) * CM, (-y1 - pad) * CM, (x1 - x0 + 2 * pad) * CM, (y1 - y0 + 2 * pad) * CM].join(" "));
    put(plan, s("rect", { class: "floor", x: x0 * CM, y: -y1 * CM, width: (x1 - x0) * CM, height: (y1 - y0) * CM }), house.beds.map((bed, index) => {
      const [left, right] = openPart(house.beds, index);
      const [x, y] = bed.at_m, [dx, dy] = bed.size_m;
      const group = s("g", { tabindex: 0, role: "button", class: bed.name === one.place ? "bed chosen" : "bed", "aria-label": `Bed ${bed.name}${bed.name === one.place && one.x_m !== null ? `, the meter ${length(one.x_m)} from the left and ${length(one.y_m)} from the front` : ""}`, "aria-pressed": String(bed.name === one.place) },
        s("rect", { class: "unknown", x: x * CM, y: -(y + dy) * CM, width: dx * CM, height: dy * CM }), s("rect", { class: "edge", x: x * CM, y: -(y + dy) * CM, width: dx * CM, height: dy * CM }),
        s("text", { class: "ink-text mid", x: (left + right) / 2 * CM, y: -(y + dy / 2) * CM + size / 3, "font-size": Math.min(size, (right - left) * CM / (bed.name.length * 0.66)) }, bed.name));
      const take = (px, py) => { Object.assign(one, { place: bed.name, x_m: px, y_m: py }); draw(); drawForm(); };
      group.addEventListener("click", (event) => {
        const scale = plan.getScreenCTM();
        take(Math.round((event.clientX - scale.e) / scale.a) / CM, Math.round(-(event.clientY - scale.f) / scale.d) / CM);
      });
      group.dataset.bed = index;
      group.addEventListener("keydown", (event) => {
        const way = ARROWS[event.key], here = bed.name === one.place && one.x_m !== null;
        if (!way && event.key !== "Enter" && event.key !== " ") return;
        event.preventDefault();
        const inside = (v, low, wide) => Math.round(Math.min(low + wide, Math.max(low, v)) * CM) / CM;
        if (way && here) take(inside(one.x_m + way[0] * step(), x, dx), inside(one.y_m - way[1] * step(), y, dy));
        else take(x + dx / 2, y + dy / 2);
        plan.querySelector(`[data-bed="${index}"]`)?.focus();
      });
      return group;
    }), one.x_m === null ? null : s("circle", { class: "spot", cx: one.x_m * CM, cy: -one.y_m * CM, r: size / 2 }));
  }

  function drawForm() {
    const places = ["outside", ...store.file.house.beds.map((bed) => bed.name)];
    const time = h("input", { type: "datetime-local", value: clock() });
    const lux = h("input", { type: "text", inputMode: "decimal", value: one.lux, oninput: () => { one.lux = lux.value; } });
    const button = h("button", { type: "button", onclick: async () => {
      try {
        await send("reading", { words: { ...one, lux: one.lux.replace(",", "."), time: time.value } });
        one.lux = "";
        await load();
      } catch (error) { tell(error.message.split("\n")); }
    } }, "Note it");
    put(form, field("Where", choice(places.map((p) => [p, p]), one.place, (value) => { Object.assign(one, { place: value, x_m: null, y_m: null }); draw(); })),
      field("When", time), field("Lux", lux), radios("Meter", "meters", [["one", "the same inside and out"], ["two", "two meters"]], one.meters, (value) => { one.meters = value; }),
      h("div", { className: "buttons" }, button));
  }

  async function compare() {
    const told = await within(found, "Tracing the light of those minutes…", () => send("read", { words: { meters: one.meters, dates: dates() } }));
    if (!told) return;
    put(found, h("pre", { className: "told", tabIndex: 0, role: "region", "aria-label": "The answer in words" }, told.text),
      told.keeps ? h("button", { type: "button", onclick: keep }, "Write it into the house file") : h("p", {}, "The readings say too little yet to write anything into the house file."),
      tablesOf(told.html, "All tables"), cautionsOf(told.cautions));
    element.dataset.answered = "yes";
  }

  async function keep() {
    try {
      await send("keep", { words: { meters: one.meters } });
      await load();
    } catch (error) { tell(error.message.split("\n")); }
  }

  return { element, update() { draw(); drawForm(); } };
}
