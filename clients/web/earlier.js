// Earlier replies, newest first.

import { attend, el, say } from "./dom.js";
import { plans } from "./service.js";
import { OUTCOMES, tag } from "./signs.js";

/** Fill the page with the list. */
export async function earlier(desk) {
  const list = el("ul", { class: "register" });
  const more = el("button", { type: "button", class: "button", hidden: true, onclick: () => load(true) }, "Further back");
  const trouble = el("div", { class: "trouble", role: "alert" });
  const choice = el(
    "select",
    { id: "outcome", onchange: () => { next = null; void load(false); } },
    el("option", { value: "" }, "all"),
    Object.entries(OUTCOMES).map(([name, { word }]) => el("option", { value: name }, word)),
  );
  let next = null;

  async function load(further) {
    trouble.replaceChildren();
    try {
      const page = await plans(choice.value, further ? next : null);
      const rows = page.plans.map(row);
      if (further) list.append(...rows);
      else list.replaceChildren(...rows);
      next = page.next ?? null;
      more.hidden = next === null;
      if (further) attend(rows[0]?.querySelector("a"));
      if (!further && rows.length === 0) list.append(el("li", { class: "faint" }, "Nothing yet."));
      say(`${list.children.length} shown.`);
    } catch (error) {
      trouble.replaceChildren(el("p", {}, error.message), el("button", { type: "button", class: "button", onclick: () => load(further) }, "Try again"));
    }
  }

  desk.replaceChildren(
    el("h1", {}, "Earlier"),
    el("div", { class: "filter" }, el("label", { for: "outcome" }, "Show"), choice),
    trouble,
    list,
    more,
  );
  await load(false);
}

function row(line) {
  const { word, sign } = OUTCOMES[line.outcome];
  const when = new Date(line.at);
  return el(
    "li",
    {},
    el(
      "a",
      { href: `#/card/${line.id}` },
      tag(sign, word),
      el("span", { class: "register-said" }, line.read_as ?? line.text ?? "a typed request"),
      el("span", { class: "faint" }, el("time", { datetime: line.at }, when.toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" })), ` · ${line.id}`),
    ),
  );
}
