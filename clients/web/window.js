// The window of amounts that keep the strength, as a stretch of scale with the amount and the real weighing on it.

import { draw, el, picture } from "./dom.js";

const LEFT = 24;
const RIGHT = 396;
const PLAIN = /^\d+(?:\.\d+)?$/;

/** The number in "1.2514" or "1.25 g"; null for anything else. Only for a place on the scale. */
export function placed(text) {
  const first = String(text ?? "").trim().split(/\s/)[0];
  return PLAIN.test(first) ? Number(first) : null;
}

/** The drawing for one measured amount; `noted` is what was typed from the balance. */
export function scale(line, noted) {
  const { low, high } = line.window;
  const weighed = placed(noted);
  const textbook = line.textbook === line.amount.display ? null : placed(line.textbook);
  const span = high.value - low.value;
  const reach = [low.value - span, high.value + span];
  const ends = [Math.max(0, reach[0]), reach[1]];
  const inside = (value) => value !== null && value >= ends[0] && value <= ends[1];
  const x = (value) => LEFT + ((Math.min(ends[1], Math.max(ends[0], value)) - ends[0]) / (ends[1] - ends[0])) * (RIGHT - LEFT);
  const label = [
    `Window from ${low.display} to ${high.display}, amount ${line.amount.display}`,
    textbook !== null && `textbook answer ${line.textbook}`,
    weighed !== null && `weighed ${noted} ${line.amount.unit}`,
  ];
  return el(
    "figure",
    { class: "window" },
    picture(
      420,
      66,
      label.filter(Boolean).join("; "),
      draw("path", { d: `M${LEFT - 12} 34H${RIGHT + 12}`, class: "axis" }),
      draw("rect", { x: x(low.value), y: 25, width: x(high.value) - x(low.value), height: 18, rx: 3, class: "within" }),
      draw("path", { d: `M${x(low.value)} 21V47M${x(high.value)} 21V47`, class: "edge" }),
      draw("text", { x: x(low.value), y: 61, "text-anchor": "middle" }, low.display),
      draw("text", { x: x(high.value), y: 61, "text-anchor": "middle" }, high.display),
      draw("path", { d: `M${x(line.amount.value)} 22V46`, class: "aim" }),
      inside(textbook) && draw("circle", { cx: x(textbook), cy: 34, r: 5, class: "textbook" }),
      weighed !== null && draw("path", { d: `M${x(weighed)} 22l-7-12h14z`, class: "weighed" }),
      weighed !== null && !inside(weighed) && draw("text", { x: x(weighed), y: 9, "text-anchor": weighed > high.value ? "end" : "start", dx: weighed > high.value ? -10 : 10 }, "beyond this scale"),
    ),
    el(
      "figcaption",
      {},
      el("span", { class: "key key-aim" }, "amount"),
      textbook !== null && el("span", { class: "key key-textbook" }, inside(textbook) ? "textbook answer" : "textbook answer: beyond this scale"),
      weighed !== null && el("span", { class: "key key-weighed" }, `weighed ${noted} ${line.amount.unit}`),
    ),
  );
}
