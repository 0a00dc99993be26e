// Solubility against temperature, with the request marked on it.

import { draw, el, picture } from "./dom.js";
import { cited } from "./sources.js";

const WIDE = { width: 640, left: 58, right: 620, top: 20, bottom: 262 };
const NARROW = { width: 380, left: 46, right: 366, top: 20, bottom: 222 };
const SUPPORT = { evaluated: "two sources agree", handbook: "a handbook", "single-source": "one source", disputed: "sources differ", unverified: "from memory, not verified" };

function ticks(from, to, about) {
  const rough = (to - from) / about;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((n) => n * power).find((size) => size >= rough);
  const found = [];
  for (let at = Math.ceil(from / step) * step; at <= to + step / 1000; at += step) found.push(Number(at.toPrecision(6)));
  return found;
}

/** `asked` is {share: Amount, temperature: degC, name} or null. */
export function curve(substance, asked) {
  const points = substance.solubility;
  const box = matchMedia("(max-width: 40rem)").matches ? NARROW : WIDE;
  if (substance.miscible) {
    return el("figure", { class: "curve" }, el("p", {}, `Mixes with water in all proportions (${substance.miscible.note}).`), cited([substance.miscible.citation]));
  }
  if (!points?.length) return el("p", { class: "unheld" }, "No solubility in water is held for it: that is not a pass.");
  const across = [...points.map((point) => point.temperature.value), ...(asked ? [asked.temperature] : [])];
  const from = Math.min(0, ...across);
  const to = Math.max(40, ...across);
  const most = Math.max(...points.map((point) => point.mass_fraction.value), asked?.share.value ?? 0) * 1.12;
  const x = (degrees) => box.left + ((degrees - from) / (to - from)) * (box.right - box.left);
  const y = (share) => box.bottom - (share / most) * (box.bottom - box.top);
  const line = points.map((point, place) => `${place ? "L" : "M"}${x(point.temperature.value).toFixed(1)} ${y(point.mass_fraction.value).toFixed(1)}`).join("");
  const turned = asked && x(asked.temperature) > box.width * 0.62;
  return el(
    "figure",
    { class: "curve" },
    picture(
      box.width,
      box.bottom + 50,
      `Solubility of ${substance.name} in water from ${points[0].temperature.display} (${points[0].mass_fraction.display}) to ${points.at(-1).temperature.display} (${points.at(-1).mass_fraction.display})` +
        (asked ? `; the request is ${asked.share.display} at ${asked.temperature} degC` : ""),
      ticks(0, most, 4).map((at) => [draw("path", { d: `M${box.left} ${y(at)}H${box.right}`, class: "grid" }), draw("text", { x: box.left - 8, y: y(at) + 5, "text-anchor": "end" }, at)]),
      ticks(from, to, 6).map((at) => [draw("path", { d: `M${x(at)} ${box.bottom}v6`, class: "axis" }), draw("text", { x: x(at), y: box.bottom + 22, "text-anchor": "middle" }, at)]),
      draw("path", { d: `M${box.left} ${box.top - 6}V${box.bottom}H${box.right}`, class: "axis" }),
      draw("path", { d: line, class: "saturated" }),
      points.map((point) => draw("circle", { cx: x(point.temperature.value), cy: y(point.mass_fraction.value), r: 4, class: point.kind === "unverified" || point.kind === "disputed" ? "point doubtful" : "point" })),
      asked && [
        draw("path", { d: `M${x(asked.temperature)} ${y(asked.share.value) - 9}l8 9-8 9-8-9z`, class: "asked" }),
        draw("text", { x: x(asked.temperature) + (turned ? -14 : 14), y: y(asked.share.value) - (y(asked.share.value) > box.bottom - 22 ? 10 : -5), "text-anchor": turned ? "end" : "start", class: "strong" }, `asked: ${asked.share.display}`),
      ],
      draw("text", { x: box.right, y: box.bottom + 42, "text-anchor": "end" }, "temperature in degC"),
      draw("text", { x: box.left + 8, y: box.top - 4 }, "% w/w in the saturated solution"),
    ),
    el("figcaption", {}, "Counted without water of crystallisation. Straight lines join the tabulated points", asked ? "; the diamond is the request." : ".", " A hollow point has weak support."),
    el(
      "details",
      {},
      el("summary", {}, "The points and their sources"),
      el(
        "div",
        { class: "scroll", tabindex: "0", role: "region", "aria-label": "Points of the curve" },
        el(
          "table",
          { class: "plain" },
          el("thead", {}, el("tr", {}, ["at", "in 100 g of water", "share", "solid", "support", "source"].map((name) => el("th", { scope: "col" }, name)))),
          el(
            "tbody",
            {},
            points.map((point) =>
              el("tr", {}, el("th", { scope: "row" }, point.temperature.display), el("td", {}, point.per_100g_water.display), el("td", {}, point.mass_fraction.display), el("td", {}, point.solid_phase), el("td", {}, SUPPORT[point.kind]), el("td", {}, cited(point.citations))),
            ),
          ),
        ),
      ),
    ),
  );
}
