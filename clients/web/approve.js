// The queue of held plans, worst first, and the decision about each.

import { attend, el, say } from "./dom.js";
import { findings } from "./checks.js";
import { fields, line as entryLine, number } from "./form.js";
import { measures } from "./measures.js";
import * as service from "./service.js";
import { tag } from "./signs.js";
import { standing } from "./standing.js";
import { withdrawal } from "./withdraw.js";

/** Fill the page with the queue. */
export async function approve(desk) {
  const me = await service.session();
  const list = el("ul", { class: "queue" });
  const trouble = el("div", { class: "trouble", role: "alert" });
  const more = el("button", { type: "button", class: "button", hidden: true, onclick: () => load(true) }, "Further");
  const choice = el("select", { id: "state", onchange: () => void load(false) }, [["waiting", "waiting"], ["approved", "allowed"], ["declined", "declined"]].map(([value, word]) => el("option", { value }, word)));
  let next = null;

  async function load(further) {
    trouble.replaceChildren();
    try {
      const page = await service.approvals(choice.value, further ? next : null);
      const lines = page.approvals.map((line) => entry(line, me, (said) => { void load(false); say(said); attend(title); }));
      if (further) list.append(...lines);
      else list.replaceChildren(...lines);
      if (list.children.length === 0) list.append(el("li", { class: "faint" }, choice.value === "waiting" ? "Nothing waits." : "None."));
      next = page.next ?? null;
      more.hidden = next === null;
      if (further) attend(lines[0]?.querySelector("summary"));
    } catch (error) {
      trouble.replaceChildren(el("p", {}, error.message), el("button", { type: "button", class: "button", onclick: () => load(further) }, "Try again"));
    }
  }

  const title = el("h1", {}, "Approve");
  desk.replaceChildren(title, el("div", { class: "filter" }, el("label", { for: "state" }, "Show"), choice), trouble, list, more);
  await load(false);
}

function entry(line, me, done) {
  const inside = el("div", { class: "queue-inside" });
  const box = el(
    "details",
    {},
    el(
      "summary",
      {},
      tag("hold", "Held"),
      line.approval.needs > 1 && el("span", { class: "chip" }, `${line.approval.needs} people must allow it`),
      !line.approvable && el("span", { class: "chip" }, "nobody may allow it"),
      el("span", { class: "register-said" }, line.read_as ?? line.text ?? line.plan),
      el("span", { class: "faint" }, `${line.asked_by_name ?? line.asked_by}${line.approval.needed_by ? `, needed by ${line.approval.needed_by}` : ""}`),
      el("span", { class: "queue-why" }, line.reasons.map((reason) => reason.message).join(" ")),
    ),
    inside,
  );
  box.addEventListener(
    "toggle",
    async () => {
      let reply;
      try {
        reply = await service.plan(line.plan);
      } catch (trouble) {
        inside.replaceChildren(el("p", { role: "alert" }, trouble.message));
        return;
      }
      inside.replaceChildren(
        el("h2", {}, "Why it is held"),
        findings(reply.findings, ["hold"]) || "",
        reply.plan ? measures(reply.plan) : "",
        standing(line.approval),
        el("p", {}, el("a", { class: "quiet-link", href: `#/card/${line.plan}` }, "Open the bench card")),
        decision(line, reply, me, done),
        withdrawal(reply, me, () => done("Withdrawn.")),
      );
    },
    { once: true },
  );
  return el("li", {}, box);
}

/** The form, or why there is none. */
function decision(line, reply, me, done) {
  if (line.approval.state !== "waiting" || !me.rights.includes("approve")) return "";
  if (line.asked_by === me.id) return el("p", { class: "remedy" }, "Nobody decides about their own request: another account must.");
  if (line.approval.decisions.some((one) => one.by === me.id)) return el("p", { class: "remedy" }, "You have allowed it; one more person must.");
  const { field, clear, place, trouble } = fields(`decide-${line.plan}`);
  const reason = el("textarea", { rows: "2", maxlength: "1000" });
  const volume = entryLine({ inputmode: "decimal" });
  const strength = entryLine({ inputmode: "decimal" });
  const room = entryLine();
  const people = entryLine({ maxlength: "1000" });
  const until = entryLine({ type: "date" });
  const unit = reply.plan?.product.concentration?.unit;
  const buttons = [];

  async function send(decided) {
    clear();
    const conditions = {};
    if (decided === "approve") {
      if (volume.value.trim()) conditions.up_to_volume_mL = number(volume.value);
      if (unit && strength.value.trim()) conditions.up_to_strength = { value: number(strength.value), unit };
      if (room.value.trim()) conditions.room = room.value.trim();
      if (people.value.trim()) conditions.people = people.value.split(",").map((one) => one.trim()).filter(Boolean);
      if (until.value) conditions.until = until.value;
    }
    for (const button of buttons) button.disabled = true;
    try {
      await service.decide(line.plan, { decision: decided, reason: reason.value, ...(Object.keys(conditions).length > 0 ? { conditions } : {}) });
      done(decided === "approve" ? "Allowed." : "Declined.");
    } catch (error) {
      place(error, () => send(decided));
    } finally {
      for (const button of buttons) button.disabled = false;
    }
  }

  buttons.push(
    ...(line.approvable ? [el("button", { type: "button", class: "button", onclick: () => send("approve") }, "Allow it")] : []),
    el("button", { type: "button", class: "quiet", onclick: () => send("decline") }, "Decline it"),
  );
  return el(
    "form",
    { class: "decision", novalidate: true, onsubmit: (event) => event.preventDefault() },
    el("h2", {}, "Decide"),
    field("/reason", "Reason", reason),
    line.approvable
      ? el(
          "fieldset",
          {},
          el("legend", {}, "Only if (may be left empty)"),
          field("/conditions/up_to_volume_mL", "at most, mL", volume),
          unit && field("/conditions/up_to_strength", `at most, ${unit}`, strength),
          field("/conditions/room", "in this room", room),
          field("/conditions/people", "made by", people, "names of accounts, with commas"),
          field("/conditions/until", "until", until),
        )
      : el("p", { class: "remedy" }, "A danger that nobody may allow stands against it: it can only be declined."),
    trouble,
    el("div", { class: "slip-foot" }, buttons),
  );
}
