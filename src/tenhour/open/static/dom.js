// Elements, numbers and dates: what every screen is made of. Text is always text, never markup.

const SVG = "http://www.w3.org/2000/svg";
const M_PER_FT = 0.3048;
const MONTHS = 12;
export const DAYS = 365;
const COMMON_YEAR = 2027; // any year without a 29 February: days are those of the generic year

const flat = (children) => children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false);

/** Put children in place of those that are there. */
export const put = (element, ...children) => element.replaceChildren(...flat(children));

function filled(element, props, children) {
  for (const [key, value] of Object.entries(props ?? {})) {
    if (value === null || value === undefined || value === false) continue;
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else if (key in element && !(element instanceof SVGElement) && key !== "list" && key !== "role") element[key] = value;
    else element.setAttribute(key, value === true ? "" : value);
  }
  element.append(...flat(children));
  return element;
}

export const h = (tag, props, ...children) => filled(document.createElement(tag), props, children);
export const s = (tag, props, ...children) => filled(document.createElementNS(SVG, tag), props, children);

/** A labelled field: the label stands above, a hint under it. */
export function field(label, control, hint) {
  const id = control.id || `f${(field.count = (field.count ?? 0) + 1)}`;
  control.id = id;
  if (control.matches("input[type=text]") && !control.placeholder) control.placeholder = " "; // an empty one is left out on paper
  const told = hint ? h("span", { className: "hint", id: `${id}h` }, hint) : null;
  if (hint) control.setAttribute("aria-describedby", `${id}h`);
  return h("div", { className: "field" }, h("label", { htmlFor: id }, label), control, control.matches("select") ? inFull(control) : null, told);
}

const [FITS, FITS_ROOMY] = [22, 31]; // letters

/** The words of a choice in full where they are too long for it. */
function inFull(select) {
  const told = h("span", { className: "hint", ariaHidden: "true" });
  const say = () => {
    const words = select.selectedOptions[0]?.textContent ?? "";
    told.textContent = words.length > (select.matches(".roomy") ? FITS_ROOMY : FITS) ? words : "";
    told.hidden = !told.textContent;
  };
  select.addEventListener("change", say);
  say();
  return told;
}

export function choice(options, chosen, change) {
  const made = h("select", { onchange: () => change(made.value) });
  for (const [value, text] of options) made.append(h("option", { value, selected: value === chosen }, text));
  return made;
}

/** A choice whose words are long. */
export const roomy = (select) => { select.classList.add("roomy"); return select; };

/** Choose one of a few by radio buttons in a named group. */
export function radios(legend, name, options, chosen, change) {
  return h("fieldset", { className: "radios" }, h("legend", {}, legend),
    options.map(([value, text]) => h("label", {},
      h("input", { type: "radio", name, value, checked: value === chosen, onchange: () => change(value) }), ` ${text}`)));
}

let us = false;
export const useUs = (wanted) => { us = wanted; };
export const isUs = () => us;

/** Heat that is reckoned, with the two figures that count. */
export const figures = (value) => Number(value.toPrecision(2));

/** A length for reading. */
export function length(m) {
  if (!us) return `${m.toFixed(2)} m`;
  const inches = Math.round(m / M_PER_FT * 12);
  const feet = Math.floor(inches / 12), rest = inches % 12;
  return rest ? `${feet} ft ${rest} in` : `${feet} ft`;
}

/** The step lengths are dragged and moved by: 5 cm, or 2 inches. */
export const step = () => (us ? M_PER_FT / 6 : 0.05);
export const snapped = (m) => Math.round(m / step()) * step();

/** A length as it is written into the file: in the reader's own unit. */
export function written(m) {
  if (!us) return Number(m.toFixed(3));
  return `${Number((m / M_PER_FT).toFixed(3))} ft`;
}

/** What was typed as a length: the file's reader takes "9 ft" and "2.4 m"; a bare number is in the reader's unit. */
export function typed(text) {
  const plain = text.trim();
  if (/^[+-]?\d*[.,]?\d+$/.test(plain)) return us ? `${plain.replace(",", ".")} ft` : Number(plain.replace(",", "."));
  return plain;
}

export const bare = (m) => (us ? Number((m / M_PER_FT).toFixed(2)) : Number(m.toFixed(3)));
export const lengthUnit = () => (us ? "ft" : "m");
export const temp = (degc) => (us ? `${Math.round(degc * 1.8 + 32)} °F` : `${Math.round(degc)} °C`);
export const tempText = (degc) => (us ? `${Math.round(degc * 1.8 + 32)} F` : Math.round(degc * 2) / 2);
export const light = (hundredths) => (hundredths / 100).toFixed(1);

const dayWriter = new Intl.DateTimeFormat(undefined, { day: "numeric", month: "long" });
const dateWriter = new Intl.DateTimeFormat(undefined, { day: "numeric", month: "short", year: "numeric" });
export const dayText = (day) => dayWriter.format(new Date(COMMON_YEAR, 0, day + 1));
export const dateText = (iso) => dateWriter.format(new Date(`${iso}T12:00:00`));
export const monthText = (number) =>
  new Intl.DateTimeFormat(undefined, { month: "short" }).format(new Date(COMMON_YEAR, number - 1, 15));
export const monthLetter = (number) =>
  new Intl.DateTimeFormat(undefined, { month: "narrow" }).format(new Date(COMMON_YEAR, number - 1, 15));
export const allMonths = () => Array.from({ length: MONTHS }, (_, number) => number + 1);

/** Today as a day of the generic year, from 0. */
export function today() {
  const now = new Date();
  return Math.round((Date.UTC(COMMON_YEAR, now.getMonth(), Math.min(now.getDate(), now.getMonth() === 1 ? 28 : 31))
    - Date.UTC(COMMON_YEAR, 0, 1)) / 86400000);
}

export const isoToday = () => {
  const now = new Date();
  return `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, "0")}-${String(now.getDate()).padStart(2, "0")}`;
};

const WINDS = ["north", "north-north-east", "north-east", "east-north-east", "east", "east-south-east", "south-east",
  "south-south-east", "south", "south-south-west", "south-west", "west-south-west", "west", "west-north-west",
  "north-west", "north-north-west"];
export const windText = (deg) => WINDS[Math.round((((deg % 360) + 360) % 360) / 22.5) % 16];

/** Follow a pointer from its press to its release, or to Escape, in the units of an SVG; `moved` and `done` get dx and dy. */
export function dragged(svg, event, moved, done) {
  const scale = svg.getScreenCTM();
  const from = { x: event.clientX, y: event.clientY };
  const target = event.target;
  const by = (e) => [(e.clientX - from.x) / scale.a, (e.clientY - from.y) / scale.d];
  const move = (e) => { if (e.pointerId === event.pointerId) moved(...by(e)); };
  const end = (e) => {
    if (e.pointerId !== event.pointerId) return;
    for (const [name, what] of heard) window.removeEventListener(name, what);
    done(e.type === "pointerup", ...by(e));
  };
  const leave = (e) => { if (e.key === "Escape") end({ type: "left", pointerId: event.pointerId, clientX: from.x, clientY: from.y }); };
  const heard = [["pointermove", move], ["pointerup", end], ["pointercancel", end], ["keydown", leave]];
  for (const [name, what] of heard) window.addEventListener(name, what);
  target.setPointerCapture?.(event.pointerId);
  event.preventDefault();
}

/** Whether the page is as narrow as a phone: drawings are then made narrower, not smaller. */
const phone = window.matchMedia("(max-width: 40rem)");
export const narrow = () => phone.matches;
export const onNarrow = (listener) => phone.addEventListener("change", listener);

/** Whether the reader's country measures in feet (CLDR, measurement systems). */
export const readsFeet = () => ["US", "LR", "MM"].includes(new Intl.Locale(navigator.language).maximize().region);

/** What was typed as a number: null where nothing was, and the text itself where it is none, for the server to refuse in words. */
export function number(text) {
  const plain = text.trim().replace(",", ".");
  if (plain === "") return null;
  return Number.isFinite(Number(plain)) ? Number(plain) : text;
}

/** The same of a temperature in the reader's unit [°C]. */
export function degc(text) {
  const value = number(text);
  return us && typeof value === "number" ? (value - 32) / 1.8 : value;
}

export const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
