// Beds: dragged in the plan, coloured by their light in one scale, on any day, dull or typical.

import { ARROWS, bare, choice, dayText, DAYS, dragged, field, h, length, lengthUnit, light, monthText, narrow, radios, s, put as fill, snapped, step, typed, written } from "./dom.js";
import { change, send, store, tell } from "./house-file.js";
import { cells, kept, litBeds, nameOn, STEPS, top } from "./lit.js";

const CM = 100;
const SMALLEST_M = 0.2;

export function beds() {
  let moving = null; // { index, at_m, size_m } while a bed is dragged
  const plan = s("svg", { class: "plan-drawing", role: "group", "aria-label": "Plan of the house with its beds" });
  const key = h("div", { className: "map-key", role: "img" });
  const said = h("p", { className: "quiet", role: "status" });
  const date = h("output", { htmlFor: "day-slider" });
  const slider = h("input", { type: "range", id: "day-slider", min: 0, max: DAYS - 1, value: kept.day,
    oninput: () => { kept.day = Number(slider.value); draw(); } });
  const lamps = h("input", { type: "checkbox", checked: kept.lamps, onchange: () => { kept.lamps = lamps.checked; draw(); } });
  const lampsLabel = h("label", { hidden: true }, lamps, " Lamps on");
  const sky = radios("Sky", "sky", [["typical", "Typical day"], ["dull", "Dull day"]], kept.sky,
    (value) => { kept.sky = value; draw(); });
  const table = h("div", { className: "scroll", tabIndex: 0, role: "region", "aria-label": "Light on the beds" });
  const over = h("section", { className: "over", "aria-label": "Sky over a spot" });
  const panel = h("section", { className: "panel", "aria-label": "The chosen bed" });
  const element = h("div", { className: "screen" },
    h("h2", {}, "Beds"),
    h("p", { className: "quiet how" }, "Drag a bed, or its corner; with the keyboard, arrows move it and Shift with arrows stretches it. Tap a spot, or press Enter or Space, to see the sky over it."),
    h("div", { className: "controls" }, h("div", { className: "field wide" }, h("label", { htmlFor: "day-slider" }, "Day "), slider, date), sky, lampsLabel),
    h("div", { className: "two" }, h("div", {}, plan, key, said), panel), table, over);

  const lit = litBeds(() => { if (element.isConnected) draw(); }, (words) => { said.textContent = words; });
  const house = () => store.file.house;
  const bedsNow = () => house().beds.map((bed, index) => (moving?.index === index ? { ...bed, ...moving } : bed));

  function draw() {
    date.textContent = dayText(kept.day);
    slider.setAttribute("aria-valuetext", dayText(kept.day));
    const [[fx0, fy0], [fx1, fy1]] = house().floor_m;
    const pad = Math.max(fx1 - fx0, fy1 - fy0) * 0.07;
    plan.setAttribute("viewBox", [fx0 - pad, -fy1 - pad * 1.6, fx1 - fx0 + 2 * pad, fy1 - fy0 + 3 * pad].map((v) => v * CM).join(" "));
    const size = Math.max(fx1 - fx0, fy1 - fy0) * CM / 32;
    const all = bedsNow(), found = all.map((_, index) => lit.of(house().beds[index]?.name)), most = top(found);
    const order = all.map((_, index) => index).sort((a, b) => all[a].height_m - all[b].height_m);
    fill(plan, 
      s("rect", { class: "floor", x: fx0 * CM, y: -fy1 * CM, width: (fx1 - fx0) * CM, height: (fy1 - fy0) * CM }),
      s("text", { x: (fx0 + fx1) / 2 * CM, y: -fy0 * CM + size * 1.5, class: "quiet-text mid", "font-size": size }, "front"),
      s("text", { x: (fx0 + fx1) / 2 * CM, y: -fy1 * CM - size * 0.6, class: "quiet-text mid", "font-size": size }, "back"),
      house().boxes.map((box) => s("rect", { class: "box", x: box.at_m[0] * CM, y: -(box.at_m[1] + box.size_m[1]) * CM,
        width: box.size_m[0] * CM, height: box.size_m[1] * CM }, s("title", {}, box.name))),
      order.map((index) => drawnBed(index, all[index], found[index], most, size)));
    drawKey(most);
    drawTable(all, found);
  }

  function drawnBed(index, bed, found, most, size) {
    const [x, y] = bed.at_m, [dx, dy] = bed.size_m;
    const group = s("g", { tabindex: 0, role: "button", class: index === kept.bed ? "bed chosen" : "bed", "data-bed": index,
      "aria-label": `Bed ${bed.name}, ${found ? `${light(found.mean)} mol a day` : "light not known yet"}, ${length(dx)} by ${length(dy)}, ${length(x)} from the left, ${length(y)} from the front`,
      "aria-pressed": String(index === kept.bed) },
    cells(bed, found, most),
    s("rect", { class: "edge", x: x * CM, y: -(y + dy) * CM, width: dx * CM, height: dy * CM }),
    nameOn(bedsNow(), index, found, size),
    s("rect", { class: "handle", x: (x + dx) * CM - size * 0.7, y: -(y + dy) * CM - size * 0.3, width: size, height: size }));
    group.addEventListener("pointerdown", (event) => press(event, index, event.target.classList.contains("handle")));
    group.addEventListener("focus", () => choose(index));
    group.addEventListener("keydown", (event) => keyed(event, index));
    return group;
  }

  function choose(index) {
    if (kept.bed === index) return;
    kept.bed = index;
    for (const group of plan.querySelectorAll(".bed")) {
      const own = Number(group.dataset.bed) === index;
      group.classList.toggle("chosen", own);
      group.setAttribute("aria-pressed", String(own));
    }
    drawPanel();
  }

  const editsOf = (index, at_m, size_m) => [
    { do: "set", path: ["bed", index, "at_m"], value: at_m.map(written) },
    { do: "set", path: ["bed", index, "size_m"], value: size_m.map(written) }];

  /** Keep a bed inside the floor. */
  function held(at_m, size_m) {
    const [low, high] = house().floor_m;
    const size = size_m.map((v, axis) => Math.min(Math.max(snapped(v), SMALLEST_M), high[axis] - low[axis]));
    return [at_m.map((v, axis) => Math.min(Math.max(snapped(v), low[axis]), high[axis] - size[axis])), size];
  }

  function press(event, index, stretch) {
    choose(index);
    const bed = house().beds[index];
    const place = (dx, dy) => {
      const by = [dx / CM, -dy / CM];
      const [at_m, size_m] = stretch
        ? held(bed.at_m, bed.size_m.map((v, axis) => v + by[axis]))
        : held(bed.at_m.map((v, axis) => v + by[axis]), bed.size_m);
      return { index, at_m, size_m };
    };
    const same = (to) => [0, 1].every((a) => Math.abs(to.at_m[a] - bed.at_m[a]) + Math.abs(to.size_m[a] - bed.size_m[a]) < step() / 2);
    dragged(plan, event, (dx, dy) => {
      const to = place(dx, dy);
      if (!moving && same(to)) return;
      moving = to;
      draw();
      lit.follow(editsOf(index, to.at_m, to.size_m));
    }, async (meant, dx, dy) => {
      const to = place(dx, dy);
      moving = null;
      if (meant && !same(to)) return put(index, to.at_m, to.size_m);
      draw();
      if (meant && !stretch) skyOver(index, pointed(event));
    });
    plan.querySelector(`[data-bed="${index}"]`)?.focus({ preventScroll: true });
  }

  /** Where on the floor a pointer is. */
  function pointed(event) {
    const scale = plan.getScreenCTM();
    return [(event.clientX - scale.e) / scale.a / CM, -(event.clientY - scale.f) / scale.d / CM];
  }

  /** The sun's ways over a spot, and the directions from which light reaches it straight through a pane. */
  async function skyOver(index, [x_m, y_m]) {
    let told;
    try {
      told = await send("sky", { words: { bed: index, x_m, y_m } });
    } catch { return; }
    const wide = narrow() ? 360 : 720, top = Math.max(...told.height_deg), high = 260, left = 34, below = 24;
    const south = house().latitude_deg >= 0;
    const x = (az) => left + (south ? az : (az + 180) % 360) / 360 * (wide - left);
    const y = (deg) => (1 - deg / top) * (high - below);
    const da = 360 / told.azimuth_deg.length / 360 * (wide - left), dh = (told.height_deg[1] - told.height_deg[0]) / top * (high - below);
    const svg = s("svg", { viewBox: `0 0 ${wide} ${high}`, class: "plan-drawing", role: "img", "aria-label": `Sky over a spot of ${house().beds[index].name}: ways of the sun, and where light comes straight through a pane` });
    const reached = s("g", { class: "reached" });
    svg.append(reached);
    told.reached_frac.forEach((row, n) => row.forEach((share, m) => {
      if (share > 0) reached.append(s("rect", { class: "reach", x: x(told.azimuth_deg[m]) - da / 2, y: y(told.height_deg[n]) - dh / 2, width: da + 0.5, height: dh + 0.5 }));
    }));
    const [round, heights] = told.skyline_deg;
    const order = round.map((az, n) => [x(az), heights[n]]).sort((a, b) => a[0] - b[0]);
    const edge = (order[0][1] + order.at(-1)[1]) / 2; // north, at both ends
    svg.append(s("path", { class: "horizon", d: `M${left} ${y(0)}${[[left, edge], ...order, [wide, edge]].map(([px, deg]) => `L${px} ${y(deg)}`).join("")}L${wide} ${y(0)}Z` }));
    for (const track of told.tracks) {
      const points = track.azimuth_deg.map((az, n) => [x(az), y(track.height_deg[n])]);
      const path = points.map(([px, py], n) => `${n === 0 || Math.abs(px - points[n - 1][0]) > wide / 2 ? "M" : "L"}${px.toFixed(1)} ${py.toFixed(1)}`).join("");
      svg.append(s("path", { class: "track", d: path }));
    }
    let named = Infinity;
    for (const track of [...told.tracks].sort((a, b) => Math.max(...a.height_deg) - Math.max(...b.height_deg))) {
      const noon = track.height_deg.indexOf(Math.max(...track.height_deg)), at = y(track.height_deg[noon]);
      if (noon < 0 || named - at < 17) continue;
      named = at;
      svg.append(s("text", { class: "ink-text mid haloed", x: x(track.azimuth_deg[noon]), y: at + 5, "font-size": 13 }, monthText(Number(track.on.slice(5, 7)))));
    }
    for (const [word, az] of [["east", 90], [south ? "south" : "north", south ? 180 : 0], ["west", 270]]) svg.append(s("text", { class: "quiet-text mid", x: x(az), y: high - 6, "font-size": 15 }, word));
    fill(over, h("h3", {}, `The sky over ${house().beds[index].name}, ${length(x_m)} from the left and ${length(y_m)} from the front`),
      h("figure", {}, h("div", { className: "scroll", tabIndex: 0, role: "region", "aria-label": "Sky over the spot" }, svg), h("figcaption", {}, "Blue: light comes straight through a pane from there. Lines: the sun's way by the month, from the lowest to the highest of the year; where a line leaves the blue, the spot lies in shade.")));
  }

  function keyed(event, index) {
    const way = ARROWS[event.key];
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      const bed = house().beds[index];
      return void skyOver(index, bed.at_m.map((v, axis) => v + bed.size_m[axis] / 2));
    }
    if (event.key === "Delete") return void remove(index);
    if (!way) return;
    event.preventDefault();
    change(`bed ${house().beds[index].name} moved`, () => {
      const bed = house().beds[index];
      const by = [way[0] * step(), -way[1] * step()];
      const moved = bed.at_m.map((v, axis) => v + by[axis]), stretched = bed.size_m.map((v, axis) => v + by[axis]);
      return editsOf(index, ...(event.shiftKey ? held(bed.at_m, stretched) : held(moved, bed.size_m)));
    }).then(() => plan.querySelector(`[data-bed="${index}"]`)?.focus({ preventScroll: true }));
  }

  async function put(index, at_m, size_m) {
    moving = { index, at_m, size_m };
    await change(`bed ${house().beds[index].name} moved`, editsOf(index, at_m, size_m));
    moving = null;
    plan.querySelector(`[data-bed="${index}"]`)?.focus({ preventScroll: true });
  }

  /** The light of the file as it stands. */
  async function fresh() {
    const version = store.file.version;
    if (!(await lit.fresh())) return;
    element.dataset.traced = version;
    lampsLabel.hidden = !lit.year().beds.some((bed) => bed.lamps.some((v) => v > 0));
  }

  function drawKey(most) {
    key.setAttribute("aria-label", `Colours from 0 to ${light(most)} mol a square metre and day, deeper colour is more`);
    fill(key, h("span", {}, "0"), ...Array.from({ length: STEPS }, (_, n) => h("span", { className: `swatch m${n}` })),
      h("span", {}, `${light(most)} mol m⁻² d⁻¹`));
  }

  function drawTable(all, found) {
    const part = (one, name) => {
      if (!one?.year || kept.sky === "dull") return "";
      const sum = one.year.beam[kept.day] + one.year.sky[kept.day] + one.year.bounced[kept.day];
      return sum > 0 ? `${Math.round(one.year[name][kept.day] / sum * 100)} %` : "";
    };
    const out = lit.year()?.outdoors;
    const lamped = found.some((one) => one?.lamp); // no empty column where nothing hangs
    fill(table, h("table", {}, h("caption", {}, `Light on ${dayText(kept.day)}, ${kept.sky} day, mol m⁻² d⁻¹`
      + (out ? `; outdoors ${light((kept.sky === "dull" ? out.dull : out.dli)[kept.day])}` : "")),
    h("thead", {}, h("tr", {}, ["bed", "mean", "darkest", "brightest", "straight sun", "sky", "bounced", ...(lamped ? ["lamps"] : [])].map((t) => h("th", { scope: "col" }, t)))),
    h("tbody", {}, all.map((bed, i) => h("tr", {}, h("th", { scope: "row" }, bed.name),
      [found[i] ? light(found[i].mean) : "…", found[i]?.points ? light(Math.min(...found[i].points)) : "",
        found[i]?.points ? light(Math.max(...found[i].points)) : "", part(found[i], "beam"), part(found[i], "sky"), part(found[i], "bounced"),
        ...(lamped ? [found[i]?.lamp ? light(found[i].lamp) : ""] : [])].map((t) => h("td", { className: "n" }, t)))))));
  }

  function sized(label, index, path, axis, value) {
    const input = h("input", { type: "text", inputMode: "decimal", value: bare(value), size: 7, onchange: () => {
      const bed = house().beds[index];
      const whole = axis === null ? typed(input.value) : bed[path].map((v, a) => (a === axis ? typed(input.value) : written(v)));
      change(`bed ${bed.name}: ${label}`, [{ do: "set", path: ["bed", index, path], value: whole }]);
    } });
    return field(`${label} (${lengthUnit()})`, input);
  }

  function drawPanel() {
    const index = Math.min(kept.bed, house().beds.length - 1);
    const bed = house().beds[index];
    if (panel.contains(document.activeElement) && Number(panel.dataset.bed) === index) {
      // a field in use is not taken away under the hands
      const place = [...panel.querySelectorAll("input, select, button")].indexOf(document.activeElement);
      setTimeout(() => panel.querySelectorAll("input, select, button")[place]?.focus(), 0);
    }
    panel.dataset.bed = index;
    const name = h("input", { type: "text", value: bed?.name ?? "", maxLength: 60, onchange: () =>
      change(`bed named ${name.value}`, [{ do: "set", path: ["bed", index, "name"], value: name.value }]) });
    fill(panel, 
      field("Bed", choice(house().beds.map((one, n) => [String(n), one.name]), String(index), (value) => { choose(Number(value)); draw(); })),
      bed ? [field("Name", name), sized("from the left", index, "at_m", 0, bed.at_m[0]), sized("from the front", index, "at_m", 1, bed.at_m[1]),
        sized("along the front", index, "size_m", 0, bed.size_m[0]), sized("deep", index, "size_m", 1, bed.size_m[1]),
        sized("height of the soil", index, "height_m", null, bed.height_m)].flat() : [],
      h("div", { className: "buttons" }, h("button", { type: "button", onclick: add }, "Add a bed"),
        h("button", { type: "button", disabled: house().beds.length < 2, onclick: () => remove(index) }, "Remove this bed")));
  }

  /** A new bed where there is most room between the others, as deep as an arm reaches. */
  async function add() {
    const [[x0, y0], [x1, y1]] = house().floor_m;
    const names = house().beds.map((bed) => bed.name);
    const name = ["front", "back", "middle", "left", "right"].find((word) => !names.includes(word)) ?? `bed ${names.length + 1}`;
    const margin = Math.min(0.15, (x1 - x0) / 4, (y1 - y0) / 4);
    const taken = house().beds.map((bed) => [bed.at_m[1], bed.at_m[1] + bed.size_m[1]]).sort((a, b) => a[0] - b[0]);
    let best = [y0 + margin, y0 + margin], from = y0 + margin;
    for (const [low, high] of [...taken, [y1 - margin, y1]]) {
      if (low - from > best[1] - best[0]) best = [from, low];
      from = Math.max(from, high);
    }
    const room = best[1] - best[0];
    if (room < SMALLEST_M) return tell(["There is no room left for another bed: make one smaller first."]);
    const deep = Math.min(0.8, room);
    const at = [x0 + margin, best[1] - deep];
    const value = { name, at_m: at.map(written), size_m: [x1 - x0 - 2 * margin, deep].map(written), height_m: 0 };
    kept.bed = house().beds.length;
    await change(`bed ${name} added`, [{ do: "add", path: ["bed"], value }]);
  }

  async function remove(index) {
    if (house().beds.length < 2) return;
    kept.bed = 0;
    await change(`bed ${house().beds[index].name} removed`, [{ do: "remove", path: ["bed", index] }]);
  }

  return {
    element,
    update() {
      kept.bed = Math.min(kept.bed, house().beds.length - 1);
      drawPanel();
      draw();
      fresh().catch((error) => { said.textContent = ""; tell(error.message.split("\n")); });
    },
  };
}
