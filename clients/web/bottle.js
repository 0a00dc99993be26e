// One bottle: what is left, what happened to it, what was made from it, and what may happen next.

import { attend, draw, el, say } from "./dom.js";
import { choice, fields, line, moment } from "./form.js";
import * as service from "./service.js";
import { tag } from "./signs.js";

// What happens: word on the button, fields beside initials, and what a person should know before.
const KINDS = {
  take: ["Take", ["amount", "reservation", "reason"], ""],
  "hand-out": ["Hand out", ["amount", "to", "reservation", "reason"], ""],
  reserve: ["Reserve", ["amount", "reason"], "It stays in the bottle, and nobody else takes it."],
  release: ["Give a reservation back", ["reservation", "reason"], ""],
  quarantine: ["Quarantine", ["reason"], "It and everything made from it must not be used until each is cleared."],
  clear: ["Clear the quarantine", ["reason"], "Only this bottle is cleared; what was made from it is cleared one by one."],
  withdraw: ["Withdraw", ["reason"], "A withdrawal is for good."],
};
const OPEN = { "in use": ["take", "hand-out", "reserve", "release", "quarantine", "withdraw"], expired: ["release", "quarantine", "withdraw"], quarantined: ["clear", "withdraw"], "used up": ["quarantine", "withdraw"], withdrawn: [] };
const DONE = { take: "taken", "hand-out": "handed out", reserve: "reserved", release: "reservation given back", quarantine: "quarantined", clear: "cleared", withdraw: "withdrawn" };

/** Fill the page with the bottle called `id`; `states` gives sign and word of each state. */
export async function bottle(desk, id, states) {
  let one, below, me;
  try {
    [one, { below }, me] = await Promise.all([service.bottle(id), service.family(id), service.session()]);
  } catch (trouble) {
    desk.replaceChildren(el("h1", {}, "The shelf"), el("div", { class: "trouble", role: "alert" }, el("p", {}, trouble.message), el("button", { type: "button", class: "button", onclick: () => bottle(desk, id, states) }, "Try again")));
    return;
  }
  const facts = [
    ["stands in", one.place], ["lot", one.lot], ["last day", one.expiry], ["opened", one.opened], ["assay", one.assay_pct && `${one.assay_pct} %`],
    ["density", one.density_g_mL && `${one.density_g_mL} g/mL`], ["supplier", one.supplier], ["made here", one.preparation && `preparation ${one.preparation}`], ["put up", el("span", {}, moment(one.at), ` by ${one.by}`)],
  ];
  const title = el("h1", {}, one.name, one.strength && ` ${one.strength.value} ${one.strength.unit}`);
  desk.replaceChildren(
    el(
      "article",
      { class: "card" },
      title,
      el("p", {}, tag(...states[one.state]), one.why && ` ${one.why}`),
      el("div", { class: "bottle-level" }, level(one), el("div", {}, el("p", { class: "amount" }, `${one.left} ${one.unit}`), el("p", { class: "what" }, `left of ${one.amount} ${one.unit}`), one.free !== one.left && el("p", { class: "faint" }, `${one.free} ${one.unit} of it not reserved`))),
      el("dl", { class: "facts" }, facts.filter(([, said]) => said).map(([name, said]) => el("div", {}, el("dt", {}, name), el("dd", {}, said)))),
      me.rights.includes("record:write") && OPEN[one.state].length > 0 && act(one, async (said) => {
        await bottle(desk, id, states);
        say(said);
        attend(desk.querySelector("h1"));
      }),
      el("h2", {}, "What happened to it"),
      one.history.length === 0 ? el("p", {}, "Nothing yet.") : el("ol", { class: "register happened" }, [...one.history].reverse().map((event) => el("li", {}, el("div", { class: "register-row" }, el("b", {}, DONE[event.kind]), el("span", { class: "register-said" }, happened(event, one)), el("span", { class: "faint" }, moment(event.at), ` · ${event.by}`))))),
      el("h2", {}, "What was made from it"),
      below.length === 0 ? el("p", {}, "Nothing is known to have been made from it.") : tree(below, id),
      el("p", { class: "stored" }, `bottle ${one.id}`),
      el("p", { class: "onwards" }, el("a", { class: "quiet-link", href: "#/shelf" }, "Back to the shelf")),
    ),
  );
}

/** The bottle as drawn: filled as far as it is full. */
function level(one) {
  const full = Math.max(0, Math.min(1, Number(one.left) / Number(one.amount)));
  const height = full * 74;
  return draw("svg", { viewBox: "0 0 60 100", class: "bottle-drawn", "aria-hidden": "true" }, draw("rect", { x: 6, y: 94 - height, width: 48, height, class: "liquid" }), draw("path", { d: "M22 3h16v14q16 3 16 16v58q0 5-5 5H11q-5 0-5-5V33q0-13 16-16z", class: "glass" }));
}

function happened(event, one) {
  return [event.amount && `${event.amount} ${one.unit}`, event.to && `to ${event.to}`, event.reservation && `of reservation ${event.reservation}`, event.kind === "reserve" && `reservation ${event.number}`, event.reason, event.preparation && `for preparation ${event.preparation}`, event.plan && `for plan ${event.plan}`].filter(Boolean).join(", ");
}

function tree(below, source) {
  const children = below.filter((one) => one.source === source);
  return children.length > 0 && el("ul", { class: "family" }, children.map((one) => el("li", {}, el("span", { class: "faint" }, `${one.kind} `), one.kind === "bottle" ? el("a", { href: `#/shelf/${one.id}`, class: "family-link" }, one.name) : el("b", {}, one.name), el("span", { class: "faint" }, ` ${one.id} `), one.quarantined && tag("hold", "Quarantined"), one.kind !== "hand-out" && tree(below, one.id))));
}

function act(one, done) {
  const room = el("div", {});
  const buttons = OPEN[one.state].filter((kind) => kind !== "release" || one.reservations).map((kind) => el("button", { type: "button", class: "quiet gloved", "aria-pressed": "false", onclick: (event) => begin(kind, event.currentTarget) }, KINDS[kind][0]));

  function begin(kind, pressed) {
    for (const button of buttons) button.setAttribute("aria-pressed", String(button === pressed));
    const [word, wanted, mind] = KINDS[kind];
    const { field, clear, place, trouble } = fields("event");
    const by = line();
    const reserved = (one.reservations ?? []).map(({ number, amount }) => [String(number), `${number}: ${amount} ${one.unit}`]);
    const entries = { amount: line({ inputmode: "decimal" }), to: line(), reason: line(), reservation: choice(kind === "release" ? reserved : [["", "none"], ...reserved]) };
    const told = { amount: [`How much, ${one.unit}`, "in the unit of the bottle"], to: ["To", "course or room, no name of a student"], reason: [["quarantine", "clear", "withdraw"].includes(kind) ? "Reason" : "What for", "stands in the log"], reservation: ["Reservation", "one that is open"] };
    const button = el("button", { type: "submit", class: "button gloved" }, word === "Withdraw" ? "Withdraw for good" : word);
    let sent = null; // the body and its key: sent again as it was, it counts once

    async function send() {
      clear();
      const body = { kind, by: by.value.trim() };
      for (const name of wanted) if (entries[name].value.trim()) body[name] = name === "reservation" ? Number(entries[name].value) : entries[name].value.trim();
      if (wanted.includes("amount")) body.unit = one.unit;
      const text = JSON.stringify(body);
      if (sent?.text !== text) sent = { text, key: service.freshKey() };
      button.disabled = true;
      try {
        const { reached } = await service.happen(one.id, body, sent.key);
        await done(reached.length > 0 ? `${DONE[kind]}; it reached ${reached.length} more.` : `${DONE[kind]}.`);
      } catch (error) {
        place(error, send);
      } finally {
        button.disabled = false;
      }
    }

    room.replaceChildren(
      el(
        "form",
        { class: "decision", novalidate: true, onsubmit: (event) => { event.preventDefault(); void send(); } },
        mind && el("p", { class: "remedy" }, mind),
        el("div", { class: "many-fields" }, wanted.filter((name) => name !== "reservation" || reserved.length > 0).map((name) => field(`/${name}`, ...[told[name][0], entries[name], told[name][1]])), field("/by", "Your initials", by, "of who does it")),
        trouble,
        el("div", { class: "slip-foot" }, button),
      ),
    );
    attend(room.querySelector("input, select"));
  }

  return el("section", { class: "acts", "aria-label": "Use it" }, el("div", { class: "slip-foot" }, buttons), room);
}
