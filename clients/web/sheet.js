// One reply as a sheet: what it came to, then what to do about it.

import { el } from "./dom.js";
import { findings, tally } from "./checks.js";
import { measures } from "./measures.js";
import { OUTCOMES, tag, VERDICTS } from "./signs.js";
import { cited } from "./sources.js";

/** The head of a sheet: shape and word of the outcome, and the request as it was read. */
export function head(reply, level = "h2") {
  const { word, sign } = VERDICTS[reply.answer?.verdict] ?? OUTCOMES[reply.outcome];
  return el(
    "header",
    { class: "sheet-head" },
    el(level, { class: "outcome", tabindex: "-1" }, tag(sign, word), reply.read_as && el("span", { class: "read-as" }, reply.read_as)),
  );
}

/** The whole sheet of a turn; `acts` are what its buttons do: choose(option), suggest(text), and the plan's own address. */
export function sheet(turn, acts) {
  const { reply } = turn;
  return el(
    "article",
    { class: `sheet outcome-${reply.outcome}` },
    head(reply),
    reply.outcome === "held" && held(reply),
    reply.problem && problem(reply, turn.said, acts),
    reply.question && question(reply.question, acts),
    reply.answer && answer(reply.answer),
    reply.plan && measures(reply.plan),
    reply.assumptions?.length > 0 && takenForGranted(reply.assumptions),
    reply.plan && tally(reply.findings),
    reply.plan && findings(reply.findings, reply.outcome === "held" ? ["stop", "ask", "caution", "unchecked"] : ["stop", "hold", "ask", "caution", "unchecked"]),
    reply.plan && el("p", { class: "onwards" }, el("a", { class: "button", href: `#/card/${reply.id}` }, "Open the bench card")),
    el("p", { class: "stored" }, `stored as ${reply.id}`),
  );
}

/** Why somebody must look first, or had to: `allowed` when that has been done. */
export function held(reply, allowed = false) {
  return el(
    "section",
    { class: "held", "aria-label": "Why it is held" },
    el("p", {}, allowed ? "It was held for this, and has been allowed: keep to the conditions." : "It can be made, but somebody who may allow it must look at it first. No label or sheet until then."),
    findings(reply.findings, ["hold"]),
  );
}

/** What was assumed and could change a number. */
export function takenForGranted(assumptions, level = "h3") {
  return el("section", { class: "granted" }, el(level, { class: "granted-title" }, "Taken for granted"), el("ul", {}, assumptions.map((line) => el("li", {}, line))));
}

function question(asked, acts) {
  return el(
    "section",
    { class: "question" },
    el("p", { class: "asked" }, asked.text),
    asked.options.length > 0 &&
      el(
        "ul",
        { class: "options" },
        asked.options.map((option) =>
          el(
            "li",
            {},
            el("button", { type: "button", class: "option", onclick: () => acts.choose(option) }, el("span", { class: "label" }, option.label), option.effect && el("span", { class: "effect" }, option.effect)),
          ),
        ),
      ),
    asked.remedy && el("p", { class: "remedy" }, asked.remedy),
  );
}

/** Why there is no plan: what is wrong, where reading stopped, what was read, and what to try. */
export function problem(reply, said, acts) {
  const found = reply.problem;
  return el(
    "section",
    { class: "problem" },
    el("p", { class: "asked" }, found.message),
    found.span && caret(reply.text ?? said, found.span),
    found.understood && el("dl", { class: "fields" }, Object.entries(found.understood).map(([name, value]) => el("div", {}, el("dt", {}, name), el("dd", {}, value)))),
    found.remedy && el("p", { class: "remedy" }, found.remedy),
    found.suggestions?.length > 0 && [
      el("p", { class: "perhaps" }, "Perhaps:"),
      el("ul", { class: "chips" }, found.suggestions.map((text) => el("li", {}, el("button", { type: "button", class: "chip-button", onclick: () => acts.suggest(reply, said, text) }, text)))),
    ],
  );
}

/** The text with a mark under the place where reading stopped. Places count characters, not halves of them. */
function caret(text, [start, end]) {
  const letters = Array.from(text ?? "");
  if (letters.length === 0) return null;
  const from = Math.min(start, letters.length);
  const to = Math.min(Math.max(end, from + 1), Math.max(letters.length, from + 1));
  const part = letters.slice(from, to).join("");
  return el(
    "p",
    { class: "caret" },
    letters.slice(0, from).join(""),
    el("mark", {}, el("span", { class: "only-heard" }, "reading stopped here: "), part || " ", el("span", { class: "carets", "aria-hidden": "true" }, "^".repeat(Math.max(1, to - from)))),
    letters.slice(to).join(""),
  );
}

/** A value, a verdict, the slip that was made. */
export function answer(found) {
  return el(
    "section",
    { class: "answer" },
    found.amount && el("p", { class: "amount" }, found.amount.display),
    el("p", { class: "said" }, found.text),
    found.slips?.length > 0 && [
      el("h3", {}, "The slip"),
      el("ul", { class: "slips" }, found.slips.map((slip) => el("li", {}, el("b", {}, slip.name), !found.text.includes(slip.explanation) && el("p", {}, slip.explanation)))),
    ],
    found.working?.length > 0 && working(found.working),
    cited(found.citations),
  );
}

/** The sum, each way it can be written. */
export function working(parts) {
  return el("div", { class: "working" }, parts.map((part) => el("section", {}, el("h3", {}, part.method), el("ol", {}, part.lines.map((line) => el("li", {}, line))))));
}
