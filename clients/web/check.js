// Checking an answer: what was to be made, what somebody got, and which slip gives that number.

import { attend, el, say } from "./dom.js";
import { check as ask } from "./service.js";
import { sheet } from "./sheet.js";
import { OUTCOMES, VERDICTS } from "./signs.js";

const EXAMPLES = [
  ["500 mL of 0.100 M copper sulfate pentahydrate", "7.98 g"],
  ["250 mL of 0.1 M sodium chloride", "1.46 g"],
  ["100 mL of 0.5 M sodium hydroxide", "20 g"],
];
const asked = { about: "", claimed: "" };

/** Fill the page with the two fields and the verdict. */
export function check(desk) {
  const field = (name, label, hint, mode) => {
    const fault = el("p", { class: "fault", id: `${name}-fault` });
    const entry = el("input", { id: name, name, type: "text", autocomplete: "off", spellcheck: "false", maxlength: "2000", inputmode: mode, value: asked[name], "aria-describedby": `${name}-hint ${name}-fault` });
    return { entry, fault, box: el("div", { class: "field" }, el("label", { for: name }, label), el("p", { class: "hint", id: `${name}-hint` }, hint), entry, fault) };
  };
  const about = field("about", "What was to be made", "for example: 500 mL of 0.100 M copper sulfate pentahydrate", "text");
  const claimed = field("claimed", "The answer that was given", "a number and its unit, for example: 7.98 g", "text");
  const result = el("div", { class: "answers" });
  const trouble = el("div", { class: "trouble", role: "alert" });
  const button = el("button", { type: "submit", class: "button" }, "Check it");

  function fault(part, said) {
    part.fault.textContent = said;
    if (said) part.entry.setAttribute("aria-invalid", "true");
    else part.entry.removeAttribute("aria-invalid");
  }

  async function send(request) {
    asked.about = about.entry.value.trim();
    asked.claimed = claimed.entry.value.trim();
    fault(about, asked.about ? "" : "Say what was to be made.");
    fault(claimed, asked.claimed ? "" : "Give the answer with its unit.");
    trouble.replaceChildren();
    const empty = [about, claimed].find((part) => !part.entry.value.trim());
    if (empty) {
      attend(empty.entry);
      return;
    }
    button.disabled = true;
    say("Checking.");
    try {
      const reply = await ask({ request: request ?? asked.about, claimed: { text: asked.claimed } });
      const said = asked.about;
      result.replaceChildren(
        sheet({ said, reply }, {
          choose: (option) => void send(option.request?.kind === "check" ? option.request.request : option.request),
          suggest: (_, __, suggestion) => {
            about.entry.value = suggestion;
            attend(about.entry);
          },
        }),
      );
      const word = reply.answer?.verdict ? VERDICTS[reply.answer.verdict].word : OUTCOMES[reply.outcome].word;
      say(`${word}. ${reply.answer?.text ?? reply.question?.text ?? reply.problem?.message ?? ""}`);
      if (request) attend(result.querySelector(".outcome"));
    } catch (error) {
      say("");
      const named = error.fields.filter(({ pointer }) => pointer.startsWith("/claimed") || pointer.startsWith("/request"));
      for (const { pointer, message } of named) fault(pointer.startsWith("/claimed") ? claimed : about, `It ${message}.`);
      if (named.length > 0) attend(desk.querySelector("[aria-invalid]"));
      else trouble.replaceChildren(el("p", {}, el("b", {}, error.message)), el("button", { type: "button", class: "button", onclick: () => send(request) }, "Send again"));
    } finally {
      button.disabled = false;
    }
  }

  desk.replaceChildren(
    el("h1", {}, "Check an answer"),
    el("p", { class: "lead" }, "Type what the class got. If it is wrong, the slip that gives just that number is named."),
    el(
      "form",
      {
        class: "slip",
        novalidate: true,
        onsubmit: (event) => {
          event.preventDefault();
          void send();
        },
      },
      about.box,
      claimed.box,
      trouble,
      el("div", { class: "slip-foot" }, button),
    ),
    result,
    el(
      "section",
      { class: "offers" },
      el("h2", { class: "offers-title" }, "For example"),
      el(
        "ul",
        { class: "chips" },
        EXAMPLES.map(([what, got]) =>
          el("li", {}, el("button", { type: "button", class: "chip-button", onclick: () => { about.entry.value = what; claimed.entry.value = got; void send(); } }, `${got} for ${what}`)),
        ),
      ),
    ),
  );
}
