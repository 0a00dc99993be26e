// Asking: a sentence on a slip, the answer under it, and everything said before beneath that.

import { attend, el, say } from "./dom.js";
import { inOneBreath } from "./measures.js";
import { reader } from "./reading.js";
import { sheet } from "./sheet.js";
import { OUTCOMES, tag } from "./signs.js";
import { Talk } from "./talk.js";

const EXAMPLES = [
  "250 mL of 0.1 M sodium chloride",
  "500 mL of 0.1 M copper sulfate",
  "0.5 M sodium hydroxide, 25 mL each for 12 pairs, 10 % spare",
  "2.5 L of 0.1 M hydrochloric acid from concentrated",
  "100 mL of 0.00020 M potassium permanganate",
  "1 L of phosphate-buffered saline",
  "calibration standards of 1, 2, 5 and 10 mg/L copper, 100 mL each, from a 1000 mg/L stock",
];
const AFTER = ["which flask?", "how sure is the strength?", "why this route?", "how long does it keep?", "how do I dispose of it?", "how do I label it?"];

const talk = new Talk();
const turns = []; // oldest first
let restored = null;

/** Fill the page with the slip and the answers; `given` says for which course, and how many learn in it. */
export async function ask(desk, given = "") {
  const course = new URLSearchParams(given);
  const entry = el("textarea", {
    id: "slip", name: "slip", rows: "2", maxlength: "4000", autocomplete: "off", autocapitalize: "none", spellcheck: "false", "aria-describedby": "slip-hint",
    onkeydown: (event) => {
      if (event.key === "Enter" && !event.shiftKey && !event.isComposing) {
        event.preventDefault();
        form.requestSubmit();
      }
    },
    oninput: () => reading.typed(entry.value, turns.length > 0),
  });
  const reading = reader();
  const button = el("button", { type: "submit", class: "button" }, "Work it out");
  const trouble = el("div", { class: "trouble", role: "alert" });
  const answers = el("div", { class: "answers" });
  const form = el(
    "form",
    {
      class: "slip",
      novalidate: true,
      onsubmit: (event) => {
        event.preventDefault();
        const said = entry.value.trim();
        if (said) void send(said, { text: said });
        else attend(entry);
      },
    },
    el("label", { for: "slip" }, "What is to be made?"),
    ...forCourse(course),
    el("p", { class: "hint", id: "slip-hint" }, "In plain words. Afterwards change it, or ask about it. Enter sends, Shift and Enter begins a new line."),
    entry,
    reading.box,
    trouble,
    el("div", { class: "slip-foot" }, button, el("button", { type: "button", class: "quiet", id: "afresh", onclick: afresh }, "New slip")),
  );
  let busy = false;

  async function send(said, message) {
    if (busy) return;
    busy = true;
    reading.stop();
    trouble.replaceChildren();
    button.disabled = true;
    answers.setAttribute("aria-busy", "true");
    say("Working it out.");
    try {
      const reply = await talk.say(message);
      turns.push({ said, reply });
      if (entry.value.trim() === said || message.request) entry.value = "";
      show();
      const { word } = OUTCOMES[reply.outcome];
      say(`${word}. ${inOneBreath(reply)}`);
      if (message.request || !matchMedia("(pointer: fine)").matches) attend(answers.querySelector(".outcome"));
    } catch (error) {
      failed(error, said, message);
    } finally {
      busy = false;
      button.disabled = false;
      answers.removeAttribute("aria-busy");
    }
  }

  function failed(error, said, message) {
    if (!entry.value.trim()) entry.value = said;
    say("");
    trouble.replaceChildren(
      el("p", {}, el("b", {}, error.message), error.gone ? " Nothing is lost: your words stand in the slip." : ""),
      el("button", { type: "button", class: "button", onclick: () => send(said, message) }, "Send again"),
    );
  }

  function afresh() {
    talk.forget();
    turns.length = 0;
    entry.value = "";
    reading.stop();
    trouble.replaceChildren();
    show();
    attend(entry);
    say("A new slip.");
  }

  const acts = {
    choose: (option) => send(option.label, option.request ? { request: option.request } : { text: option.label }),
    // The service offers whole texts, each tried before it is offered.
    suggest: (reply, said, suggestion) => void send(suggestion, { text: suggestion }),
  };
  const chips = (lines, title) =>
    el(
      "section",
      { class: "offers" },
      el("h2", { class: "offers-title" }, title),
      el("ul", { class: "chips" }, lines.map((text) => el("li", {}, el("button", { type: "button", class: "chip-button", onclick: () => send(text, { text }) }, text)))),
    );

  function show() {
    document.getElementById("afresh").hidden = turns.length === 0;
    const [last, ...before] = [...turns].reverse();
    if (!last) {
      answers.replaceChildren(chips(EXAMPLES, "For example"));
      return;
    }
    const standing = [...turns].reverse().find((turn) => turn.reply.plan);
    const aboutOne = standing?.reply.request?.kind === "prepare" && last.reply.outcome !== "question" && last.reply.outcome !== "refused";
    const follow = aboutOne ? [...(standing.reply.outcome === "held" ? ["why is it held?"] : []), ...AFTER].filter((text) => text !== last.said) : [];
    answers.replaceChildren(
      el("div", { class: "turn" }, said(last), sheet(last, acts)),
      ...(follow.length > 0 ? [chips(follow, "Ask about it")] : []),
      ...(before.length > 0 ? [el("section", { class: "before" }, el("h2", {}, "Said before"), before.map((turn) => strip(turn)))] : []),
    );
  }

  /** A turn further back: one line that opens to the whole sheet. */
  function strip(turn) {
    const { word, sign } = OUTCOMES[turn.reply.outcome];
    const box = el("details", { class: "strip" }, el("summary", {}, tag(sign, word), el("span", { class: "strip-said" }, turn.said), el("span", { class: "strip-came" }, inOneBreath(turn.reply))));
    box.addEventListener("toggle", () => box.append(sheet(turn, acts)), { once: true });
    return box;
  }

  desk.replaceChildren(el("h1", { class: "only-heard" }, "Ask for a solution"), form, answers);
  if (/^[0-9]{1,4}$/.test(course.get("students") ?? "")) {
    entry.value = ` each for ${course.get("students")} students`;
    entry.setSelectionRange(0, 0); // what is wanted goes before it
  }
  show();
  try {
    restored ??= talk.restore();
    turns.splice(0, 0, ...(await restored));
    restored = Promise.resolve([]);
    if (form.isConnected) show();
  } catch (error) {
    restored = null;
    if (error.status === 404) talk.forget();
    else trouble.replaceChildren(el("p", {}, `${error.message} What was said before cannot be shown now.`));
  }
  if (matchMedia("(pointer: fine)").matches && form.isConnected) entry.focus({ preventScroll: true });
}

/** For whom it is asked, as a learning system said. */
function forCourse(course) {
  const parts = [course.get("course"), course.has("students") ? `${course.get("students")} students` : ""].filter(Boolean);
  return parts.length > 0 ? [el("p", { class: "hint", id: "for-course" }, `For ${parts.join(", ")}.`)] : [];
}

function said(turn) {
  return el("p", { class: "said-before" }, el("span", { class: "only-heard" }, "You said: "), turn.said);
}
