// House: its outline with edges to drag, the way its front looks, and what each face is made of.

import { ARROWS, bare, choice, dragged, field, h, length, lengthUnit, put, radios, roomy, s, snapped, step, typed, windText, written } from "./dom.js";
import { change, store, tell } from "./house-file.js";
import { bedsIn, lightWords, litBeds } from "./lit.js";

const CM = 100;
const WORDS = { length: "along the front", width: "front to back", eaves: "height of the walls", ridge: "height of the ridge",
  front: "height of the front", back: "height of the back" };
const FACES = { south: "front", north: "back", west: "left end", east: "right end", "roof-south": "roof, front", "roof-north": "roof, back" };
const TURN_DEG = 5;

export function house() {
  const plan = h("div", {}), section = h("div", {}), needle = h("div", {}), sizes = h("div", { className: "fields" });
  const faces = h("div", { className: "faces" }), shape = h("div", {});
  const words = h("span", {}), tracing = h("span", { className: "quiet", role: "status" }), inside = s("g", { class: "lit" });
  const guide = h("p", { className: "quiet how" }, "Drag an edge by its handle, or type a length. Turn the needle to where the front looks. Choose for each face what it is made of, and drag its windows. The light on the beds follows, on the day chosen at Beds.");
  const own = h("p", { hidden: true }, "This house is drawn face by face in its file: its outline is changed there, and stays as it is; what its faces are made of, and its beds, are changed here as of any other.");
  const drawings = h("div", { className: "drawings" }, h("figure", {}, plan, h("figcaption", {}, "From above")), h("figure", {}, section, h("figcaption", {}, "From the left end")),
      h("figure", {}, needle, h("figcaption", {}, "Where the front looks")));
  const element = h("div", { className: "screen" }, h("h2", {}, "House"),
    guide, own, drawings,
    h("p", { className: "lit-words" }, words, tracing), sizes, shape, h("h3", {}, "Faces"), faces);
  const now = () => store.file.house;

  const lit = litBeds(() => { if (element.isConnected) drawLit(); }, (text) => { tracing.textContent = text ? ` ${text}` : ""; });

  /** The beds in their light, in the plan; redrawn alone while something is dragged. */
  function drawLit() {
    const { length: L, width: W } = now().dimensions_m;
    if (L) put(inside, bedsIn(lit, now().beds, Math.max(L, W) * CM / 26));
    words.textContent = lightWords(lit, now().beds);
  }

  const sizeEdits = (key, m) => [{ do: "set", path: ["house", `${key}_m`], value: typeof m === "number" ? written(m) : m }];
  const setSize = (key, m) => change(`${WORDS[key] ?? key}`, sizeEdits(key, m));

  /** A handle that is dragged or moved by arrows along one axis and sets one size. */
  function handle(svg, key, axis, sign, x, y, size, redraw) {
    const from = now().dimensions_m[key];
    const dot = s("circle", { class: "dot", cx: x, cy: y, r: size, tabindex: 0, role: "slider", "aria-label": WORDS[key] ?? key,
      "aria-valuenow": from.toFixed(2), "aria-valuetext": length(from), "data-size": key });
    const at = (dx, dy) => Math.max(0.1, snapped(from + sign * (axis === "x" ? dx : -dy) / CM));
    dot.addEventListener("pointerdown", (event) => dragged(svg, event,
      (dx, dy) => { dot.setAttribute("transform", axis === "x" ? `translate(${dx} 0)` : `translate(0 ${dy})`); redraw(length(at(dx, dy)), at(dx, dy)); lit.follow(sizeEdits(key, at(dx, dy))); },
      (meant, dx, dy) => (meant && Math.abs(at(dx, dy) - from) > step() / 2 ? setSize(key, at(dx, dy)) : update())));
    dot.addEventListener("keydown", (event) => {
      const way = ARROWS[event.key];
      if (!way) return;
      event.preventDefault();
      const by = (way[0] - way[1]) * step();
      change(WORDS[key] ?? key, () => [{ do: "set", path: ["house", `${key}_m`], value: written(Math.max(0.1, now().dimensions_m[key] + by)) }])
        .then(() => element.querySelector(`[data-size="${key}"]`)?.focus());
    });
    return dot;
  }

  function drawPlan() {
    const { length: L, width: W } = now().dimensions_m;
    for (const part of [guide, drawings]) part.hidden = !L;
    own.hidden = Boolean(L);
    if (!L) return put(plan);
    const big = Math.max(L, W) * CM, pad = big * 0.22, size = big / 22;
    const svg = s("svg", { viewBox: `${-pad * 0.6} ${-W * CM - pad * 0.6} ${L * CM + 2.2 * pad} ${W * CM + 1.4 * pad}`, class: "plan-drawing", role: "group", "aria-label": `Outline, ${length(L)} by ${length(W)}` });
    const along = s("text", { class: "ink-text mid", x: L * CM / 2, y: size * 1.6, "font-size": size * 1.2 }, length(L));
    const deep = s("text", { class: "ink-text", x: L * CM + size * 0.7, y: -W * CM / 2 - size, "font-size": size * 1.2 }, length(W));
    const floor = s("rect", { class: "floor", x: 0, y: -W * CM, width: L * CM, height: W * CM });
    svg.append(floor, inside,
      s("text", { class: "quiet-text", x: 0, y: size * 1.5, "font-size": size }, "front"),
      s("text", { class: "quiet-text mid", x: L * CM / 2, y: -W * CM - size * 0.7, "font-size": size }, "back"), along, deep,
      handle(svg, "length", "x", 1, L * CM, -W * CM / 4, size * 0.6, (text, m) => { along.textContent = text; floor.setAttribute("width", m * CM); }),
      handle(svg, "width", "y", 1, L * CM / 4, -W * CM, size * 0.6, (text, m) => { deep.textContent = text; floor.setAttribute("height", m * CM); floor.setAttribute("y", -m * CM); }));
    put(plan, svg);
  }

  function drawSection() {
    const { profile_m: profile, dimensions_m: d } = now();
    if (!profile.length) return put(section);
    const W = d.width, top = Math.max(...profile.map((p) => p[1])), big = Math.max(W, top) * CM, pad = big * 0.28, size = big / 18;
    const svg = s("svg", { viewBox: `${-pad} ${-top * CM - pad} ${W * CM + 2 * pad} ${top * CM + 1.5 * pad}`, class: "plan-drawing", role: "group", "aria-label": "Cross-section" });
    const outline = [[0, 0], ...profile, [W, 0]].map(([x, z]) => `${x * CM},${-z * CM}`).join(" ");
    const label = s("text", { class: "ink-text mid", x: W * CM / 2, y: -top * CM - size, "font-size": size * 1.2 }, length(top));
    svg.append(s("polygon", { class: "floor", points: outline }), label,
      s("text", { class: "quiet-text", x: 0, y: size * 1.4, "font-size": size }, "front"),
      s("text", { class: "quiet-text", x: W * CM - size * 2, y: size * 1.4, "font-size": size }, "back"));
    const low = profile[0][1], high = profile.at(-1)[1];
    const say = (text) => { label.textContent = text; };
    if ("ridge" in d) svg.append(handle(svg, "ridge", "y", 1, W * CM / 2, -d.ridge * CM, size * 0.6, say));
    if ("eaves" in d && d.eaves > 0) svg.append(handle(svg, "eaves", "y", 1, 0, -low * CM, size * 0.6, say));
    if ("front" in d) svg.append(handle(svg, "front", "y", 1, 0, -low * CM, size * 0.6, say));
    if ("back" in d && now().shape !== "box") svg.append(handle(svg, "back", "y", 1, W * CM, -high * CM, size * 0.6, say));
    put(section, svg);
  }

  function drawNeedle() {
    if (now().shape === "custom") return put(needle);
    let looks = (now().azimuth_deg + 90) % 360;
    const svg = s("svg", { viewBox: "-130 -130 260 260", class: "plan-drawing compass", role: "group", "aria-label": "Compass" });
    const pointer = s("g", { tabindex: 0, role: "slider", class: "needle", "aria-label": "The front looks", "aria-valuemin": 0, "aria-valuemax": 359 },
      s("rect", { class: "box", x: -42, y: -26, width: 84, height: 26 }), s("path", { class: "arrow", d: "M0 -104L13 -70H-13Z" }), s("line", { class: "arrow", x1: 0, y1: -26, x2: 0, y2: -72 }));
    const text = h("span", {});
    const turn = (deg) => {
      looks = ((Math.round(deg) % 360) + 360) % 360;
      pointer.setAttribute("transform", `rotate(${looks})`);
      pointer.setAttribute("aria-valuenow", looks);
      pointer.setAttribute("aria-valuetext", `${windText(looks)}, ${looks} degrees`);
      text.textContent = `${windText(looks)} (${looks}°)`;
    };
    const turnEdits = () => [{ do: "set", path: ["house", "length_azimuth_deg"], value: (looks + 270) % 360 }];
    const save = () => change("where the front looks", turnEdits());
    turn(looks);
    for (const [word, x, y] of [["N", 0, -112], ["E", 116, 5], ["S", 0, 124], ["W", -116, 5]]) svg.append(s("text", { class: "quiet-text mid", x, y, "font-size": 16 }, word));
    svg.append(s("circle", { class: "dial", r: 104 }), pointer);
    pointer.addEventListener("pointerdown", (event) => {
      const from = looks;
      const box = svg.getBoundingClientRect(), middle = [box.left + box.width / 2, box.top + box.height / 2];
      const grabbed = [event.clientX - middle[0], event.clientY - middle[1]];
      const scale = svg.getScreenCTM().a;
      dragged(svg, event, (dx, dy) => {
        const deg = Math.atan2(grabbed[0] + dx * scale, -(grabbed[1] + dy * scale)) * 180 / Math.PI;
        turn(Math.round(deg / TURN_DEG) * TURN_DEG);
        lit.follow(turnEdits());
      }, () => { if (looks !== from) save(); });
    });
    pointer.addEventListener("keydown", (event) => {
      const way = ARROWS[event.key];
      if (!way) return;
      event.preventDefault();
      turn(looks + (way[0] - way[1]) * (event.shiftKey ? 1 : TURN_DEG));
      save().then(() => element.querySelector(".needle")?.focus());
    });
    put(needle, svg, h("p", { className: "quiet mid-text", role: "status" }, text));
  }

  function drawSizes() {
    put(sizes, Object.entries(now().dimensions_m).filter(([, m]) => m > 0).map(([key, m]) => {
      const input = h("input", { type: "text", inputMode: "decimal", size: 8, name: key, value: bare(m), onchange: () => setSize(key, typed(input.value)) });
      return field(`${WORDS[key] ?? key} (${lengthUnit()})`, input);
    }));
    const shapes = store.words.shapes.map((one) => [one.key, one.key]);
    if (now().shape === "custom") shapes.push(["custom", "custom"]);
    put(shape, radios("Shape", "house-shape", shapes, now().shape, reshape));
  }

  /** Another shape: its own sizes with what is known of the old ones. */
  function reshape(key) {
    const found = store.words.shapes.find((one) => one.key === key);
    if (!found) return;
    const old = now().dimensions_m, had = store.file.house_keys;
    const edits = had.filter((name) => name.endsWith("_m") && !(name.slice(0, -2) in found.sizes_m)).map((name) => ({ do: "remove", path: ["house", name] }));
    if (had.includes("roof") && key !== "box") edits.push({ do: "remove", path: ["house", "roof"] });
    for (const [name, m] of Object.entries(found.sizes_m)) if (!(name in old) || !had.includes(`${name}_m`)) edits.push({ do: "set", path: ["house", `${name}_m`], value: written(old[name] || m) });
    change(`shape ${key}`, [...edits, { do: "set", path: ["house", "shape"], value: key }]);
  }

  function drawFaces() {
    const covers = [["opaque", "opaque: lets no light in"], ...store.words.covers.filter((one) => one.key !== "opaque").map((one) => [one.key, one.title || one.key])];
    put(faces, now().faces.filter((face) => face.name !== "floor").map((face) => {
      const known = covers.some(([key]) => key === face.cover) ? covers : [[face.cover, face.cover], ...covers];
      const name = now().shape === "custom" ? face.name : FACES[face.name] ?? face.name;
      const select = roomy(choice(known, face.cover, (value) => change(`${name}: ${value}`,
        now().shape === "custom"
          ? [{ do: "set", path: ["surface", now().faces.indexOf(face), "cover"], value }]
          : [{ do: "set", path: ["face", face.name, "cover"], value }])));
      select.id = `cover-${face.name}`;
      const looks = face.looks_deg === null || face.looks_deg === undefined ? "" : `, looks ${windText(face.looks_deg)}`;
      return h("section", { className: "face", "aria-label": name }, h("h4", {}, `${name}${looks}`),
        face.outline_m ? drawnFace(face, select) : null, field("Made of", select),
        face.outline_m ? h("div", { className: "buttons" }, h("button", { type: "button", onclick: () => addWindow(face) }, "Add a window"),
          now().windows.map((w, index) => (w.on === face.name ? h("button", { type: "button", onclick: () => change("window removed", [{ do: "remove", path: ["window", index] }]) }, `Remove window ${index + 1}`) : null))) : null);
    }));
  }

  function drawnFace(face, select) {
    const xs = face.outline_m.map((p) => p[0]), ys = face.outline_m.map((p) => p[1]);
    const w = Math.max(...xs), t = Math.max(...ys), pad = Math.max(w, t) * 0.06;
    const svg = s("svg", { viewBox: `${-pad * CM} ${(-t - pad) * CM} ${(w + 2 * pad) * CM} ${(t + 2 * pad) * CM}`, class: "plan-drawing face-drawing", role: "group", "aria-label": `${FACES[face.name] ?? face.name} as seen from inside` });
    const body = s("polygon", { class: face.opaque ? "wall" : "pane", points: face.outline_m.map(([x, y]) => `${x * CM},${-y * CM}`).join(" ") });
    body.addEventListener("click", () => select.focus());
    svg.append(body);
    now().windows.forEach((window_, index) => { if (window_.on === face.name) svg.append(drawnWindow(svg, window_, index, Math.max(w, t) * CM / 26)); });
    return svg;
  }

  const placeOf = (w, dx, dy) => ({ left_m: Math.max(0, snapped(w.left_m + dx)), sill_m: Math.max(0, snapped(w.sill_m + dy)) });
  const sizeOf = (w, dx, dy) => ({ width_m: Math.max(0.1, snapped(w.width_m + dx)), height_m: Math.max(0.1, snapped(w.height_m + dy)) });
  const windowEdits = (index, to) => Object.entries(to).map(([key, value]) => ({ do: "set", path: ["window", index, key], value: written(value) }));
  const setWindow = (index, to) => change(`window ${index + 1} moved`, windowEdits(index, to));

  function drawnWindow(svg, w, index, size) {
    const shape = (v) => ({ x: v.left_m * CM, y: -(v.sill_m + v.height_m) * CM, width: v.width_m * CM, height: v.height_m * CM });
    const rect = s("rect", { class: "window", ...shape(w) });
    const corner = s("rect", { class: "handle always", x: (w.left_m + w.width_m) * CM - size / 2, y: -(w.sill_m + w.height_m) * CM - size / 2, width: size, height: size });
    const group = s("g", { tabindex: 0, role: "button", class: "window-group", "data-window": index,
      "aria-label": `Window ${index + 1}, ${length(w.width_m)} by ${length(w.height_m)}, ${length(w.left_m)} from the left corner seen from inside, sill ${length(w.sill_m)}` }, rect, corner);
    group.addEventListener("pointerdown", (event) => {
      const how = event.target === corner ? sizeOf : placeOf;
      dragged(svg, event, (dx, dy) => {
        const to = { ...w, ...how(w, dx / CM, -dy / CM) };
        for (const [key, value] of Object.entries(shape(to))) rect.setAttribute(key, value);
        lit.follow(windowEdits(index, how(w, dx / CM, -dy / CM)));
      }, (meant, dx, dy) => {
        const to = how(w, dx / CM, -dy / CM);
        if (meant && Object.entries(to).some(([key, value]) => Math.abs(value - w[key]) > step() / 2)) setWindow(index, to);
        else update();
      });
    });
    group.addEventListener("keydown", (event) => {
      if (event.key === "Delete") return void change("window removed", [{ do: "remove", path: ["window", index] }]);
      const way = ARROWS[event.key];
      if (!way) return;
      event.preventDefault();
      const how = event.shiftKey ? sizeOf : placeOf;
      setWindow(index, how(now().windows[index], way[0] * step(), -way[1] * step())).then(() => element.querySelector(`[data-window="${index}"]`)?.focus());
    });
    return group;
  }

  function addWindow(face) {
    const w = Math.max(...face.outline_m.map((p) => p[0])), t = Math.min(...face.outline_m.map((p) => p[1]).filter((y) => y > 0));
    const value = { on: face.name, left_m: written(snapped(w * 0.2)), sill_m: written(snapped(t * 0.35)), width_m: written(snapped(w * 0.6)), height_m: written(snapped(t * 0.45)), cover: "glass-2" };
    change(`window in the ${FACES[face.name] ?? face.name}`, [{ do: "add", path: ["window"], value }]);
  }

  /** The light of the file as it stands. */
  async function fresh() {
    const version = store.file.version;
    if (await lit.fresh()) element.dataset.traced = version;
  }

  function update() {
    const focus = document.activeElement?.id;
    drawPlan();
    drawSection();
    drawNeedle();
    drawSizes();
    drawFaces();
    drawLit();
    fresh().catch((error) => { tracing.textContent = ""; tell(error.message.split("\n")); });
    if (focus) document.getElementById(focus)?.focus();
  }

  return { element, update };
}
