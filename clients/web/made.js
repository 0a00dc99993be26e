// The made solution: what it is like, its hazards, and what becomes of it.

import { el } from "./dom.js";
import { cited } from "./sources.js";
import { tag } from "./signs.js";

/** The panels about the solution itself. */
export function about(plan, section) {
  return [section("The solution", facts(plan)), plan.hazards && section("Hazards at the strength made", hazards(plan.hazards)), plan.recipe && section("The recipe", recipe(plan.recipe))];
}

function facts(plan) {
  const made = plan.solution ?? {};
  const rise = made.temperature_rise;
  const kept = plan.storage;
  const until = plan.use_by;
  const rows = [
    ["density", made.density?.display],
    ["share by mass", made.mass_fraction?.display],
    ["molality", made.molality?.display],
    ["on dissolving", rise && `${rise.value >= 0 ? "warms" : "cools"} by about ${rise.display.replace(/^[+-]/, "")}`],
    ["pH", plan.ph && `${plan.ph.ph} at ${plan.ph.temperature.display}; tenfold diluted ${plan.ph.ph_diluted_tenfold.toFixed(2)}`],
    ["wear", plan.ppe?.join(", ")],
    ["store", kept && [kept.container, kept.closure, kept.condition].filter(Boolean).join(", ")],
    ["keeps", until && (until.days ? `${until.days} days: ${until.basis}` : until.basis)],
    ...(plan.waste ?? []).map((left) => ["waste", `${left.stream}: ${left.advice}`]),
  ];
  return el("dl", { class: "facts" }, rows.filter(([, said]) => said).map(([name, said]) => el("div", {}, el("dt", {}, name), el("dd", {}, said))));
}

function hazards(found) {
  const unknown = found.not_classified_here ?? [];
  return [
    found.classes.length > 0
      ? [
          found.signal_word && el("p", { class: "signal" }, found.signal_word),
          el("ul", { class: "statements" }, found.h_statements.map((line) => el("li", {}, el("b", {}, line.code), ` ${line.text}`))),
          el("details", {}, el("summary", {}, "Precautions and why"), el("ul", { class: "statements" }, found.p_statements.map((line) => el("li", {}, el("b", {}, line.code), ` ${line.text}`)), found.classes.map((line) => el("li", {}, `${line.class} ${line.category}: ${line.because}`)))),
        ]
      : unknown.length === 0 && el("p", {}, "No class at this strength."),
    unknown.length > 0 && el("p", { class: "finding tone-unchecked" }, tag("unchecked", "Unchecked"), ` ${unknown.join(" and ")}: no classification is held here. Take the supplier's safety data sheet.`),
    (found.found_by_test_only ?? []).map((name) => el("p", {}, `Settled only by a test on the mixture: ${name}`)),
    el("p", { class: "faint" }, `Under ${found.policy_title}; ${found.classified_at}.`),
    found.limits_compared.length > 0 && limits(found.limits_compared),
  ];
}

function limits(compared) {
  const size = (value) => (value === null ? "not known" : `${Number(value.toPrecision(3))} %`);
  return el(
    "details",
    {},
    el("summary", {}, `${compared.length} limits compared`),
    el(
      "div",
      { class: "scroll", tabindex: "0", role: "region", "aria-label": "Limits compared" },
      el(
        "table",
        { class: "plain" },
        el("thead", {}, el("tr", {}, ["class", "limit", "here", "reached", "source"].map((name) => el("th", { scope: "col" }, name)))),
        el("tbody", {}, compared.map((line) => el("tr", {}, el("th", { scope: "row" }, line.class), el("td", {}, size(line.limit_pct)), el("td", {}, size(line.actual_pct)), el("td", {}, line.met ? "yes" : "no"), el("td", {}, cited([{ source_id: line.source_id, locator: line.locator }]))))),
      ),
    ),
  );
}

function recipe(found) {
  return [
    el("p", {}, el("b", {}, found.name), `, per ${found.per}`),
    el("ul", { class: "statements" }, [...found.notes, ...(found.other_forms ?? [])].map((line) => el("li", {}, line))),
    cited(found.citations),
  ];
}
