// A series, or a stock and its dilutions, as a ladder: each rung takes from one above.

import { draw, el } from "./dom.js";

function glyph(place, of) {
  const depth = 1 - (0.85 * place) / Math.max(1, of);
  return draw(
    "svg",
    { viewBox: "0 0 40 52", class: "rung-flask", "aria-hidden": "true" },
    draw("path", { d: "M9 38q11 5 22 0a11.500 11.500 0 0 1-22 0z M8.700 34h22.600v4q-11 5-22.600 0z", class: "liquid", "fill-opacity": depth.toFixed(2) }),
    draw("path", { d: "M16 4h8M17.500 4V21a13 13 0 1 0 5 0V4M17 12h6", class: "glass" }),
  );
}

/** The rungs of a plan, or null where nothing is diluted in steps. */
export function ladder(plan) {
  const rungs = plan.series ? ofSeries(plan.series) : ofDilutions(plan);
  if (rungs.length < 2) return null;
  return el(
    "figure",
    { class: "ladder" },
    el(
      "ol",
      {},
      rungs.map((rung, place) =>
        el(
          "li",
          { class: `deep-${Math.min(2, rung.depth ?? depth(rungs, rung))}` },
          rung.take && el("p", { class: "take" }, el("span", { class: "arrow", "aria-hidden": "true" }, "↓"), " take ", el("b", {}, rung.take), rung.from && ` of ${rung.from}`, rung.using && ` with ${rung.using}`),
          el("div", { class: "rung" }, glyph(place, rungs.length), el("p", {}, el("b", {}, rung.name), el("br"), el("span", { class: "faint" }, rung.vessel))),
        ),
      ),
    ),
    el("figcaption", {}, "The tint shows the order, not the strength."),
  );
}

/** How many times a rung is diluted from the top. */
function depth(rungs, rung) {
  const above = rung.from && rungs.find((other) => other !== rung && other.name === rung.from);
  return above ? 1 + depth(rungs, above) : 0;
}

function ofSeries(series) {
  const top = { name: series.stock, vessel: `${series.stock_needed.display} needed` };
  const blank = series.blank ? [{ name: "blank", vessel: "no stock, the solvent alone" }] : [];
  return [top, ...series.levels.map((level) => ({ name: level.level, vessel: level.flask, take: level.take.display, from: level.taken_from, using: level.using })), ...blank];
}

function ofDilutions(plan) {
  const { route, measure } = plan;
  if (!route?.dilutions?.length) return [];
  const top = route.stock_vessel
    ? { name: `stock: ${measure[0].amount.display} of ${measure[0].what}`, vessel: route.stock_vessel }
    : { name: measure[0].what, vessel: "as it stands" };
  return [top, ...route.dilutions.map((step, place) => ({ depth: place + 1, name: step.label, vessel: step.into, take: step.take.display, using: step.using }))];
}
