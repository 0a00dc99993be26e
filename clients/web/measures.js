// What to weigh or pour, where to make it up: first and largest on every answer.

import { el } from "./dom.js";
import { scale } from "./window.js";

const VERBS = { solute: "Weigh", stock: "Take", solvent: "Add", component: "Add" };

/** The verb for one line of what is measured. */
export function verb(line) {
  return line.amount.unit === "g" || line.role === "solvent" ? VERBS[line.role] : "Measure";
}

/** All amounts, then the vessel. `noted` holds what the balance really showed, by place in the list. */
export function measures(plan, noted = new Map(), after = () => null) {
  const crowded = plan.measure.length > 2;
  return el(
    "div",
    { class: crowded ? "measures crowded" : "measures" },
    plan.measure.map((line, place) =>
      el(
        "section",
        { class: "measure", "aria-label": `${verb(line)} ${line.amount.display} of ${line.what}` },
        el("p", { class: "verb" }, verb(line)),
        el("p", { class: "amount" }, line.amount.display),
        el("p", { class: "what" }, line.what),
        el(
          "p",
          { class: "hints" },
          line.window && el("span", {}, "keep between ", el("b", {}, line.window.low.display), " and ", el("b", {}, line.window.high.display)),
          line.using && el("span", {}, `with ${line.using}`),
          line.textbook && line.textbook !== line.amount.display && el("span", {}, `textbook answer ${line.textbook}`),
        ),
        line.window && !crowded && scale(line, noted.get(place)),
        after(line, place),
      ),
    ),
    makeUp(plan),
  );
}

function makeUp(plan) {
  const route = plan.route ?? {};
  const vessel = plan.vessel;
  const rows = [];
  if (route.dilutions?.length) {
    if (route.stock_vessel) rows.push(row("Stock", "make up", `in ${route.stock_vessel}`));
    for (const step of route.dilutions) {
      rows.push(row("Take", step.take.display, `with ${step.using}, make up in ${step.into}: ${step.label}`));
    }
  } else if (vessel?.portions) {
    rows.push(row("Make up", whole(plan), `in ${vessel.portions.length} fillings; the amounts above are for all together`));
    vessel.portions.forEach((portion, place) => {
      const shares = (portion.amounts ?? []).map((amount) => amount.display).join(" and ");
      rows.push(row(`Filling ${place + 1}`, portion.volume.display, `${shares ? `with ${shares} ` : ""}in ${portion.vessel}`));
    });
  } else if (vessel) {
    const how = vessel.standard ? ` (${vessel.standard})` : "";
    rows.push(row("Make up", plan.series ? "each" : whole(plan), `in ${vessel.words}, ±${vessel.tolerance.display}${how}`));
  }
  return rows.length > 0 && el("dl", { class: "make-up", "aria-label": "Where it is made up" }, rows);
}

function whole(plan) {
  return (plan.product.volume ?? plan.vessel.nominal).display;
}

function row(word, amount, rest) {
  return el("div", {}, el("dt", {}, word), el("dd", {}, el("b", {}, amount), ` ${rest}`));
}

/** The same in one sentence, for those who listen. */
export function inOneBreath(reply) {
  const first = reply.plan?.measure?.[0];
  if (first) {
    const more = reply.plan.measure.length - 1;
    return `${verb(first)} ${first.amount.display} of ${first.what}${more > 0 ? `, and ${more} more` : ""}.`;
  }
  return reply.question?.text ?? reply.answer?.text ?? reply.problem?.message ?? "";
}
