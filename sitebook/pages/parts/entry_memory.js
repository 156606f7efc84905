// Remembers every line: in the page always, and where the browser lets it also beyond the page.
"use strict";
(() => {
  const { data } = sitebook;
  const KEY = `sitebook-sheet-${data.sheet}`;
  const pad = sitebook.newPad();
  const lines = [];
  const entries = new Map();
  const watchers = [];
  let saved = 0;

  sitebook.entries = entries;
  sitebook.lines = lines;
  sitebook.keepsBeyond = true;
  sitebook.watch = (watcher) => watchers.push(watcher);
  const tell = () => watchers.forEach((watcher) => watcher());

  const stored = () => {
    try {
      return JSON.parse(window.localStorage.getItem(KEY)) || { lines: [], saved: 0 };
    } catch {
      sitebook.keepsBeyond = false;
      return { lines: [], saved: 0 };
    }
  };

  // What another window of this sheet wrote meanwhile stays in the store.
  const store = () => {
    try {
      const others = stored().lines.filter((line) => !lines.includes(line));
      window.localStorage.setItem(KEY, JSON.stringify({ lines: [...lines, ...others], saved }));
    } catch {
      sitebook.keepsBeyond = false;
    }
  };

  const take = (text) => {
    let says;
    try {
      says = JSON.parse(text);
    } catch {
      return;
    }
    lines.push(text);
    const before = entries.get(says.uuid);
    if (!before || says.seq >= before.seq) entries.set(says.uuid, says);
  };

  // The members that a kind fills, those it leaves empty left away.
  const filled = (says) =>
    Object.fromEntries(Object.entries(says).filter(([, value]) => value !== null && value !== undefined && value !== ""));

  const write = (kind, uuid, says, withdrawn) => {
    const members = {
      v: 1,
      kind,
      uuid,
      seq: (entries.has(uuid) ? entries.get(uuid).seq : 0) + 1,
      at: new Date().toISOString(),
      book: data.book,
      sheet: data.sheet,
      pad,
      revision: data.revision,
      ...(withdrawn ? { withdrawn: true } : {}),
      ...filled(says),
    };
    take(sitebook.lineOf(members));
  };

  const NOT_SAID = ["v", "kind", "uuid", "seq", "at", "book", "sheet", "pad", "revision", "withdrawn", "sum"];
  sitebook.said = (entry) => Object.fromEntries(Object.entries(entry).filter(([name]) => !NOT_SAID.includes(name)));

  // Notes an entry anew or once more; the same words twice write nothing.
  sitebook.note = (kind, uuid, says) => {
    const key = uuid || sitebook.newUuid();
    const before = entries.get(key);
    const same = before && !before.withdrawn && JSON.stringify(sitebook.said(before)) === JSON.stringify(filled(says));
    if (!same) {
      write(kind, key, says, false);
      store();
      tell();
    }
    return key;
  };

  sitebook.takeBack = (uuid) => {
    const entry = entries.get(uuid);
    if (!entry || entry.withdrawn) return;
    write(entry.kind, uuid, sitebook.said(entry), true);
    store();
    tell();
  };

  sitebook.standing = (kind) => [...entries.values()].filter((entry) => entry.kind === kind && !entry.withdrawn);
  sitebook.unsaved = () => lines.slice(saved).filter((line) => JSON.parse(line).kind !== "end").length;

  // Everything as it is saved: all lines, then one that counts them.
  const endKey = sitebook.newUuid();
  sitebook.whole = () => {
    const own = lines.map((line) => JSON.parse(line)).filter((says) => says.pad === pad && says.kind !== "end");
    const before = entries.get(endKey);
    if (!before || before.lines !== own.length) {
      write("end", endKey, { lines: own.length, last_number: sitebook.lastNumber() }, false);
      store();
    }
    return `${lines.join("\n")}\n`;
  };
  sitebook.markSaved = () => {
    saved = lines.length;
    store();
    tell();
  };

  // Numbers of the block that no entry has, taken back or not: a tag may bear them already.
  const given = () => new Set([...entries.values()].filter((entry) => entry.kind === "find").map((entry) => entry.collection_number));
  sitebook.lastNumber = () => {
    const own = [...given()].filter((number) => data.numbers && number >= data.numbers[0] && number <= data.numbers[1]);
    return own.length ? Math.max(...own) : null;
  };
  sitebook.nextNumber = () => {
    if (!data.numbers) return null;
    const used = given();
    for (let number = data.numbers[0]; number <= data.numbers[1]; number += 1) if (!used.has(number)) return number;
    return null;
  };

  const before = stored();
  before.lines.forEach(take);
  saved = Math.min(before.saved || 0, lines.length);
  store();
})();
