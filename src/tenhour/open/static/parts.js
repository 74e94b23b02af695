// What several screens share: an answer's tables and cautions, and the reader's way of writing dates.

import { h } from "./dom.js";

const COMMON_YEAR = 2027;

/** How the server writes dates in sentences and tables for this reader. */
export const dates = () => {
  const first = new Intl.DateTimeFormat(undefined, { dateStyle: "short" }).formatToParts(new Date(COMMON_YEAR, 0, 15))
    .find((part) => part.type !== "literal").type;
  return { year: "iso", month: "us" }[first] ?? "long";
};

/** Drawings that the server made, the same as on the page of the report. */
export const picturesOf = (list, named = false) => h("div", { className: "pictures" }, list.map((one) => {
  const figure = h("figure", { className: one.form });
  figure.insertAdjacentHTML("afterbegin", one.svg);
  if (named) figure.append(h("figcaption", {}, one.title));
  return figure;
}));

/** Tables that the server wrote with the parts of the report: its own markup, every text in it escaped there. */
export function tablesOf(html, summary) {
  const held = h("div", {});
  held.insertAdjacentHTML("afterbegin", html);
  return h("details", {}, h("summary", {}, summary), held);
}

/** The answer in the words of the command, folded. */
export const printed = (text) => h("details", {}, h("summary", {}, "As the command prints it"),
  h("pre", { className: "told", tabIndex: 0, role: "region", "aria-label": "The answer in words" }, text));

export const cautionsOf = (list) => (list.length ? h("section", { className: "caution" }, h("h3", {}, "Cautions"), h("ul", {}, list.map((line) => h("li", {}, line)))) : null);

/** Run something slow with words in the meantime; errors are told where the answer would stand. */
export async function within(place, words, work) {
  place.setAttribute("aria-busy", "true");
  place.prepend(h("p", { className: "quiet", role: "status" }, words));
  try {
    return await work();
  } catch (error) {
    place.replaceChildren(...error.message.split("\n").map((line) => h("p", { className: "refused" }, line)));
    return null;
  } finally {
    place.removeAttribute("aria-busy");
  }
}

/** The widest part of a bed along the front that no higher bed lies over [m]: its name stands there. */
export function openPart(beds, index) {
  const bed = beds[index], start = bed.at_m[0], end = start + bed.size_m[0];
  const over = beds.filter((other, n) => n !== index && other.height_m > bed.height_m
    && other.at_m[1] < bed.at_m[1] + bed.size_m[1] && other.at_m[1] + other.size_m[1] > bed.at_m[1]);
  let from = start, best = [start, start];
  const ends = over.map((other) => [other.at_m[0], other.at_m[0] + other.size_m[0]]).sort((a, b) => a[0] - b[0]);
  for (const [low, high] of [...ends, [end, end]]) {
    if (Math.min(low, end) - from > best[1] - best[0]) best = [from, Math.min(low, end)];
    from = Math.max(from, high);
  }
  return best;
}
