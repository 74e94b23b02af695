// The file as the page knows it: asked of the server, changed through it, never assumed.

import { useUs } from "./dom.js";

export const TAB = Math.random().toString(36).slice(2);
const LOOK_EVERY_MS = 4000;

export const store = { file: null, words: null, light: {} };
const heard = new Set();
export const onChange = (listener) => { heard.add(listener); return () => heard.delete(listener); };

let notice = () => {};
export const tellBy = (teller) => { notice = teller; };
export const tell = (lines) => notice(lines);

export class Refused extends Error {
  constructor(status, told) {
    super((told.problems ?? ["No answer."]).join("\n"));
    this.status = status;
    this.told = told;
  }
}

async function call(what, init) {
  let response;
  try {
    response = await fetch(`api/${what}`, init);
  } catch {
    throw new Refused(0, { problems: ["The program behind this page has ended. Start it again with: tenhour open. Nothing is lost: everything done stands in the file."] });
  }
  if (response.status === 404) throw new Refused(404, { problems: ["This address is no longer good: open the page anew, at the address that tenhour open prints."] });
  if (!response.headers.get("content-type")?.includes("json")) throw new Refused(response.status, {});
  const told = await response.json();
  if (!response.ok) throw new Refused(response.status, told);
  return told;
}

export const ask = (what) => call(what);
export const send = (what, body, signal) => call(what, {
  method: "POST", headers: { "Content-Type": "application/json" }, signal,
  body: JSON.stringify({ version: store.file?.version ?? "", tab: TAB, ...body }),
});

function take(file) {
  store.file = file;
  useUs(Boolean(file.house?.us_units));
  for (const listener of [...heard]) listener();
}

export async function load() {
  if (!store.words) store.words = await ask("words");
  take(await ask("file"));
}

/** Do what changes the file; where it is no longer what the page shows, show it as it is and say so. */
async function made(work) {
  try {
    take(await work());
    notice([]);
    return true;
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    if (error.status === 409) {
      take(error.told);
      if (store.file.house) notice(["The file was changed elsewhere: here it is as it stands now. Your last change was not made; make it again if it is still wanted."]);
    } else {
      notice(error.message.split("\n"));
      for (const listener of [...heard]) listener();
    }
    return false;
  }
}

let last = Promise.resolve(true);

/** One change after the other: each starts from the file that the one before it left. */
const changing = (work) => { last = last.then(() => made(work)); return last; };

/** Write changes; `edits` may be a function that makes them from the file as it stands when their turn comes. */
export const change = (label, edits) =>
  changing(() => send("change", { label, edits: typeof edits === "function" ? edits() : edits }));
export const begin = (draft) => changing(() => send("new", { words: draft }));
export const undo = () => changing(() => send("undo", {}));
export const redo = () => changing(() => send("redo", {}));

/** Look now and then whether an editor or another tab has written the file. */
export function watch() {
  setInterval(async () => {
    if (document.hidden || !store.file) return;
    try {
      const { version } = await ask("version");
      if (version !== store.file.version) {
        await load();
        if (store.file.house) notice(["The file was changed elsewhere: here it is as it stands now."]);
      }
    } catch (error) {
      if (error.status === 0) notice(error.message.split("\n"));
    }
  }, LOOK_EVERY_MS);
}

let number = 0;

/** Coarse light on one day with changes not yet made; null where a newer request overtook it. */
export async function lightOnDay(day, edits) {
  try {
    const told = await send("day", { day, edits, number: ++number });
    return told.overtaken ? null : told;
  } catch (error) {
    if (error.status === 409) return null;
    throw error;
  }
}

/** The year's light of the file as it stands, asked once; null where a newer request overtook it. */
export async function lightOfYear() {
  const version = store.file.version;
  if (store.light.version === version) return store.light.year;
  try {
    const year = await send("year", { number: ++number });
    if (year.overtaken) return null;
    store.light = { version, year };
    return year;
  } catch (error) {
    if (error.status === 409) return null;
    throw error;
  }
}

const asking = {};

/** An answer of a command, with changes not yet made if there are any; null where a newer question overtook it. */
export async function answer(question, words, edits = []) {
  asking[question] = (asking[question] ?? 0) + 1;
  const told = await send("ask", { question, words, edits, number: asking[question] });
  return told.overtaken ? null : told;
}
