// Searching the log: who asked for what and when, how much in all, and the log to take away.

import { attend, el, say } from "./dom.js";
import { audit, auditFile, verified } from "./service.js";
import { OUTCOMES, tag } from "./signs.js";

const FIELDS = [
  ["substance", "Substance", "text", "a name or a formula"],
  ["class", "Group or hazard class", "text", "such as chromate-vi, or Carc. 1B"],
  ["over", "Stronger than, mol/L", "text", "with a substance or a group"],
  ["person", "Person", "text", "the name of an account"],
  ["lot", "Lot", "text", "that something was made from"],
  ["since", "From", "date", ""],
  ["until", "Up to", "date", ""],
];

/** Fill the page with the search. */
export async function searchLog(desk) {
  const trouble = el("div", { class: "trouble", role: "alert" });
  const totals = el("div", {});
  const list = el("ul", { class: "register" });
  const files = el("p", { class: "slip-foot" });
  const more = el("button", { type: "button", class: "button", hidden: true, onclick: () => load(true) }, "Further back");
  const entries = new Map();
  const faults = new Map();
  let next = null;
  let asked = {};

  const fields = FIELDS.map(([name, label, type, hint]) => {
    const entry = el("input", { id: `log-${name}`, type, autocomplete: "off", maxlength: "200", inputmode: name === "over" ? "decimal" : undefined, "aria-describedby": `log-${name}-hint log-${name}-fault` });
    const fault = el("p", { class: "fault", id: `log-${name}-fault` });
    entries.set(name, entry);
    faults.set(name, fault);
    return el("div", { class: "field" }, el("label", { for: entry.id }, label), el("p", { class: "hint", id: `log-${name}-hint` }, hint), entry, fault);
  });
  const outcome = el("select", { id: "log-outcome" }, el("option", { value: "" }, "all"), Object.entries(OUTCOMES).map(([name, { word }]) => el("option", { value: name }, word)));

  function wanted() {
    const found = Object.fromEntries([...entries].map(([name, entry]) => [name, entry.value.trim()]).filter(([, value]) => value));
    return outcome.value ? { ...found, outcome: outcome.value } : found;
  }

  async function load(further) {
    trouble.replaceChildren();
    for (const [name, fault] of faults) {
      fault.textContent = "";
      entries.get(name).removeAttribute("aria-invalid");
    }
    if (!further) asked = wanted();
    try {
      const page = await audit(asked, further ? next : null);
      const rows = page.entries.map(row);
      if (further) list.append(...rows);
      else {
        list.replaceChildren(...rows);
        totals.replaceChildren(...(page.totals ? [sums(page)] : []));
        files.replaceChildren(...["csv", "jsonl"].map((kind) => el("a", { class: "quiet-link", href: auditFile(asked, kind), download: `audit.${kind}` }, kind === "csv" ? "Take away as a table (CSV)" : "Take away in full (JSON lines)")));
      }
      if (list.children.length === 0) list.append(el("li", { class: "faint" }, "Nothing in the log fits."));
      next = page.next ?? null;
      more.hidden = next === null;
      say(`${list.children.length} entries shown.`);
    } catch (error) {
      for (const { pointer, message } of error.fields) {
        const name = pointer.replace("/query/", "");
        if (!faults.has(name)) continue;
        faults.get(name).textContent = `It ${message}.`;
        entries.get(name).setAttribute("aria-invalid", "true");
      }
      const first = desk.querySelector("[aria-invalid]");
      if (first) attend(first);
      else trouble.replaceChildren(el("p", {}, error.message), el("button", { type: "button", class: "button", onclick: () => load(further) }, "Try again"));
    }
  }

  desk.replaceChildren(
    el("h1", {}, "The log"),
    el(
      "form",
      { class: "slip", novalidate: true, onsubmit: (event) => { event.preventDefault(); void load(false); } },
      el("div", { class: "many-fields" }, fields, el("div", { class: "field" }, el("label", { for: "log-outcome" }, "Outcome"), el("p", { class: "hint" }, "of the reply"), outcome)),
      el("div", { class: "slip-foot" }, el("button", { type: "submit", class: "button" }, "Search")),
    ),
    trouble,
    whole(),
    totals,
    list,
    more,
    files,
  );
  await load(false);
}

/** Whether the log is whole: asked when somebody wants to know. */
function whole() {
  const told = el("div", { role: "status" });
  const button = el("button", { type: "button", class: "quiet", onclick: ask }, "Is the log whole?");
  async function ask() {
    button.disabled = true;
    told.replaceChildren(el("p", {}, "Checking every entry."));
    try {
      const found = await verified();
      const upTo = `Entry ${found.checked.seq}, hash ${found.checked.hash}`;
      told.replaceChildren(
        ...(found.whole
          ? [el("p", {}, tag("pass", "Whole"), " Every entry follows the one before it, up to the newest, and the stored plans are those that were logged."), el("p", { class: "faint" }, upTo)]
          : [el("p", {}, tag("stop", "Not whole"), ` ${found.broken.seq > 0 ? `First bad entry: ${found.broken.seq}. ` : ""}${found.broken.message}.`), el("p", { class: "remedy" }, "Leave the database as it is, and tell who keeps the service and the safety officer.")]),
      );
    } catch (error) {
      told.replaceChildren(el("p", { class: "trouble", role: "alert" }, error.message));
    } finally {
      button.disabled = false;
    }
  }
  return el("section", { class: "card whole", "aria-label": "Whether the log is whole" }, button, told);
}

function sums(page) {
  const size = (grams) => `${Number(grams.toPrecision(4))} g`;
  return el(
    "section",
    { class: "card" },
    el("h2", {}, "In all"),
    el(
      "div",
      { class: "scroll", tabindex: "0", role: "region", "aria-label": "Totals" },
      el(
        "table",
        { class: "plain" },
        el("thead", {}, el("tr", {}, ["substance", "asked by", "outcome", "times", "in the solutions", "of unknown amount"].map((name) => el("th", { scope: "col" }, name)))),
        el("tbody", {}, page.totals.map((sum) => el("tr", {}, el("th", { scope: "row" }, sum.substance), el("td", {}, sum.name ?? sum.by), el("td", {}, OUTCOMES[sum.outcome].word), el("td", {}, sum.count), el("td", {}, size(sum.amount_g)), el("td", {}, sum.unknown_amounts)))),
      ),
    ),
    page.without_strength > 0 && el("p", {}, `${page.without_strength} more whose strength in mol/L is not known are not among them.`),
  );
}

function row(entry) {
  const kind = entry.outcome && OUTCOMES[entry.outcome];
  const when = new Date(entry.at).toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" });
  const inside = [
    kind ? tag(kind.sign, kind.word) : el("b", {}, entry.event),
    el("span", { class: "register-said" }, entry.read_as ?? entry.text ?? entry.subject),
    el("span", { class: "faint" }, `${entry.seq} · `, el("time", { datetime: entry.at }, when), ` · ${entry.name ?? entry.by}`),
  ];
  return el("li", {}, kind ? el("a", { href: `#/card/${entry.subject}` }, inside) : el("div", { class: "register-row" }, inside));
}
