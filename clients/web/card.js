// The bench card of one stored plan: everything needed at the bench, on the screen or on paper.

import { attend, el, keep, kept, say, thisBrowser } from "./dom.js";
import { budget, ways } from "./bars.js";
import { checks } from "./checks.js";
import { curve } from "./curve.js";
import { ladder } from "./ladder.js";
import { measures } from "./measures.js";
import { about } from "./made.js";
import * as service from "./service.js";
import { standing } from "./standing.js";
import { answer, head, held, problem, takenForGranted, working } from "./sheet.js";
import { vessel } from "./vessel.js";
import { withdrawalLater } from "./withdraw.js";
import { weighing } from "./weighing.js";

/** Fill the page with the card of the plan called `id`. */
export async function card(desk, id) {
  let reply;
  try {
    reply = await service.plan(id);
  } catch (trouble) {
    desk.replaceChildren(el("h1", {}, "Bench card"), el("p", { class: "trouble", role: "alert" }, trouble.message));
    return;
  }
  const { plan } = reply;
  const back = el("div", {}); // that it was withdrawn, or the way to withdraw it
  if (plan) void withdrawalLater(back, reply, () => card(desk, id));
  desk.replaceChildren(
    el(
      "article",
      { class: `card outcome-${reply.withdrawn ? "held" : reply.outcome}${allowed(reply) ? " allowed" : ""}` },
      head(reply, "h1"),
      reply.outcome === "held" && held(reply, allowed(reply)),
      reply.approval && standing(reply.approval),
      reply.withdrawn && back,
      reply.problem && problem(reply, reply.text, { suggest: () => window.location.assign("#/") }),
      reply.answer && answer(reply.answer),
      reply.question && el("p", { class: "asked" }, reply.question.text),
      plan && bench(reply),
      (reply.findings ?? []).length > 0 && checks(reply),
      plan && behind(reply),
      !reply.withdrawn && back,
      el("p", { class: "stored" }, `stored as ${reply.id}; rules ${reply.versions.rules}, data ${reply.versions.data}`),
    ),
  );
}

/** Whether it may be made today: a plan, or one that was held and has been allowed. */
function allowed(reply) {
  if (reply.withdrawn) return false;
  return reply.outcome === "planned" || reply.approval?.may_be_issued === true;
}

function bench(reply) {
  const { plan } = reply;
  const noted = new Map();
  const top = el("div", {});
  const again = () => top.replaceChildren(measures(plan, noted, (line, place) => weighing(reply, line, noted, place, again)));
  again();
  return [
    top,
    reply.assumptions?.length > 0 && takenForGranted(reply.assumptions, "h2"),
    steps(reply),
    el("div", { class: "card-foot" }, allowed(reply) && el("a", { class: "button", href: `#/make/${reply.id}` }, "Make it"), allowed(reply) && el("button", { type: "button", class: "quiet", onclick: () => window.print() }, "Print the card"), el("a", { class: "quiet-link", href: "#/" }, "Back to the slip")),
  ];
}

function steps(reply) {
  const { plan, id } = reply;
  const name = `prepwright.ticks.${id}`;
  const ticked = new Set(kept(thisBrowser, name) ?? []);
  const open = allowed(reply);
  const figure = el("div", { class: "steps-figure" });
  const boxes = new Map();

  function redraw() {
    const place = plan.steps.findIndex((step) => !ticked.has(step.n));
    const at = place === -1 ? plan.steps.length - 1 : place;
    const caption = place === -1 ? "All steps are done." : `Step ${plan.steps[at].n} of ${plan.steps.length}`;
    figure.replaceChildren(vessel(plan, at, caption));
    for (const [n, item] of boxes) {
      item.classList.toggle("now", place !== -1 && plan.steps[place].n === n);
      item.classList.toggle("done", ticked.has(n));
    }
    return caption;
  }

  const list = el(
    "ol",
    { class: "steps" },
    plan.steps.map((step) => {
      const box = el("input", {
        type: "checkbox", id: `step-${step.n}`, checked: ticked.has(step.n), disabled: !open,
        onchange: () => {
          if (box.checked) ticked.add(step.n);
          else ticked.delete(step.n);
          keep(thisBrowser, name, [...ticked]);
          say(redraw());
        },
      });
      const item = el("li", {}, box, el("label", { for: box.id }, el("span", { class: "n" }, step.n), el("span", {}, step.text, step.caution && el("span", { class: "step-caution" }, el("b", {}, "Mind: "), step.caution))));
      boxes.set(step.n, item);
      return item;
    }),
  );
  redraw();
  const title = el("h2", { id: "steps-title" }, "Steps");
  const afresh = el("button", {
    type: "button", class: "quiet",
    onclick: () => {
      ticked.clear();
      keep(thisBrowser, name, null);
      for (const box of list.querySelectorAll("input")) box.checked = false;
      say(redraw());
      attend(title);
    },
  }, "Clear all ticks");
  return el(
    "section",
    { class: "bench", "aria-labelledby": "steps-title" },
    title,
    !open && el("p", { class: "remedy" }, reply.withdrawn ? "It was withdrawn: the boxes stay closed." : "The boxes open when it has been allowed."),
    el("div", { class: "bench-grid" }, list, figure),
    open && afresh,
  );
}

function behind(reply) {
  const { plan } = reply;
  const rungs = ladder(plan);
  const section = (title, ...inside) => el("section", { class: "panel" }, el("h2", {}, title), ...inside);
  return el(
    "div",
    { class: "panels" },
    plan.working?.length > 0 && section("Working", working(plan.working)),
    rungs && section(plan.series ? "The series" : "The dilutions", rungs),
    plan.uncertainty && section("How sure the strength is", budget(plan.uncertainty)),
    plan.route && section("Ways to make it", ways(plan)),
    alone(reply) && dissolving(reply, section),
    about(plan, section),
    standsWhere(reply, section),
  );
}

/** What the shelf holds of it; nothing for those who may not see the shelf. */
function standsWhere(reply, section) {
  const place = el("div", {}, el("p", { class: "faint" }, "Looking on the shelf."));
  const panel = section("On the shelf", place);
  void (async () => {
    try {
      const found = await service.onShelf(reply.id);
      const bottle = (one) => el("li", {}, el("a", { href: `#/shelf/${one.bottle}` }, one.place), `, ${one.free} ${one.unit} free`, one.lot && `, lot ${one.lot}`);
      place.replaceChildren(
        ...(found.ready ?? []).map((one) => el("p", {}, el("b", {}, "Made already: "), el("a", { href: `#/shelf/${one.bottle}` }, one.place), `, ${one.strength}, ${one.free} ${one.unit} free`, one.enough === false && ", not enough for all of it", one.expiry && `, last day ${one.expiry}`)),
        ...(found.fetch ?? []).map((line) => el("div", {}, el("p", {}, el("b", {}, line.what), `, ${line.amount.display}`, line.short && el("span", { class: "fault" }, ` ${line.short}`)), !line.places ? el("p", { class: "faint" }, "Not looked for: no one substance in one form.") : line.places.length > 0 ? el("ul", {}, line.places.map(bottle)) : el("p", { class: "faint" }, "None that may be used today."))),
      );
    } catch (trouble) {
      if (trouble.status === 403) panel.remove();
      else place.replaceChildren(el("p", { class: "faint" }, trouble.message));
    }
  })();
  return panel;
}

/** Only a solution of one thing has a place on one curve. */
function alone(reply) {
  return reply.request?.kind === "prepare" && reply.request.components.length === 1 && !reply.plan.recipe && !reply.request.solvent;
}

function dissolving(reply, section) {
  const place = el("div", {}, el("p", { class: "faint" }, "Looking up the solubility."));
  void (async () => {
    try {
      const name = reply.plan.product.substance;
      const { substances } = await service.substances(name);
      const line = substances.find((found) => found.name === name);
      const found = line && (await service.substance(line.slug));
      if (!found) throw new Error("No solubility is held for it.");
      const share = reply.plan.solution?.mass_fraction;
      const asked = reply.request.temperature;
      const temperature = asked ? (asked.unit === "degC" ? Number(asked.value) : null) : 20;
      const mark = share && temperature !== null ? { share, temperature } : null;
      place.replaceChildren(curve(found, mark));
      if (!mark) place.append(el("p", { class: "faint" }, "Where the request lies on it is not known."));
    } catch (trouble) {
      place.replaceChildren(el("p", { class: "faint" }, trouble.message));
    }
  })();
  return section("What dissolves", place);
}
