// Prep days: which there are, and one with what to fetch, in which order to work, and when each is ready.

import { attend, el } from "./dom.js";
import { fields, moment, table } from "./form.js";
import * as service from "./service.js";
import { OUTCOMES, tag } from "./signs.js";

/** Fill the page with the list, or with one day. */
export async function days(desk, id) {
  const { clear, place, trouble } = fields("days");
  const title = id ? "Prep day" : "Prep days";
  const rows = el("ul", { class: "register" });
  const more = el("button", { type: "button", class: "button", hidden: true, onclick: () => load(true) }, "Further back");
  let next = null;
  async function load(further) {
    clear();
    try {
      if (id) {
        one(desk, await service.day(id));
        return;
      }
      const page = await service.days(further ? next : null);
      const lines = page.days.map((day) => el("li", {}, el("a", { href: `#/days/${day.id}` }, el("b", {}, day.date), el("span", { class: "register-said" }, `${day.preparations} to make of ${day.requests} asked for${day.apart > 0 ? `; ${day.apart} stand apart` : ""}`), el("span", { class: "faint" }, moment(day.at), ` · ${day.id}`))));
      if (further) rows.append(...lines);
      else rows.replaceChildren(...lines);
      if (rows.children.length === 0) rows.append(el("li", { class: "faint" }, "No prep day is planned. The command 'prepwright day' and POST /v1/days plan one."));
      next = page.next ?? null;
      more.hidden = next === null;
      if (further) attend(lines[0]?.querySelector("a"));
    } catch (error) {
      place(error, () => load(further));
    }
  }
  desk.replaceChildren(el("h1", {}, title), trouble, rows, more);
  await load(false);
}

function one(desk, day) {
  const made = day.preparations.filter((each) => !each.withdrawn);
  desk.replaceChildren(
    el(
      "article",
      { class: "card day" },
      el("h1", {}, `Prep day ${day.date}`),
      el("p", { class: "slip-foot card-foot" }, made.length > 0 && el("a", { class: "button", href: service.daySheet(day.id) }, "The sheet (PDF)"), el("button", { type: "button", class: "quiet", onclick: () => window.print() }, "Print this page")),
      day.apart.length > 0 && el("section", { class: "held", "aria-label": "What stands apart" }, el("h2", {}, "Stands apart: nothing of it is made"), el("ul", { class: "findings" }, day.apart.map((each) => el("li", { class: "finding" }, tag(OUTCOMES[each.outcome].sign, OUTCOMES[each.outcome].word), el("div", {}, el("p", {}, el("a", { href: `#/card/${each.plan}`, class: "family-link" }, each.asked)), el("p", { class: "message" }, each.message), each.remedy && el("p", { class: "remedy" }, each.remedy)))))),
      el("h2", {}, "To fetch"),
      table("To fetch", ["what", "how much", "for", "where"], day.pick_list.map((each) => [each.what, el("b", {}, each.amount.display), each.preparations.join(", "), [each.made_here && `made here: ${each.made_here}. `, (each.places ?? []).map((place) => el("span", { class: "conditions" }, el("a", { class: "family-link", href: `#/shelf/${place.bottle}` }, place.place), `, ${place.free} ${place.unit} free${place.lot ? `, lot ${place.lot}` : ""}`)), each.short && el("b", {}, each.short)]])),
      el("h2", {}, "Order of work"),
      el("ol", { class: "statements" }, day.order.map((task) => el("li", {}, el("b", {}, task.text), el("span", { class: "conditions faint" }, task.because)))),
      el("h2", {}, "When each is ready"),
      table("When each is ready", ["what", "total", "ready", "needed by", "use by", "waits"], day.preparations.map((each) => [[`${each.n} `, el("a", { class: "family-link", href: `#/card/${each.plan}` }, each.name), each.strength && `, ${each.strength}`, each.withdrawn && tag("stop", "Withdrawn"), each.cautions.map((said) => el("span", { class: "conditions" }, said))], each.total?.display ?? "", each.ready, each.needed_by ?? "", each.use_by ?? "", each.waits.map((wait) => el("span", { class: "conditions" }, wait.text))])),
      el("p", { class: "stored" }, `day ${day.id}`),
      el("p", { class: "onwards" }, el("a", { class: "quiet-link", href: "#/days" }, "Back to the prep days")),
    ),
  );
}
