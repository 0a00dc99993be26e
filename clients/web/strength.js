// What was really made: the strength, how sure it is, whether it still serves, or why it failed.

import { el } from "./dom.js";
import { budget } from "./bars.js";
import { tag } from "./signs.js";

/** The panel of a trial or a record. `place` says where the words stand in the page ("h2" or "h3"). */
export function strength(found, place = "h2") {
  return [
    found.failed ? failed(found.failed, place) : made(found),
    found.cautions?.length > 0 && el("ul", { class: "findings" }, found.cautions.map((line) => el("li", { class: "finding tone-caution" }, tag("caution", "Caution"), el("p", {}, line)))),
    found.assumptions?.length > 0 && el("section", { class: "granted" }, el(place, { class: "granted-title" }, "Taken for granted"), el("ul", {}, found.assumptions.map((line) => el("li", {}, line)))),
  ];
}

function made(found) {
  const { made: solution, use_by: until } = found;
  const real = solution.concentration;
  const kept = solution.keeps_request;
  const rows = [
    ["asked for", real && solution.nominal?.display],
    ["difference", solution.difference?.display],
    ["known by", real && (solution.basis === "standardised" ? "titration" : "what was weighed and measured")],
    ["largest doubt", solution.largest_cause && `${solution.largest_cause.source}. ${solution.largest_cause.cure}`],
    ["use by", until && [until.date, until.basis].filter(Boolean).join(": ")],
    ...(solution.waste ?? []).map((left) => ["waste", `${left.stream}: ${left.advice}`]),
  ];
  return [
    el("p", { class: "verb" }, solution.name),
    el("p", { class: "amount" }, (real ?? solution.nominal)?.display ?? "no one strength"),
    el("p", { class: "hints" }, solution.uncertainty && real && el("span", {}, `± ${solution.uncertainty.U.display} (k = ${solution.uncertainty.k})`), !real && el("span", {}, "as asked for: nothing real is known")),
    kept && el("p", { class: "verdict" }, tag(kept.holds ? "pass" : "stop", kept.holds ? "It serves" : "It does not serve"), el("span", {}, kept.text)),
    solution.nominal_until_standardised && el("p", { class: "verdict" }, tag("caution", "Nominal"), el("span", {}, `Until it is titrated: ${solution.nominal_until_standardised}.`)),
    el("dl", { class: "facts" }, rows.filter(([, said]) => said).map(([name, said]) => el("div", {}, el("dt", {}, name), el("dd", {}, said)))),
    solution.components?.length > 0 && components(solution.components),
    solution.uncertainty && el("details", {}, el("summary", {}, "Where the doubt comes from"), budget({ ...solution.uncertainty, concentration: real })),
  ];
}

function components(parts) {
  const line = (part) => [part.concentration?.display ?? part.nominal?.display ?? "", part.uncertainty && `± ${part.uncertainty.U.display}`, part.difference?.display].filter(Boolean).join("; ");
  return el("dl", { class: "facts" }, parts.map((part) => el("div", {}, el("dt", {}, part.name), el("dd", {}, line(part)))));
}

function failed(found, place) {
  return [
    el("p", { class: "verdict" }, tag("stop", "Discard it"), el("span", {}, found.reason)),
    el(place, { class: "granted-title" }, "Where it goes"),
    el("ul", {}, found.discard.map((left) => el("li", {}, `${left.stream}: ${left.advice}`))),
    el("p", { class: "remedy" }, found.restart),
  ];
}
