// Taking a plan back, with the reason; and what a plan says that was taken back.

import { el, say } from "./dom.js";
import { fields, moment } from "./form.js";
import * as service from "./service.js";
import { tag } from "./signs.js";

/** The mark of a withdrawn plan, or the form to withdraw it where the account may; `done` is called afterwards. */
export function withdrawal(reply, me, done) {
  if (reply.withdrawn) return el("section", { class: "standing", "aria-label": "Withdrawn" }, el("p", {}, tag("stop", "Withdrawn"), ` by ${reply.withdrawn.name ?? reply.withdrawn.by}, `, moment(reply.withdrawn.at), `: ${reply.withdrawn.reason}`), el("p", {}, "Nothing is made, labelled or printed from it any more."));
  if (!["plan:write", "record:write"].some((right) => me.rights.includes(right))) return "";
  const { field, clear, place, trouble } = fields(`withdraw-${reply.id}`);
  const reason = el("textarea", { rows: "2", maxlength: "1000" });
  const button = el("button", { type: "submit", class: "quiet" }, "Withdraw it for good");
  async function send() {
    clear();
    button.disabled = true;
    try {
      await service.withdraw(reply.id, reason.value);
      await done();
      say("Withdrawn.");
    } catch (error) {
      place(error, send);
    } finally {
      button.disabled = false;
    }
  }
  return el("details", { class: "withdraw" }, el("summary", {}, "Withdraw this plan"), el("form", { class: "decision", novalidate: true, onsubmit: (event) => { event.preventDefault(); void send(); } }, el("p", { class: "remedy" }, "It is kept, but nothing is made, labelled or printed from it any more."), field("/reason", "Why it is withdrawn", reason), trouble, el("div", { class: "slip-foot" }, button)));
}

/** The same for a part of the page that is filled later. */
export async function withdrawalLater(place, reply, done) {
  try {
    place.replaceChildren(reply.withdrawn ? withdrawal(reply, null, done) : withdrawal(reply, await service.session(), done));
  } catch {
    // The card stands without it.
  }
}
