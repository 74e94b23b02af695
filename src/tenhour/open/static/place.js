// Place: the town, the units, the horizon; and the first step of a new house.

import { allMonths, ARROWS, choice, dragged, field, h, isUs, lengthUnit, monthText, narrow, put, radios, readsFeet, s, useUs, windText } from "./dom.js";
import { ask, begin, change, store, tell } from "./house-file.js";

const M_PER_FT = 0.3048;
const SHAPE_WORDS = { gable: "Gable: two roofs and a ridge", "lean-to": "Lean-to: one roof against a wall", hoop: "Hoop: a tunnel",
  box: "Box: a room with a flat roof", "cold-frame": "Cold frame: low, with a sloping lid", "window-sill": "Window sill: a room with a window" };
const SIZE_WORDS = { length: "Length along the front", width: "Width, front to back", eaves: "Height of the walls", ridge: "Height of the ridge",
  front: "Height of the front", back: "Height of the back" };
const HANDLES = 24;
const HIGHEST_DEG = 40;

export function place() {
  const element = h("div", { className: "screen" });
  let made = null;
  return {
    element,
    update() {
      const kind = store.file.house ? "old" : store.file.problems.length ? "refused" : "new";
      if (made !== kind) put(element, ...(kind === "new" ? beginning() : []));
      if (kind === "old") put(element, ...standing());
      if (kind === "refused") put(element, h("h2", {}, "Place"), h("p", {}, `${store.file.file} is there, but something in it is not understood: mend it there as said above. Nothing is written to it until then, and this page goes on once it is saved.`));
      made = kind;
    },
  };
}

/** A field that finds towns offline; `take` gets the one chosen. */
function search(take) {
  const found = h("ul", { className: "found", "aria-label": "Towns found" });
  const input = h("input", { type: "search", autocomplete: "off", placeholder: "Ulm, Germany" });
  const look = async () => {
    if (!input.value.trim()) return;
    try {
      const places = await ask(`places?q=${encodeURIComponent(input.value)}`);
      put(found, ...places.map((one) => h("li", {}, h("button", { type: "button", onclick: () => {
        input.value = one.label;
        put(found);
        take(one);
      } }, `${one.label} (${one.latitude_deg.toFixed(2)}, ${one.longitude_deg.toFixed(2)})`))));
    } catch (error) {
      put(found, h("li", {}, error.message));
    }
  };
  const form = h("form", { className: "search", onsubmit: (event) => { event.preventDefault(); look(); } },
    field("Nearest town", input, "The town gives the sun, the climate and the time zone. No network is asked."),
    h("button", { type: "submit" }, "Find"));
  return h("div", {}, form, found);
}

function beginning() {
  const draft = { units: readsFeet() ? "us" : "metric", shape: "gable", place: "", sizes: {}, faces: "south" };
  const sizes = h("div", { className: "fields" });
  const chosen = h("p", { role: "status" }, "No place yet.");
  const button = h("button", { type: "button", className: "main-button", disabled: true, onclick: make }, "Make the house");
  const shape = () => store.words.shapes.find((one) => one.key === draft.shape);

  function shown(m) {
    return draft.units === "us" ? String(Math.round(m / M_PER_FT * 2) / 2) : String(m);
  }

  function drawSizes() {
    put(sizes, ...Object.entries(shape().sizes_m).map(([key, m]) => {
      const input = h("input", { type: "text", inputMode: "decimal", size: 8, name: key, value: draft.sizes[key] ?? shown(m),
        onchange: () => { draft.sizes[key] = input.value; } });
      return field(`${SIZE_WORDS[key]} (${draft.units === "us" ? "ft" : "m"})`, input);
    }));
  }

  async function make() {
    const unit = draft.units === "us" ? " ft" : "";
    const lengths = Object.fromEntries(Object.entries(shape().sizes_m).map(([key, m]) => {
      const text = (draft.sizes[key] ?? shown(m)).trim();
      return [key, /^[\d.]+$/.test(text) ? text + unit : text];
    }));
    if (await begin({ place: draft.place, shape: draft.shape, units: draft.units, faces: draft.faces, ...lengths })) {
      location.hash = "#house";
    }
  }

  drawSizes();
  return [
    h("h2", {}, "Place"),
    h("p", {}, "No house file is here yet. Say where the house stands and how large it is; everything can be changed later."),
    radios("Measured in", "units", [["metric", "metres"], ["us", "feet"]], draft.units, (value) => {
      draft.units = value;
      useUs(value === "us");
      draft.sizes = {};
      drawSizes();
    }),
    search((one) => {
      draft.place = one.label;
      chosen.textContent = `The house stands near ${one.label}.`;
      button.disabled = false;
    }),
    chosen,
    radios("Shape", "shape", store.words.shapes.map((one) => [one.key, SHAPE_WORDS[one.key] ?? one.key]), draft.shape, (value) => {
      draft.shape = value;
      draft.sizes = {};
      drawSizes();
    }),
    sizes,
    field("The front looks", choice(["south", "south-east", "south-west", "east", "west", "north"].map((w) => [w, w]), draft.faces,
      (value) => { draft.faces = value; }), "The long side with most of the light. A needle turns it exactly on the next screen."),
    button,
  ];
}

function standing() {
  const house = store.file.house;
  const months = house.snow_months;
  return [
    h("h2", {}, "Place"),
    h("p", {}, `${house.place || "The house"}: ${house.latitude_deg.toFixed(2)}, ${house.longitude_deg.toFixed(2)}; ${Math.round(isUs() ? house.elevation_m / M_PER_FT : house.elevation_m)} ${lengthUnit()} above the sea; ${house.timezone}.`),
    radios("Answers are written in", "units", [["metric", "metres and °C"], ["us", "feet and °F"]], isUs() ? "us" : "metric",
      (value) => change(`units ${value}`, [{ do: "set", path: ["units"], value }])),
    h("h3", { className: "screen-only" }, "Move it to another town"),
    search((one) => change(`moved to ${one.label}`, [
      { do: "set", path: ["site", "latitude_deg"], value: Number(one.latitude_deg.toFixed(4)) },
      { do: "set", path: ["site", "longitude_deg"], value: Number(one.longitude_deg.toFixed(4)) },
      ...(hasKey("place") ? [{ do: "remove", path: ["site", "place"] }] : []),
      ...(hasKey("timezone") ? [{ do: "remove", path: ["site", "timezone"] }] : []),
      ...(hasKey("elevation_m") ? [{ do: "remove", path: ["site", "elevation_m"] }] : [])])),
    h("h3", {}, "What hides the sky"),
    h("p", { className: "quiet how" }, "Drag the points to the height of hills, trees and houses, seen from the middle of the house. Arrows do the same."),
    skyline(),
    h("fieldset", { className: "radios" }, h("legend", {}, "Months with white ground"), allMonths().map((month) => h("label", {},
      h("input", { type: "checkbox", checked: months.includes(month), onchange: (event) => change("months with snow", [{ do: "set", path: ["site", "snow_months"],
        value: event.target.checked ? [...months, month].sort((a, b) => a - b) : months.filter((other) => other !== month) }]) }), ` ${monthText(month)}`))),
  ];
}

const hasKey = (key) => (store.file.site_keys ?? []).includes(key);

/** Height of the horizon at a direction, joined by straight lines round the circle. */
function horizonAt(pairs, azimuth) {
  if (!pairs.length) return 0;
  const sorted = [...pairs].sort((a, b) => a[0] - b[0]);
  const round = [[sorted.at(-1)[0] - 360, sorted.at(-1)[1]], ...sorted, [sorted[0][0] + 360, sorted[0][1]]];
  for (let n = 1; n < round.length; n += 1) {
    const [a0, h0] = round[n - 1], [a1, h1] = round[n];
    if (azimuth <= a1) return a1 === a0 ? h1 : h0 + (h1 - h0) * (azimuth - a0) / (a1 - a0);
  }
  return sorted[0][1];
}

function skyline() {
  const pairs = store.file.house.skyline_deg;
  const south = store.file.house.latitude_deg >= 0;
  // a thumb needs room: half the handles on a phone, unless the file tells more than they can
  const most = narrow() && pairs.length <= HANDLES / 2 ? HANDLES / 2 : HANDLES;
  const at = Array.from({ length: most }, (_, n) => n * 360 / most);
  const heights = at.map((azimuth) => Math.max(0, Math.round(horizonAt(pairs, azimuth))));
  const [W, H, PAD] = narrow() ? [360, 200, 26] : [720, 170, 24];
  // the midday sun stands in the middle of the picture
  const place = (azimuth) => (south ? azimuth : (azimuth + 180) % 360) / 360 * W;
  const order = at.map((_, n) => n).sort((a, b) => place(at[a]) - place(at[b]));
  const y = (height) => H - PAD - height / HIGHEST_DEG * (H - 2 * PAD);
  const svg = s("svg", { viewBox: `-34 0 ${W + 48} ${H}`, class: "plan-drawing", role: "group", "aria-label": "Horizon round the house" });
  const line = s("path", { class: "horizon" });
  const trace = () => {
    const first = order[0];
    const points = [...order.map((n) => [place(at[n]), heights[n]]), [W, heights[first]]];
    line.setAttribute("d", `M0 ${H - PAD}${points.map(([px, deg]) => `L${px} ${y(deg)}`).join("")}L${W} ${H - PAD}Z`);
  };
  const save = () => change("the horizon", [{ do: "set", path: ["site", "skyline"], value: at.map((azimuth, n) => [azimuth, heights[n]]) }]);
  for (let deg = 10; deg <= HIGHEST_DEG; deg += 10) {
    svg.append(s("line", { class: "hair", x1: 0, x2: W, y1: y(deg), y2: y(deg) }), s("text", { class: "quiet-text", x: -6, y: y(deg) + 4, "font-size": 13, "text-anchor": "end" }, `${deg}°`));
  }
  svg.append(line, s("line", { class: "hair", x1: 0, x2: W, y1: H - PAD, y2: H - PAD }));
  for (const [word, azimuth] of [["north", 0], ["east", 90], ["south", 180], ["west", 270]]) {
    svg.append(s("text", { class: "quiet-text mid", x: Math.min(W - 20, Math.max(20, place(azimuth))), y: H - 6, "font-size": 15 }, word));
  }
  for (const n of order) {
    const dot = s("circle", { class: "dot", r: W / most > 20 ? 9 : 6, cx: place(at[n]), tabindex: 0, role: "slider", "aria-valuemin": 0, "aria-valuemax": HIGHEST_DEG,
      "aria-label": `Horizon in the ${windText(at[n])}, ${at[n]} degrees` });
    const raise = (height) => {
      heights[n] = Math.min(HIGHEST_DEG, Math.max(0, Math.round(height)));
      dot.setAttribute("cy", y(heights[n]));
      dot.setAttribute("aria-valuenow", heights[n]);
      dot.setAttribute("aria-valuetext", `${heights[n]} degrees high`);
      trace();
    };
    raise(heights[n]);
    dot.addEventListener("pointerdown", (event) => {
      const from = heights[n];
      dragged(svg, event, (_, dy) => raise(from - dy / (H - 2 * PAD) * HIGHEST_DEG), () => { if (heights[n] !== from) save(); });
    });
    dot.addEventListener("keydown", (event) => {
      const way = ARROWS[event.key];
      if (!way) return;
      event.preventDefault();
      raise(heights[n] + way[0] - way[1]);
      save().then(() => [...document.querySelectorAll(".dot")][order.indexOf(n)]?.focus());
    });
    svg.append(dot);
  }
  return h("div", { className: "scroll", tabIndex: 0, role: "region", "aria-label": "Horizon" }, svg);
}
