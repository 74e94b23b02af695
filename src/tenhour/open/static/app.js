// The frame: screens by the address behind #, undo and redo, what to tell the reader.

import { h, onNarrow, put } from "./dom.js";
import { load, onChange, redo, store, tellBy, undo, watch } from "./house-file.js";
import { place } from "./place.js";
import { house } from "./house.js";
import { beds } from "./beds.js";
import { warmth } from "./warmth.js";
import { week } from "./week.js";
import { plan } from "./plan.js";
import { lamps } from "./lamps.js";
import { why } from "./why.js";
import { readings } from "./readings.js";

const SCREENS = [
  { key: "place", title: "Place", make: place, always: true },
  { key: "house", title: "House", make: house },
  { key: "beds", title: "Beds", make: beds },
  { key: "warmth", title: "Warmth", make: warmth },
  { key: "week", title: "This week", make: week },
  { key: "plan", title: "Plan", make: plan },
  { key: "lamps", title: "Lamps", make: lamps },
  { key: "why", title: "Why", make: why },
  { key: "readings", title: "Readings", make: readings },
];

const main = document.getElementById("main");
const notice = document.getElementById("notice");
let shown = null, refused = false;

tellBy((lines) => {
  notice.hidden = lines.length === 0;
  put(notice, lines.map((line) => h("p", {}, line)),
    h("button", { type: "button", onclick: () => { notice.hidden = true; } }, "Close"));
});

function wanted() {
  const key = location.hash.slice(1);
  const found = SCREENS.find((screen) => screen.key === key);
  if (!store.file.house) return SCREENS[0];
  return found ?? SCREENS.find((screen) => screen.key === "beds");
}

function frame() {
  const { house, file, undo: back, redo: again, problems } = store.file;
  document.getElementById("house-name").textContent = house?.name || (house ? "The greenhouse" : problems.length ? file : "A new greenhouse");
  document.title = `${house?.name || "tenhour"}: ${wanted().title}`;
  for (const [id, label] of [["undo", back], ["redo", again]]) {
    const button = document.getElementById(id);
    button.disabled = label === null;
    button.title = label ?? "";
  }
  document.getElementById("saved").textContent = house ? `Saved in ${file}` : "";
  if (problems.length) {
    notice.hidden = false;
    put(notice, h("p", {}, `${file} cannot be read as a house:`), problems.map((line) => h("p", {}, line)));
    refused = true;
  } else if (refused) {
    notice.hidden = true;
    refused = false;
  }
  put(document.getElementById("screens"), SCREENS.map((screen) => h("li", {},
    house || screen.always
      ? h("a", { href: `#${screen.key}`, "aria-current": screen === wanted() ? "page" : null }, screen.title)
      : h("span", { className: "quiet" }, screen.title))));
}

function show(focus) {
  frame();
  const screen = wanted();
  if (shown?.screen !== screen) {
    shown?.view.close?.();
    const view = screen.make();
    shown = { screen, view };
    put(main, view.element);
    if (focus) main.focus();
  }
  shown.view.update();
}

document.getElementById("undo").addEventListener("click", undo);
document.getElementById("redo").addEventListener("click", redo);
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") notice.hidden = true;
  if (!(event.ctrlKey || event.metaKey) || /INPUT|SELECT|TEXTAREA/.test(event.target.tagName)) return;
  const key = event.key.toLowerCase();
  if (key === "z" || key === "y") {
    event.preventDefault();
    (key === "y" || event.shiftKey ? redo : undo)();
  }
});
onNarrow(() => shown?.view.update());
window.addEventListener("hashchange", () => show(true));
onChange(() => show(false));
load().then(watch);
