// The vessel at the step in hand, drawn. Levels follow the kind of step; the drawing is not to scale.

import { draw, el, picture } from "./dom.js";

// How full the main vessel stands after each kind of step: 0 empty, 1 at the mark.
const LEVEL = {
  transfer: 0.42, rinse: 0.52, "measure-stock": 0.3, "water-first": 0.5, "part-fill": 0.75, "fill-to-mark": 0.94,
  dropper: 1, invert: 1, "make-up-in-cylinder": 1, vent: 1, "check-ph": 1, bottle: 0, label: 0,
};
const BEAKER = { dissolve: 0.6, "dissolve-warm": 0.6, cool: 0.6, "acid-to-water": 0.6, "adjust-ph": 0.65, stir: 0.7, saturate: 0.7, decant: 0.5, "weigh-solvent": 0.5, transfer: 0.12, "measure-reagent": 0 };
const FIRST = new Set(["wear", "fume-cupboard", "dry", "stock", "batches", "recipe-notes", "weigh", "weigh-by-difference"]);

/** Where everything stands when the step at `place` (from 0) is being done; `place` past the end means all done. */
export function stage(plan, place) {
  const steps = plan.steps.slice(0, place + 1);
  const vessels = [plan.route?.stock_vessel, ...(plan.route?.dilutions ?? []).map((step) => step.into)].filter(Boolean);
  const levels = plan.series?.levels ?? [];
  const now = { name: vessels[0] ?? plan.vessel?.words ?? "beaker", level: 0, beaker: null, bottle: 0, labelled: false };
  let pipetted = 0;
  for (const { action } of steps) {
    if (action === "pipette") {
      now.name = levels[pipetted]?.flask ?? vessels[pipetted + (plan.route?.stock_vessel ? 1 : 0)] ?? now.name;
      now.level = plan.series ? 1 : 0.18;
      now.beaker = null;
      pipetted += 1;
    } else if (action in BEAKER) {
      now.beaker = BEAKER[action];
    } else if (FIRST.has(action)) {
      now.beaker ??= action.startsWith("weigh") ? 0 : null;
    }
    if (action in LEVEL) now.level = LEVEL[action];
    if (action === "rinse" || action === "part-fill") now.beaker = null;
    if (action === "bottle") now.bottle = 0.85;
    if (action === "label" && now.bottle) now.labelled = true;
  }
  return now;
}

const FLASK = "M92 14h16M95 14V92Q95 100 88 105A42 42 0 0 0 72 168Q73 172 78 172H122Q127 172 128 168A42 42 0 0 0 112 105Q105 100 105 92V14";
const FLASK_INSIDE = "M95 14V92Q95 100 88 105A42 42 0 0 0 72 168Q73 172 78 172H122Q127 172 128 168A42 42 0 0 0 112 105Q105 100 105 92V14Z";
const CYLINDER = "M76 20Q80 24 80 30V166H120V30Q120 24 124 20M66 172H134";
const CYLINDER_INSIDE = "M80 20V166H120V20Z";
const BEAKER_LINE = "M10 90Q14 92 14 98V168Q14 172 18 172H54Q58 172 58 168V98Q58 92 62 90";
const BOTTLE = "M158 84h20M160 84V96Q160 102 154 106Q148 110 148 118V168Q148 172 152 172H184Q188 172 188 168V118Q188 110 182 106Q176 102 176 96V84";

let drawn = 0;

/** The drawing of a stage; `caption` says which step it is. */
export function vessel(plan, place, caption) {
  const now = stage(plan, place);
  const graded = /cylinder/.test(now.name);
  const clip = `inside-${(drawn += 1)}`;
  const mark = graded ? 44 : 62;
  const top = 172 - (172 - mark) * now.level;
  const full = graded ? top : flaskTop(now.level);
  return el(
    "figure",
    { class: "vessel" },
    picture(
      200,
      186,
      `Drawing, not to scale: ${caption}`,
      draw("clipPath", { id: clip }, draw("path", { d: graded ? CYLINDER_INSIDE : FLASK_INSIDE })),
      now.level > 0 && draw("rect", { x: 40, y: full, width: 120, height: 180 - full, class: "liquid", "clip-path": `url(#${clip})` }),
      draw("path", { d: graded ? CYLINDER : FLASK, class: "glass" }),
      draw("path", { d: graded ? `M80 ${mark}h14` : `M93 ${mark}h14`, class: "mark" }),
      now.level === 1 && draw("path", { d: graded ? `M80 ${mark}q20 6 40 0` : `M95 ${mark - 2}q5 4 10 0`, class: "meniscus" }),
      now.beaker !== null && [
        now.beaker > 0 && draw("rect", { x: 14, y: 172 - 76 * now.beaker, width: 44, height: 76 * now.beaker, rx: 3, class: "liquid" }),
        draw("path", { d: BEAKER_LINE, class: "glass" }),
      ],
      now.bottle > 0 && [
        draw("rect", { x: 148, y: 112, width: 40, height: 60, rx: 4, class: "liquid" }),
        draw("path", { d: BOTTLE, class: "glass" }),
        now.labelled && [draw("rect", { x: 150, y: 126, width: 36, height: 28, class: "paper" }), draw("path", { d: "M155 134h26M155 140h20M155 146h23", class: "axis" })],
      ],
    ),
    el("figcaption", {}, caption, el("br"), el("span", { class: "faint" }, now.name)),
  );
}

/** Height of the liquid in the flask: the bulb takes nearly all of it, the neck the last part before the mark. */
function flaskTop(level) {
  return level <= 0.85 ? 172 - (level / 0.85) * 70 : 102 - ((level - 0.85) / 0.15) * 40;
}
