// The uncertainty budget as bars, and the ways to make it side by side.

import { draw, el } from "./dom.js";

function bar(share, kind) {
  const width = Math.max(0, Math.min(1, share)) * 100;
  return draw(
    "svg",
    { class: "bar", viewBox: "0 0 100 10", preserveAspectRatio: "none", "aria-hidden": "true" },
    draw("rect", { x: 0, y: 0, width: 100, height: 10, class: "rest" }),
    draw("rect", { x: 0, y: 0, width, height: 10, class: kind }),
  );
}

/** A share or a relative uncertainty as percent, two figures. */
export function percent(share) {
  const value = share * 100;
  if (value === 0) return "0 %";
  if (value < 0.1) return "under 0.1 %";
  return `${value >= 10 ? Math.round(value) : Number(value.toPrecision(2))} %`;
}

/** Where the doubt about the strength comes from. */
export function budget(found) {
  const value = found.concentration ? `${found.concentration.display} ` : "";
  const spread = found.U ? `± ${found.U.display}` : `± ${percent(found.k * found.u_rel)}`;
  return el(
    "figure",
    { class: "budget" },
    el("p", { class: "sum-up" }, value, spread, el("span", { class: "faint" }, ` (k = ${found.k})`)),
    el(
      "table",
      {},
      el("caption", { class: "only-heard" }, "Share of each cause in the variance of the strength"),
      el("thead", { class: "only-heard" }, el("tr", {}, ["Cause", "Share", "Drawn"].map((name) => el("th", { scope: "col" }, name)))),
      el(
        "tbody",
        {},
        found.budget.map((line) =>
          el("tr", {}, el("th", { scope: "row" }, line.source), el("td", { class: "figure" }, percent(line.share)), el("td", { class: "drawn" }, bar(line.share, "part"))),
        ),
      ),
    ),
    el("figcaption", {}, "Share of each cause in the variance. The longest bar is what to improve first."),
  );
}

const KINDS = { weigh: "Weigh", dilute: "Dilute", stock_then_dilute: "Stock, then dilute", serial: "In several dilutions", blend: "Blend" };

/** The way chosen beside the others that were considered. */
export function ways(plan) {
  const { route, uncertainty } = plan;
  const others = route.alternatives ?? [];
  const doubts = [uncertainty?.u_rel ?? 0, ...others.map((other) => other.u_rel)];
  const worst = Math.max(...doubts, Number.MIN_VALUE);
  const most = Math.max(...others.map((other) => other.waste.value), Number.MIN_VALUE);
  const longest = Math.max(...others.map((other) => other.minutes), Number.MIN_VALUE);
  const line = (name, said, share, kind) => el("div", {}, el("dt", {}, name), el("dd", {}, said, bar(share, kind)));
  return el(
    "ul",
    { class: "ways" },
    el(
      "li",
      { class: "chosen" },
      el("h3", {}, KINDS[route.kind], el("span", { class: "chip" }, "chosen")),
      el("p", {}, route.why),
      uncertainty && el("dl", {}, line("known to (k = 1)", percent(uncertainty.u_rel), uncertainty.u_rel / worst, "part")),
    ),
    others.map((other) =>
      el(
        "li",
        {},
        el("h3", {}, KINDS[other.kind] ?? other.kind),
        el("p", {}, other.summary),
        el(
          "dl",
          {},
          line("known to (k = 1)", percent(other.u_rel), other.u_rel / worst, "part"),
          line("left over", other.waste.display, other.waste.value / most, "waste"),
          line("time", `about ${other.minutes} min, ${other.transfers} ${other.transfers === 1 ? "transfer" : "transfers"}`, other.minutes / longest, "time"),
        ),
      ),
    ),
  );
}
