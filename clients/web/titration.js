// Standardising a solution: raw titres in; mean, spread and verdict of the service out.

import { attend, el, keep, kept, thisTab } from "./dom.js";
import { field, filled } from "./fields.js";
import * as service from "./service.js";
import { tag } from "./signs.js";

const LEAST_RUNS = 3;

/** The titrations so far and a form for another; `done` draws the preparation anew. */
export function titration(found, before, done) {
  return [before.length > 0 ? before.map(judged) : el("p", { class: "faint" }, "It was not titrated."), entry(found, done)];
}

function judged(line) {
  return el(
    "section",
    { class: "standing" },
    el("p", { class: "verdict" }, tag(line.accepted ? "pass" : "stop", line.accepted ? "Accepted" : "Not accepted"), el("span", {}, line.verdict)),
    el("p", {}, el("b", {}, line.mean.display), ` ± ${line.uncertainty.U.display} (k = ${line.uncertainty.k}) against ${line.standard.name}`),
    el("ul", {}, line.checks.map((check) => el("li", {}, `${check.what}: ${check.found}, ${check.limit}: ${check.met ? "met" : "not met"}`))),
    el("p", { class: "faint" }, `${line.largest_cause.source}: ${line.largest_cause.cure}`),
    line.accepted && el("p", { class: "faint" }, `To be titrated again by ${line.next_due.date}: ${line.next_due.basis}.`),
    line.revalued?.length > 0 && el("p", {}, `Given a new value with it: ${line.revalued.map((other) => other.id).join(", ")}.`),
  );
}

function entry(found, done) {
  const name = `prepwright.titration.${found.id}`;
  const { held, runs } = kept(thisTab, name) ?? { held: { by: "", against: "" }, runs: Array.from({ length: LEAST_RUNS }, () => ({})) };
  const changed = () => keep(thisTab, name, { held, runs });
  const rows = el("div", {});
  const fault = el("div", { class: "trouble", role: "alert" });
  const button = el("button", { type: "submit", class: "button" }, "Judge the titres");
  const plain = (part, label, rest = {}) => field(held, part, label, { id: `titration-${part}`, changed, ...rest });
  function draw() {
    rows.replaceChildren(
      ...runs.map((run, n) =>
        el(
          "fieldset",
          {},
          el("legend", {}, `Run ${n + 1}`),
          field(run, "titre_mL", "Titre, mL", { id: `titre-${n}`, changed, mode: "decimal" }),
          field(run, "mass_g", "Standard, g", { id: `mass-${n}`, changed, mode: "decimal" }),
          field(run, "volume_mL", "or its solution, mL", { id: `volume-${n}`, changed, mode: "decimal" }),
          field(run, "left_out", "Left out because", { id: `left-out-${n}`, changed }),
        ),
      ),
    );
  }
  draw();

  async function send(event) {
    event.preventDefault();
    fault.replaceChildren();
    button.disabled = true;
    const made = filled(held, ["mol_L", "U_mol_L", "preparation"]);
    const assay = filled(held, ["assay", "assay_half"]);
    try {
      await service.titrate(found.id, {
        ...filled(held, ["by", "against", "indicator", "blank_mL", "lot", "balance", "burette_mL"]),
        ...(assay.assay ? { assay: { value: assay.assay, ...(assay.assay_half ? { half_width: assay.assay_half } : {}) } } : {}),
        ...(Object.keys(made).length > 0 ? { standard_solution: made } : {}),
        runs: runs.map((run) => filled(run, ["titre_mL", "mass_g", "volume_mL", "left_out"])).filter((run) => Object.keys(run).length > 0),
      });
      keep(thisTab, name, null);
      await done();
    } catch (error) {
      fault.replaceChildren(el("p", {}, el("b", {}, error.message)), el("ul", {}, (error.fields ?? []).map(({ pointer, message, allowed }) => el("li", {}, `${pointer.slice(1).replaceAll("/", " ").replaceAll("_", " ")} ${message}${allowed?.length ? `: ${allowed.join(", ")}` : ""}.`))));
      attend(fault);
    } finally {
      button.disabled = false;
    }
  }

  return el(
    "details",
    { open: held.against !== "" },
    el("summary", {}, "Titrate it"),
    el(
      "form",
      { onsubmit: send, novalidate: true },
      el("div", { class: "many-fields" }, plain("by", "By", { hint: "initials or staff id", longest: 60 }), plain("against", "Against", { hint: "the standard, with its form" })),
      rows,
      el("button", { type: "button", class: "quiet", onclick: () => { runs.push({}); draw(); attend(rows.querySelector("fieldset:last-child input")); } }, "Another run"),
      el(
        "details",
        {},
        el("summary", {}, "Blank, burette, assay, standard solution"),
        el("div", { class: "many-fields" }, plain("blank_mL", "Blank, mL", { mode: "decimal" }), plain("burette_mL", "Burette, mL", { mode: "decimal", hint: "50 unless told" }), plain("balance", "Balance", { hint: "its name here" }), plain("indicator", "Indicator"), plain("lot", "Lot of the standard"), plain("assay", "Assay, %", { mode: "decimal" }), plain("assay_half", "give or take, %", { mode: "decimal" }), plain("preparation", "Standard solution made here", { hint: "its ten characters" }), plain("mol_L", "or its strength, mol/L", { mode: "decimal" }), plain("U_mol_L", "give or take, mol/L", { mode: "decimal" })),
      ),
      fault,
      el("div", { class: "slip-foot" }, button),
    ),
  );
}
