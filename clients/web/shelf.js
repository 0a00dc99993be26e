// The shelf: which bottles there are, a new one, and one bottle with all that happened to it.

import { attend, el, say } from "./dom.js";
import { bottle } from "./bottle.js";
import { choice, fields, line } from "./form.js";
import * as service from "./service.js";
import { tag } from "./signs.js";

export const STATES = { "in use": ["pass", "In use"], expired: ["caution", "Past its day"], quarantined: ["hold", "Quarantined"], "used up": ["note", "Used up"], withdrawn: ["stop", "Withdrawn"] };
const SHOWN = {
  all: ["all", {}],
  expiring: ["last day within 30 days", { expiring_within_days: "30" }],
  quarantined: ["quarantined", { state: "quarantined" }],
  low: ["a tenth or less left", { low_pct: "10" }],
};

/** Fill the page with the list, the form for a new bottle, or one bottle. */
export async function shelf(desk, part) {
  if (part === "add") await add(desk);
  else if (part) await bottle(desk, part, STATES);
  else await list(desk);
}

async function list(desk) {
  const me = await service.session();
  const { field, clear, place, trouble } = fields("shelf");
  const substance = line({ type: "search" });
  const shown = choice(Object.entries(SHOWN).map(([name, [word]]) => [name, word]), { onchange: () => void load(false) });
  const rows = el("ul", { class: "register bottles" });
  const more = el("button", { type: "button", class: "button", hidden: true, onclick: () => load(true) }, "Further back");
  let next = null;

  async function load(further) {
    clear();
    try {
      const typed = substance.value.trim();
      const page = await service.bottles({ ...SHOWN[shown.value][1], ...(typed ? { substance: typed } : {}) }, further ? next : null);
      const lines = page.bottles.map(row);
      if (further) rows.append(...lines);
      else rows.replaceChildren(...lines);
      if (rows.children.length === 0) rows.append(el("li", { class: "faint" }, "No bottle fits."));
      next = page.next ?? null;
      more.hidden = next === null;
      if (further) attend(lines[0]?.querySelector("a"));
      say(`${page.bottles.length} shown.`);
    } catch (error) {
      place(error, () => load(further));
    }
  }

  desk.replaceChildren(
    el("h1", {}, "The shelf"),
    el(
      "form",
      { class: "slip", role: "search", novalidate: true, onsubmit: (event) => { event.preventDefault(); void load(false); } },
      el("div", { class: "many-fields" }, field("/query/substance", "Substance", substance, "a name with its form; empty is all"), field("/query/state", "Show", shown, "which bottles")),
      el("div", { class: "slip-foot" }, el("button", { type: "submit", class: "button" }, "Look"), me.rights.includes("record:write") && el("a", { class: "quiet-link", href: "#/shelf/add" }, "Put up a bottle")),
    ),
    trouble,
    rows,
    more,
  );
  await load(false);
}

function row(one) {
  return el(
    "li",
    {},
    el(
      "a",
      { href: `#/shelf/${one.id}` },
      tag(...STATES[one.state]),
      el("span", { class: "register-said" }, el("b", {}, one.name), one.strength && ` ${one.strength.value} ${one.strength.unit}`, ` · ${one.place}`, one.lot && ` · lot ${one.lot}`, one.why && el("span", { class: "conditions" }, one.why)),
      el("span", { class: "bottle-left" }, el("b", {}, `${one.left} ${one.unit}`), " left", el("span", { class: "conditions faint" }, one.free !== one.left && `${one.free} ${one.unit} not reserved. `, one.expiry ? `last day ${one.expiry}` : "")),
    ),
  );
}

const UNITS = [["g", "g"], ["mL", "mL"]];
const STRENGTHS = ["mol/L", "g/L", "% w/w", "% w/v"].map((unit) => [unit, unit]);

async function add(desk) {
  const { field, clear, place, trouble } = fields("bottle");
  const plain = Object.fromEntries(["by", "name", "preparation", "amount", "strength", "place", "lot", "assay_pct", "density_g_mL", "supplier"].map((name) => [name, line(["amount", "strength", "assay_pct", "density_g_mL"].includes(name) ? { inputmode: "decimal" } : {})]));
  const days = { opened: line({ type: "date" }), expiry: line({ type: "date" }) };
  const unit = choice(UNITS);
  const per = choice(STRENGTHS);
  const button = el("button", { type: "submit", class: "button" }, "Put it on the shelf");
  let sent = null; // the body and its key: sent again as it was, it counts once

  async function send() {
    clear();
    const body = { unit: unit.value };
    for (const [name, entry] of Object.entries({ ...plain, ...days })) if (entry.value.trim() && name !== "strength") body[name] = entry.value.trim();
    if (plain.strength.value.trim()) body.strength = { value: plain.strength.value.trim(), unit: per.value };
    const text = JSON.stringify(body);
    if (sent?.text !== text) sent = { text, key: service.freshKey() };
    button.disabled = true;
    try {
      const made = await service.addBottle(body, sent.key);
      window.location.assign(`#/shelf/${made.id}`);
    } catch (error) {
      place(error, send);
    } finally {
      button.disabled = false;
    }
  }

  desk.replaceChildren(
    el("h1", {}, "Put up a bottle"),
    el(
      "form",
      { class: "slip", novalidate: true, onsubmit: (event) => { event.preventDefault(); void send(); } },
      el(
        "div",
        { class: "many-fields" },
        field("/by", "Your initials", plain.by, "of who puts it up"),
        field("/name", "What is in it", plain.name, "name and form, as on the bottle"),
        field("/preparation", "or made here", plain.preparation, "the number of the preparation"),
        field("/amount", "How much is in it", plain.amount, "as on the bottle"),
        field("/unit", "in", unit, "it is kept in this unit"),
        field("/place", "Where it stands", plain.place, "cabinet and shelf"),
        field("/strength", "Strength", plain.strength, "of a solution only"),
        field("/strength/unit", "strength in", per, "as on the label"),
        field("/lot", "Lot", plain.lot, "as on the bottle"),
        field("/expiry", "Last day", days.expiry, "it may be used until then"),
        field("/opened", "Opened", days.opened, "may be left empty"),
        field("/assay_pct", "Assay, %", plain.assay_pct, "of the certificate"),
        field("/density_g_mL", "Density, g/mL", plain.density_g_mL, "of a solution or liquid"),
        field("/supplier", "Supplier", plain.supplier, "may be left empty"),
      ),
      trouble,
      el("div", { class: "slip-foot" }, button, el("a", { class: "quiet-link", href: "#/shelf" }, "Back to the shelf")),
    ),
  );
}
