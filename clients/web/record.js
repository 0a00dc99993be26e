// What was made: the list, and one preparation with its strength, its papers, its titrations and its history.

import { attend, el, say } from "./dom.js";
import * as service from "./service.js";
import { tag } from "./signs.js";
import { strength } from "./strength.js";
import { titration } from "./titration.js";
import { scale } from "./window.js";

const PAPERS = [
  ["label?size=large", "Label for a large bottle, 148 x 105 mm"],
  ["label?size=medium", "Label, 105 x 74 mm"],
  ["label?size=small", "Label for a small bottle, 85 x 55 mm"],
  ["label?size=dropper", "Label for a dropper, 78 x 35 mm"],
];
const KINDS = { recorded: "recorded", corrected: "corrected", standardised: "standardised", revalued: "revalued" };

/** Fill the page with the list, or with the preparation called `id`. */
export async function made(desk, id) {
  await (id ? one(desk, id.toUpperCase()) : list(desk));
}

async function one(desk, id) {
  let found;
  let plan = null;
  let titrated = [];
  try {
    found = await service.preparation(id);
    [plan, titrated] = await Promise.all([service.plan(found.plan), service.titrations(id)]);
  } catch (trouble) {
    desk.replaceChildren(el("h1", {}, "What was made"), el("p", { class: "trouble", role: "alert" }, trouble.message), el("a", { class: "quiet-link", href: "#/made" }, "All that was made"));
    return;
  }
  const failed = found.status === "failed";
  const section = (title, ...inside) => el("section", { class: "panel" }, el("h2", {}, title), ...inside);
  desk.replaceChildren(
    el(
      "article",
      { class: `card outcome-${failed ? "refused" : "planned"}` },
      el("header", { class: "sheet-head" }, el("h1", { class: "outcome", tabindex: "-1" }, tag(failed ? "stop" : "pass", failed ? "Failed" : "Made"), el("span", { class: "read-as" }, found.read_as))),
      el("div", { class: "real" }, strength(found)),
      el("div", { class: "panels" }, section("What went in", took(found, plan)), !failed && section("On paper", papers(found)), !failed && section("Titration", titration(found, titrated, () => one(desk, id))), section("How the record came about", chain(found))),
      el("div", { class: "card-foot" }, el("a", { class: "quiet-link", href: `#/correct/${found.id}` }, "Correct the record"), el("a", { class: "quiet-link", href: `#/card/${found.plan}` }, "Open the bench card"), failed && el("a", { class: "button", href: `#/make/${found.plan}` }, "Begin again"), el("a", { class: "quiet-link", href: "#/made" }, "All that was made")),
      el("p", { class: "stored" }, `kept as ${found.id}; rules ${found.versions.rules}, data ${found.versions.data}`),
    ),
  );
}

function took(found, reply) {
  return el(
    "ul",
    { class: "took" },
    found.used.map((line) => {
      const planned = reply?.plan?.measure?.[line.measure - 1];
      const alone = found.used.filter((other) => other.measure === line.measure).length === 1;
      const told = [line.readings.length > 1 && `readings ${line.readings.join(", ")} ${line.unit}`, line.using, line.lot && `lot ${line.lot}`, line.assay_pct && `assay ${line.assay_pct} %`, line.source && `from ${line.source}`, line.bottle && `bottle ${line.bottle}`];
      return el(
        "li",
        {},
        el("p", {}, el("b", {}, line.amount.display), ` ${line.what}, planned ${line.planned.display}`),
        told.some(Boolean) && el("p", { class: "faint" }, told.filter(Boolean).join("; ")),
        alone && planned?.window && planned.amount.unit === line.amount.unit && scale(planned, line.amount.display.split(" ")[0]),
      );
    }),
  );
}

/** Links to what can be printed; what is locked says why. */
function papers(found) {
  const box = el("div", {}, el("p", { class: "faint" }, "Looking what can be printed."));
  const link = (paper, words) => el("li", {}, el("a", { href: service.printed(found.id, paper), target: "_blank", rel: "noopener" }, words));
  void (async () => {
    const shut = await service.locked(service.printed(found.id, "label?size=medium"));
    const sheet = await service.locked(service.printed(found.id, "sheet"));
    box.replaceChildren(
      shut ? el("p", { class: "verdict" }, tag("hold", "No label"), el("span", {}, shut.message)) : el("ul", { class: "papers" }, PAPERS.map(([paper, words]) => link(paper, words))),
      sheet ? el("p", { class: "faint" }, sheet.message) : el("ul", { class: "papers" }, link("sheet", "The record, A4"), link("waste-label", "Label for its waste bottle")),
    );
  })();
  return box;
}

function chain(found) {
  return el(
    "ol",
    { class: "chain" },
    found.chain.map((entry) =>
      el(
        "li",
        {},
        el("p", {}, el("b", {}, KINDS[entry.kind] ?? entry.kind), ` by ${entry.by}, `, el("time", { datetime: entry.at }, when(entry.at)), entry.concentration && `: ${entry.concentration}`),
        entry.why && el("p", { class: "faint" }, entry.why),
        entry.changed?.length > 0 && el("ul", { class: "faint" }, entry.changed.map((change) => el("li", {}, `${change.field}: ${change.was ?? "nothing"} became ${change.now ?? "nothing"}`))),
      ),
    ),
  );
}

const when = (at) => new Date(at).toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" });

async function list(desk) {
  const rows = el("ul", { class: "register" });
  const trouble = el("div", { class: "trouble", role: "alert" });
  const more = el("button", { type: "button", class: "button", hidden: true, onclick: () => load(true) }, "Further back");
  const wanted = el("input", { id: "wanted", type: "text", autocomplete: "off", autocapitalize: "characters", spellcheck: "false", maxlength: "12", "aria-describedby": "wanted-hint" });
  let next = null;

  async function load(further) {
    trouble.replaceChildren();
    try {
      const page = await service.preparations(further ? next : null);
      const fresh = page.preparations.map(row);
      rows.append(...fresh);
      next = page.next ?? null;
      more.hidden = next === null;
      if (further) attend(fresh[0]?.querySelector("a"));
      if (rows.children.length === 0) rows.append(el("li", { class: "faint" }, "Nothing was made yet. Open a plan and tap Make it."));
      say(`${rows.children.length} shown.`);
    } catch (error) {
      trouble.replaceChildren(el("p", {}, error.message), el("button", { type: "button", class: "button", onclick: () => load(further) }, "Try again"));
    }
  }

  desk.replaceChildren(
    el("h1", {}, "What was made"),
    el(
      "form",
      { class: "slip", onsubmit: (event) => { event.preventDefault(); if (wanted.value.trim()) window.location.assign(`#/made/${encodeURIComponent(wanted.value.trim())}`); } },
      el("label", { for: "wanted" }, "The id on the label"),
      el("p", { class: "hint", id: "wanted-hint" }, "ten characters, in any case"),
      wanted,
      el("div", { class: "slip-foot" }, el("button", { type: "submit", class: "button" }, "Look it up")),
    ),
    trouble,
    rows,
    more,
  );
  await load(false);
}

function row(line) {
  const failed = line.status === "failed";
  return el(
    "li",
    {},
    el("a", { href: `#/made/${line.id}` }, tag(failed ? "stop" : "pass", failed ? "Failed" : "Made"), el("span", { class: "register-said" }, failed ? "discarded: see why" : [line.concentration, line.name].filter(Boolean).join(" ") || "no one strength"), el("span", { class: "faint" }, el("time", { datetime: line.at }, when(line.at)), ` · ${line.id}`)),
  );
}
