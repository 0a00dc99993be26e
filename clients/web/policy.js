// The local policy: what is in force, earlier versions, what a proposal would change, and the second person's decision.

import { attend, el, say } from "./dom.js";
import { fields, line, moment, table } from "./form.js";
import { proposal } from "./proposal.js";
import * as service from "./service.js";
import { OUTCOMES, tag } from "./signs.js";

const STATES = { proposed: ["ask", "Proposed"], "in force": ["pass", "In force"], replaced: ["note", "Replaced"], declined: ["stop", "Declined"] };
const STANDS = { ...OUTCOMES, approved: { word: "Allowed", sign: "pass" } };

/** Fill the page with the versions, one of them, or the form for a new one. */
export async function policy(desk, part) {
  if (part === "new") await proposal(desk);
  else if (part) await version(desk, part);
  else await versions(desk);
}

async function versions(desk) {
  const me = await service.session();
  const rows = el("ul", { class: "register" });
  const { place, clear, trouble } = fields("policies");
  const more = el("button", { type: "button", class: "button", hidden: true, onclick: () => load(true) }, "Further back");
  let next = null;
  async function load(further) {
    clear();
    try {
      const page = await service.policies(further ? next : null);
      const lines = page.policies.map(row);
      if (further) rows.append(...lines);
      else rows.replaceChildren(...lines);
      next = page.next ?? null;
      more.hidden = next === null;
      if (next === null) rows.append(row({ n: 0, name: "As shipped", state: page.in_force === 0 ? "in force" : "replaced" }));
      if (further) attend(lines[0]?.querySelector("a"));
    } catch (error) {
      place(error, () => load(further));
    }
  }
  desk.replaceChildren(
    el("h1", {}, "Local policy"),
    el("p", { class: "lead" }, "What this house holds, refuses and allows beside the law. One version is in force; none is changed afterwards."),
    me.rights.includes("policy") && el("p", { class: "slip-foot" }, el("a", { class: "button", href: "#/policy/new" }, "Propose a new version")),
    trouble,
    rows,
    more,
  );
  await load(false);
}

function row(one) {
  return el("li", {}, el("a", { href: `#/policy/${one.n}` }, tag(...STATES[one.state]), el("span", { class: "register-said" }, el("b", {}, one.name), one.reason && el("span", { class: "conditions" }, one.reason)), el("span", { class: "faint" }, `number ${one.n}`, one.at && [" · ", moment(one.at)], one.proposed_by && ` · ${one.proposed_by_name ?? one.proposed_by}`)));
}

async function version(desk, n) {
  let one, me;
  try {
    [one, me] = await Promise.all([service.policy(n), service.session()]);
  } catch (error) {
    desk.replaceChildren(el("h1", {}, "Local policy"), el("p", { class: "trouble", role: "alert" }, error.message));
    return;
  }
  const changes = el("div", {});
  desk.replaceChildren(
    el(
      "article",
      { class: "card limits" },
      el("h1", {}, one.name),
      el("p", {}, tag(...STATES[one.state]), ` number ${one.n}, ${one.version}`),
      one.proposed_by && el("p", {}, "Proposed by ", el("b", {}, one.proposed_by_name ?? one.proposed_by), ", ", moment(one.at), `: ${one.reason}`),
      one.decided_by && el("p", {}, one.state === "declined" ? "Declined by " : "Confirmed by ", el("b", {}, one.decided_by_name ?? one.decided_by), ", ", moment(one.decided_at), `: ${one.decision_reason}`),
      one.note && el("p", { class: "remedy" }, one.note),
      changes,
      one.state === "proposed" && decision(one, me, async (said) => {
        await version(desk, n);
        say(said);
        attend(desk.querySelector("h1"));
      }),
      el("h2", {}, "All limits"),
      parts(one.policy),
      el("p", { class: "onwards" }, el("a", { class: "quiet-link", href: "#/policy" }, "Back to the versions")),
    ),
  );
  if (one.state !== "proposed" || !me.rights.some((right) => ["policy", "audit:read"].includes(right))) return;
  changes.replaceChildren(el("p", { role: "status" }, "Planning the open plans again under it."));
  try {
    changes.replaceChildren(...diff(await service.policyDiff(n)));
  } catch (error) {
    changes.replaceChildren(el("p", { class: "trouble", role: "alert" }, error.message));
  }
}

function decision(one, me, done) {
  if (!me.rights.includes("policy")) return "";
  const own = one.proposed_by === me.id && me.via !== "local";
  const { field, clear, place, trouble } = fields("decide");
  const reason = el("textarea", { rows: "2", maxlength: "1000" });
  const buttons = [];
  async function send(decided) {
    clear();
    for (const button of buttons) button.disabled = true;
    try {
      await service.decidePolicy(one.n, { decision: decided, reason: reason.value });
      await done(decided === "confirm" ? "It is in force." : "Declined.");
    } catch (error) {
      place(error, () => send(decided));
    } finally {
      for (const button of buttons) button.disabled = false;
    }
  }
  if (!own) buttons.push(el("button", { type: "button", class: "button", onclick: () => send("confirm") }, "Put it in force"));
  buttons.push(el("button", { type: "button", class: "quiet", onclick: () => send("decline") }, own ? "Take the proposal back" : "Decline it"));
  return el(
    "form",
    { class: "decision", novalidate: true, onsubmit: (event) => event.preventDefault() },
    el("h2", {}, "Decide"),
    own && el("p", { class: "remedy" }, "It is your own proposal: another person must confirm it."),
    field("/reason", "Reason", reason, "it stands in the log"),
    trouble,
    el("div", { class: "slip-foot" }, buttons),
  );
}

/** A value of a policy in words; an entry of a list as its fields. */
function words(value) {
  if (value === undefined) return "";
  if (value !== null && typeof value === "object") return Object.entries(value).map(([name, held]) => `${spoken(name)}: ${words(held)}`).join("; ");
  return value === true ? "yes" : value === false ? "no" : String(value);
}

const UNITS = [["_acids_and_alkalis_mol_L", ""], ["_mol_L", ", mol/L"], ["_pct", ", %"], ["_mL", ", mL"], ["_g", ", g"], ["_K", ", K"], ["_days", ", days"], ["_years", ", years"]];

/** The name of a field as it is spoken, its unit behind it. */
export function spoken(name) {
  const [end, unit] = UNITS.find(([tail]) => name.endsWith(tail)) ?? ["", ""];
  return (end ? name.slice(0, -end.length) : name).replaceAll("_", " ") + unit;
}

function parts(held) {
  const rows = [];
  for (const [name, value] of Object.entries(held)) {
    if (value !== null && typeof value === "object" && !Array.isArray(value)) for (const [inner, one] of Object.entries(value)) rows.push([`${spoken(name)}: ${spoken(inner)}`, listed(one)]);
    else rows.push([spoken(name), listed(value)]);
  }
  return table("All limits", ["limit", "value"], rows);
}

const listed = (value) => (Array.isArray(value) ? (value.length === 0 ? "none" : el("ul", { class: "statements" }, value.map((one) => el("li", {}, words(one))))) : words(value));

/** What a policy would change: its fields, and the open plans that would stand differently. */
export function diff(found) {
  const open = found.open_plans;
  const stands = (name) => tag(STANDS[name].sign, STANDS[name].word);
  return [
    el("h2", {}, `What it changes against number ${found.based_on}`),
    found.changes.length === 0 ? el("p", {}, "Nothing.") : table("Fields that change", ["limit", "now", "then"], found.changes.map((one) => [one.field.split("/").filter(Boolean).map(spoken).join(": "), words(one.before), words(one.after)])),
    el("h2", {}, "Open plans that would stand differently"),
    el("p", {}, `Open plans that were planned again: ${open.looked_at}${open.newest_only ? ", the newest; there are more" : ""}. What is planned keeps the version it was made under.`),
    open.plans.length === 0 ? el("p", {}, "None of them changes.") : [
      el("ul", { class: "tally" }, open.totals.map((sum) => el("li", {}, `${sum.plans}: `, stands(sum.before), " then ", stands(sum.after)))),
      el("ul", { class: "register" }, open.plans.map((one) => el("li", {}, el("a", { href: `#/card/${one.plan}` }, el("span", { class: "changes" }, stands(one.before), el("span", { class: "faint" }, "then"), stands(one.after)), el("span", { class: "register-said" }, el("b", {}, one.read_as ?? one.plan), el("span", { class: "conditions" }, one.why.map((why) => why.message).join(" "))), el("span", { class: "faint" }, one.plan))))),
    ],
    el("p", { class: "remedy" }, found.next),
  ].flat();
}
