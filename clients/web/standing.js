// Where a held plan stands: who decided what, why, and under which conditions.

import { el } from "./dom.js";
import { tag } from "./signs.js";

const STATES = { waiting: ["hold", "Waiting"], approved: ["pass", "Allowed"], declined: ["stop", "Declined"] };

function conditions(found) {
  const limit = found.up_to_strength;
  return [
    found.up_to_volume_mL && `up to ${found.up_to_volume_mL} mL`,
    limit && `up to ${limit.value} ${limit.unit}`,
    found.room && `in ${found.room}`,
    found.people?.length > 0 && `for ${found.people.length} named ${found.people.length === 1 ? "person" : "people"}`,
    found.until && `until ${found.until}`,
  ].filter(Boolean);
}

/** The state, and every decision with its reason. */
export function standing(approval) {
  const [name, word] = STATES[approval.state];
  const missing = approval.state === "waiting" && approval.needs > 1 ? `${approval.given} of ${approval.needs} people have allowed it.` : "";
  return el(
    "section",
    { class: "standing", "aria-label": "Where it stands" },
    el("p", {}, tag(name, word), approval.needed_by && ` needed by ${approval.needed_by}`, missing && ` ${missing}`),
    approval.state === "approved" && approval.may_be_issued === false && el("p", {}, "The approval does not hold today: ask again."),
    approval.plan && el("p", {}, "By the approval of ", el("a", { href: `#/card/${approval.plan}` }, `plan ${approval.plan}`)),
    approval.decisions.length > 0 &&
      el(
        "ul",
        { class: "decisions" },
        approval.decisions.map((one) =>
          el("li", {}, el("b", {}, one.decision === "approve" ? "Allowed" : "Declined"), ` by ${one.name ?? one.by}: ${one.reason}`, conditions(one.conditions).length > 0 && el("span", { class: "conditions" }, `Only ${conditions(one.conditions).join(", ")}.`)),
        ),
      ),
  );
}
