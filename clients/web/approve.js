// The queue of held plans, worst first, and the decision about each.

import { attend, el, say } from "./dom.js";
import { findings } from "./checks.js";
import { measures } from "./measures.js";
import * as service from "./service.js";
import { tag } from "./signs.js";
import { standing } from "./standing.js";

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
  const name = (part) => `${part}-${line.plan}`;
  const faults = new Map();
  const field = (part, label, entry, pointer) => {
    const fault = el("p", { class: "fault", id: name(`${part}-fault`) });
    faults.set(pointer, [entry, fault]);
    return el("div", { class: "field" }, el("label", { for: name(part) }, label), entry, fault);
  };
  const input = (part, more) => el("input", { id: name(part), type: "text", autocomplete: "off", maxlength: "100", "aria-describedby": name(`${part}-fault`), ...more });
  const reason = el("textarea", { id: name("reason"), rows: "2", maxlength: "1000", "aria-describedby": name("reason-fault") });
  const volume = input("volume", { inputmode: "decimal" });
  const strength = input("strength", { inputmode: "decimal" });
  const room = input("room");
  const until = el("input", { id: name("until"), type: "date", "aria-describedby": name("until-fault") });
  const unit = reply.plan?.product.concentration?.unit;
  const trouble = el("div", { class: "trouble", role: "alert" });
  const buttons = [];

  async function send(decided) {
    for (const [entry, fault] of faults.values()) {
      entry.removeAttribute("aria-invalid");
      fault.textContent = "";
    }
    trouble.replaceChildren();
    const conditions = {};
    if (decided === "approve") {
      if (volume.value.trim()) conditions.up_to_volume_mL = number(volume.value);
      if (unit && strength.value.trim()) conditions.up_to_strength = { value: number(strength.value), unit };
      if (room.value.trim()) conditions.room = room.value.trim();
      if (until.value) conditions.until = until.value;
    }
    for (const button of buttons) button.disabled = true;
    try {
      await service.decide(line.plan, { decision: decided, reason: reason.value, ...(Object.keys(conditions).length > 0 ? { conditions } : {}) });
      done(decided === "approve" ? "Allowed." : "Declined.");
    } catch (error) {
      const unplaced = [];
      for (const { pointer, message } of error.fields) {
        const place = [...faults.keys()].find((known) => pointer.startsWith(known));
        if (!place) {
          unplaced.push(`${pointer} ${message}`);
          continue;
        }
        const [entry, fault] = faults.get(place);
        entry.setAttribute("aria-invalid", "true");
        fault.textContent = `It ${message}.`;
      }
      const first = [...faults.values()].find(([entry]) => entry.hasAttribute("aria-invalid"));
      if (first) attend(first[0]);
      if (!first || unplaced.length > 0) trouble.replaceChildren(el("p", {}, [error.message, ...unplaced].join(" ")));
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
    field("reason", "Reason", reason, "/reason"),
    line.approvable
      ? el(
          "fieldset",
          {},
          el("legend", {}, "Only if (may be left empty)"),
          field("volume", "at most, mL", volume, "/conditions/up_to_volume_mL"),
          unit && field("strength", `at most, ${unit}`, strength, "/conditions/up_to_strength"),
          field("room", "in this room", room, "/conditions/room"),
          field("until", "until", until, "/conditions/until"),
        )
      : el("p", { class: "remedy" }, "A danger that nobody may allow stands against it: it can only be declined."),
    trouble,
    el("div", { class: "slip-foot" }, buttons),
  );
}

/** A number as typed; anything else goes to the service as it is, and the service says what is wrong with it. */
function number(text) {
  const found = Number(text.trim());
  return Number.isFinite(found) ? found : text.trim();
}
