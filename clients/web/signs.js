// Words and shapes of the six outcomes and of what a rule found. No meaning hangs on colour alone.

import { draw, el } from "./dom.js";

export const OUTCOMES = {
  planned: { word: "Planned", sign: "pass" },
  held: { word: "Held", sign: "hold" },
  question: { word: "Question", sign: "ask" },
  refused: { word: "Refused", sign: "stop" },
  answered: { word: "Answer", sign: "note" },
  not_understood: { word: "Not understood", sign: "unread" },
};

export const VERDICTS = {
  right: { word: "Right", sign: "pass" },
  close: { word: "Close", sign: "caution" },
  wrong: { word: "Not right", sign: "stop" },
};

/** Gravest first. */
export const FOUND = ["stop", "hold", "ask", "caution", "unchecked", "note", "pass"];
export const FOUND_WORDS = { stop: "Stop", hold: "Hold", ask: "Ask", caution: "Caution", unchecked: "Unchecked", note: "Note", pass: "Pass" };

const SHAPES = {
  pass: () => [draw("circle", { cx: 12, cy: 12, r: 9.5, class: "line" }), draw("path", { d: "M7.500 12.500l3 3 6-7", class: "line" })],
  note: () => [draw("rect", { x: 3, y: 3, width: 18, height: 18, rx: 2, class: "line" }), draw("path", { d: "M7.500 9h9M7.500 13h9M7.500 17h5", class: "line thin" })],
  caution: () => [draw("path", { d: "M12 3l10 18H2z", class: "line" }), draw("path", { d: "M12 9.500v5M12 17.500v.5", class: "line" })],
  ask: () => [draw("path", { d: "M12 1.500L22.500 12 12 22.500 1.500 12z", class: "line" }), draw("path", { d: "M9.300 9.800a2.700 2.700 0 1 1 3.600 2.500q-.9.400-.9 1.500M12 16.700v.4", class: "line thin" })],
  hold: () => [draw("rect", { x: 2, y: 2, width: 20, height: 20, rx: 10, class: "solid" }), draw("path", { d: "M9 7.500v9M15 7.500v9", class: "cut" })],
  stop: () => [draw("path", { d: "M8 2h8l6 6v8l-6 6H8l-6-6V8z", class: "solid" }), draw("path", { d: "M7 12h10", class: "cut" })],
  unchecked: () => [draw("circle", { cx: 12, cy: 12, r: 9.500, class: "line dashed" }), draw("path", { d: "M8 12h8", class: "line" })],
  unread: () => [draw("path", { d: "M3 6h18M3 11h8", class: "line" }), draw("path", { d: "M12 20l4-7 4 7z", class: "line thin" })],
};

/** The shape alone; the word stands beside it wherever it is used. */
export function sign(name) {
  return draw("svg", { viewBox: "0 0 24 24", class: `sign sign-${name}`, "aria-hidden": "true" }, ...SHAPES[name]());
}

/** Shape and word. */
export function tag(name, word) {
  return el("span", { class: `tag tone-${name}` }, sign(name), el("span", {}, word));
}

/** What a finding is called: its result where that is a pass or unchecked, else its severity. */
export function found(finding) {
  if (finding.result === "passed") return "pass";
  return finding.result === "unchecked" ? "unchecked" : finding.severity;
}
