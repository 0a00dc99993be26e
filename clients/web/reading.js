// The reading so far, while somebody types: the service reads, this only shows the fields.

import { el } from "./dom.js";
import { reading } from "./service.js";

const PAUSE_MS = 300;

/** The box with the fields, and what feeds it. */
export function reader() {
  const box = el("div", { class: "reading", role: "group", "aria-label": "The reading so far" });
  let timer = 0;
  let running = null;

  function stop() {
    clearTimeout(timer);
    running?.abort();
    running = null;
    box.replaceChildren();
  }

  /** Read `text` after a pause; `inTalk` when it may also be a word about what was asked before. */
  function typed(text, inTalk) {
    clearTimeout(timer);
    running?.abort();
    if (!text.trim()) {
      box.replaceChildren();
      return;
    }
    timer = setTimeout(async () => {
      const mine = new AbortController();
      running = mine;
      try {
        const found = await reading(text, mine.signal);
        if (running === mine) show(found, inTalk);
      } catch {
        if (running === mine) box.replaceChildren();
      }
    }, PAUSE_MS);
  }

  function show(found, inTalk) {
    const fields = found.fields ?? Object.entries(found.problem.understood ?? {}).map(([name, value]) => ({ name, value }));
    if (!found.fields && inTalk) {
      box.replaceChildren();
      return;
    }
    box.replaceChildren(
      el("dl", { class: "fields" }, fields.map(({ name, value }) => el("div", {}, el("dt", {}, name), el("dd", {}, value)))),
      found.problem ? el("p", { class: "faint" }, `Not read yet: ${found.problem.message}`) : "",
    );
  }

  return { box, typed, stop };
}
