// What the rules found, gravest first: word and shape say how grave, and each carries its source.

import { el, say } from "./dom.js";
import { rules } from "./service.js";
import { FOUND, FOUND_WORDS, found, sign, tag } from "./signs.js";
import { cited } from "./sources.js";

/** The findings by what they are called. */
export function sorted(findings = []) {
  const by = new Map(FOUND.map((name) => [name, []]));
  for (const finding of findings) by.get(found(finding)).push(finding);
  return by;
}

/** How many of each, as a line of signs. */
export function tally(findings) {
  const by = sorted(findings);
  return el(
    "ul",
    { class: "tally", "aria-label": "Checks" },
    FOUND.filter((name) => by.get(name).length > 0).map((name) =>
      el("li", { class: `tone-${name}` }, sign(name), el("span", {}, `${by.get(name).length} ${FOUND_WORDS[name].toLowerCase()}`)),
    ),
  );
}

function line(name, finding) {
  return el(
    "li",
    { class: `finding tone-${name}` },
    tag(name, FOUND_WORDS[name]),
    el(
      "div",
      {},
      el("p", { class: "message" }, finding.message ?? finding.rule),
      finding.remedy && el("p", { class: "remedy" }, finding.remedy),
      finding.approvable === false && el("p", { class: "remedy" }, "Nobody may allow this."),
      cited(finding.citations, `rule ${finding.rule}`),
    ),
  );
}

/** The findings of the kinds in `names`, gravest first. */
export function findings(all, names) {
  const by = sorted(all);
  const lines = names.flatMap((name) => by.get(name).map((finding) => line(name, finding)));
  return lines.length > 0 && el("ul", { class: "findings" }, lines);
}

/** Every check of a reply: what fired stands open, the passes can be opened. */
export function checks(reply) {
  const all = reply.findings ?? [];
  const passed = sorted(all).get("pass");
  const notes = sorted(all).get("note");
  return el(
    "section",
    { class: "checks", "aria-labelledby": "checks-title" },
    el("h2", { id: "checks-title" }, "Checks"),
    tally(all),
    findings(all, FOUND.filter((name) => name !== "pass" && name !== "note")),
    notes.length > 0 && el("details", { class: "notes" }, el("summary", {}, `${notes.length} ${notes.length === 1 ? "note" : "notes"}`), findings(notes, ["note"])),
    passed.length > 0 && passes(passed),
    reply.not_applicable?.length > 0 && el("p", { class: "faint" }, `${reply.not_applicable.length} more rules do not apply to this.`),
  );
}

function passes(passed) {
  const list = el("ul", { class: "findings" }, passed.map((finding) => line("pass", finding)));
  const box = el("details", { class: "passes" }, el("summary", {}, `${passed.length} passed`), list);
  box.addEventListener(
    "toggle",
    async () => {
      // A pass carries no citation of its own: the source is that of the rule.
      try {
        const known = await rules();
        list.replaceChildren(...passed.map((finding) => line("pass", { ...finding, citations: finding.citations ?? known.get(finding.rule)?.citations })));
      } catch (trouble) {
        say(trouble.message);
      }
    },
    { once: true },
  );
  return box;
}
