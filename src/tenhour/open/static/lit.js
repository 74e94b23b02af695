// Light on the beds as a drawing shows it: coarse while something is dragged, fine once it is let go.

import { dayText, light, s, today } from "./dom.js";
import { lightOfYear, lightOnDay, store } from "./house-file.js";
import { openPart } from "./parts.js";

const CM = 100;
export const STEPS = 7;
const AGAIN_MS = 30;
/** What is looked at, on every screen alike. */
export const kept = { day: today(), sky: "typical", lamps: true, bed: 0 };

/** The light of the beds of one drawing; `redraw` is called whenever there is something new to show, `say` with words. */
export function litBeds(redraw, say) {
  let year = null; // of the file as it stands
  let passing = null; // { day, beds }, coarse, while a change is not made or not traced yet
  const coming = { busy: false, next: null };

  /** Light of a bed on the day shown: its mean and its points, from the day in passing or from the year. */
  function of(name) {
    const quick = passing?.day === kept.day ? passing.beds.find((bed) => bed.name === name) : null;
    const fine = year?.beds.find((bed) => bed.name === name);
    const lamp = fine ? fine.lamps[kept.day] : 0;
    const extra = kept.lamps ? lamp : 0;
    if (quick) {
      const mean = (kept.sky === "dull" ? quick.dull : quick.dli) + extra;
      return { mean, coarse: true, x_m: quick.x_m, y_m: quick.y_m, points: kept.sky === "dull" ? null : quick.points.map((p) => p + extra) };
    }
    if (!fine) return null;
    const off = lamp - extra;
    const mean = (kept.sky === "dull" ? fine.dull : fine.dli)[kept.day] - off;
    return { mean, x_m: fine.x_m, y_m: fine.y_m, year: fine, lamp: extra,
      points: kept.sky === "dull" ? null : fine.points[kept.day].map((p) => p - off) };
  }

  /** Show coarse light with changes not yet made: one request at a time, always the newest next. */
  async function follow(edits) {
    coming.next = edits;
    if (coming.busy) return;
    coming.busy = true;
    while (coming.next) {
      const now = coming.next, day = kept.day;
      coming.next = null;
      try {
        const found = await lightOnDay(day, now);
        if (found) { passing = { day, ...found }; redraw(); }
      } catch { /* what the file's reader refuses: said when it is let go there */ }
      await new Promise((done) => setTimeout(done, AGAIN_MS));
    }
    coming.busy = false;
  }

  /** The light of the file as it stands: that of the day at once, then the year's; true once it is all there. */
  async function fresh() {
    const version = store.file.version;
    coming.next = null;
    if (store.light.version !== version) {
      say("Tracing the light…");
      const day = kept.day;
      const quick = await lightOnDay(day, []);
      if (store.file.version !== version) return false;
      if (quick) { passing = { day, ...quick }; redraw(); }
    }
    const found = await lightOfYear();
    if (!found || store.file.version !== version) return false;
    [year, passing] = [found, null];
    say("");
    redraw();
    return true;
  }

  return { of, follow, fresh, year: () => year };
}

/** One scale for all beds: its top is the brightest point of the day shown, at least 1 mol. */
export const top = (found) => Math.max(100, ...found.flatMap((one) => (one ? one.points ?? [one.mean] : [])));

const shade = (value, most) => `m${Math.min(STEPS - 1, Math.max(0, Math.floor(value / most * STEPS)))}`;

/** A bed in the colours of its light. */
export function cells(bed, found, most) {
  const [x0, y0] = bed.at_m, [dx, dy] = bed.size_m;
  const whole = (cls) => s("rect", { class: cls, x: x0 * CM, y: -(y0 + dy) * CM, width: dx * CM, height: dy * CM });
  if (!found) return [whole("unknown")];
  if (!found.points) return [whole(shade(found.mean, most))];
  // the points as they lie on the bed they were traced on, carried along while it is dragged
  const xs = [...new Set(found.x_m)].sort((a, b) => a - b), ys = [...new Set(found.y_m)].sort((a, b) => a - b);
  const w = dx / xs.length, d = dy / ys.length;
  return [whole(shade(found.mean, most)), ...found.points.map((value, i) => s("rect", {
    class: shade(value, most), x: (x0 + xs.indexOf(found.x_m[i]) * w) * CM,
    y: -(y0 + (ys.indexOf(found.y_m[i]) + 1) * d) * CM, width: w * CM + 0.5, height: d * CM + 0.5 }))];
}

/** A bed's name and light where no higher bed lies over it; nothing where it could not be read. */
export function nameOn(beds, index, found, size) {
  const bed = beds[index], [, y] = bed.at_m, [, dy] = bed.size_m;
  const text = found ? `${bed.name} ${light(found.mean)}` : bed.name;
  const [left, right] = openPart(beds, index);
  const fit = Math.min(size * 1.25, (right - left) * CM / (text.length * 0.66), dy * CM * 0.8);
  return fit > size / 4 ? s("text", { class: "bed-text mid", x: (left + right) / 2 * CM, y: -(y + dy / 2) * CM + fit * 0.35, "font-size": fit }, text) : null;
}

/** The beds of a house in their light, lower ones first, for drawings in which they are not dragged. */
export function bedsIn(lit, beds, size) {
  const found = beds.map((bed) => lit.of(bed.name)), most = top(found);
  const order = beds.map((_, index) => index).sort((a, b) => beds[a].height_m - beds[b].height_m);
  return order.map((index) => [cells(beds[index], found[index], most),
    s("rect", { class: "bed-edge", x: beds[index].at_m[0] * CM, y: -(beds[index].at_m[1] + beds[index].size_m[1]) * CM,
      width: beds[index].size_m[0] * CM, height: beds[index].size_m[1] * CM }), nameOn(beds, index, found[index], size)]);
}

/** The same in words. */
export const lightWords = (lit, beds) => {
  const known = beds.map((bed) => [bed.name, lit.of(bed.name)]).filter(([, found]) => found);
  return known.length ? `Light on ${dayText(kept.day)}: ${known.map(([name, found]) => `${name} ${light(found.mean)}`).join(", ")} mol m⁻² d⁻¹.` : "";
};
