// What the balance really showed: the service says what it makes, the window shows where it lies.

import { attend, el, say } from "./dom.js";
import * as service from "./service.js";

const answered = new Map(); // the answer to the last weighing, by plan and line

/** A small form under a mass; `again` draws the amounts anew with the mark. Null where nothing is weighed. */
export function weighing(reply, line, noted, place, again) {
  if (line.amount.unit !== "g" || line.role === "solvent" || reply.request?.kind !== "prepare") return null;
  const key = `${reply.id}:${place}`;
  const id = `showed-${place}`;
  const entry = el("input", { id, type: "text", inputmode: "decimal", autocomplete: "off", maxlength: "20", value: noted.get(place) ?? "" });
  const result = el("div", { class: "weighed-result", role: "status" }, answered.get(key) && el("p", {}, answered.get(key)));
  return el(
    "form",
    {
      class: "weighing",
      onsubmit: async (event) => {
        event.preventDefault();
        const typed = entry.value.trim();
        if (!typed) return;
        const many = reply.plan.measure.filter((other) => other.amount.unit === "g").length > 1;
        try {
          const talk = await service.openTalk();
          await service.sayTo(talk, { request: reply.request });
          const said = await service.sayTo(talk, { text: `I weighed ${typed} g${many ? ` of ${line.what}` : ""}` });
          answered.set(key, said.answer?.text ?? said.problem?.message ?? said.question?.text ?? "No answer.");
          noted.set(place, typed);
          again();
          say(answered.get(key));
          attend(document.getElementById(id));
        } catch (trouble) {
          result.replaceChildren(el("p", {}, trouble.message));
        }
      },
    },
    el("label", { for: id }, "The balance showed"),
    el("span", { class: "with-unit" }, entry, " g"),
    el("button", { type: "submit", class: "quiet" }, "What does that make?"),
    result,
  );
}
