// The bench form: what was really weighed and poured, and what that makes while it is typed. The service works it out.

import { attend, el, keep, kept, say, thisBrowser } from "./dom.js";
import { field, filled } from "./fields.js";
import { verb } from "./measures.js";
import * as service from "./service.js";
import { strength } from "./strength.js";

const OUTCOMES = [["made", "made as planned"], ["overshot", "the mark was passed"], ["spilt", "some was spilt"], ["not_dissolved", "it did not dissolve"], ["other_failure", "it failed another way"]];
const UNITS = { g: ["g", "mg", "kg"], mL: ["mL", "uL", "L"] };
const PAUSE_MS = 350;

/** Fill the page with the form of a plan. */
export async function make(desk, id) {
  await open(desk, "Make it", async () => ({ reply: await service.plan(id), held: kept(thisBrowser, place(id)) }), {
    place: place(id),
    tried: (body) => service.tryOut(id, body),
    send: (body, _, key) => service.record(id, body, key),
  });
}

/** Fill the page with the form of a record that is to be corrected. */
export async function correct(desk, id) {
  const name = place(`correct.${id}`);
  await open(desk, "Correct the record", async () => {
    const found = await service.preparation(id);
    const reply = await service.plan(found.plan);
    const draft = kept(thisBrowser, name); // of this entry: never over a correction that somebody made since
    return { reply, held: draft?.entry === found.entry ? draft : { ...typed(found.recorded, reply), entry: found.entry }, plan: found.plan };
  }, {
    place: name,
    reason: true,
    tried: (body, plan) => service.tryOut(plan, body),
    send: (body, reason) => service.correct(id, { by: body.by, reason, record: body }),
  });
}

const place = (id) => `prepwright.bench.${id}`;

async function open(desk, title, load, acts) {
  let came;
  try {
    came = await load();
    if (!came.reply.plan) throw new Error("There is nothing to make in this reply.");
  } catch (trouble) {
    desk.replaceChildren(el("h1", {}, title), el("p", { class: "trouble", role: "alert" }, trouble.message));
    return;
  }
  form(desk, title, came, acts);
}

function form(desk, title, { reply, held, plan }, acts) {
  const lines = reply.plan.measure.map((line, n) => ({ line, n })).filter(({ line }) => line.role !== "solvent");
  const state = { outcome: "made", ...(held ?? {}) };
  state.lines = lines.map(({ line, n }, at) => ({ readings: [""], unit: UNITS[line.amount.unit][0], ...(held?.lines?.[at] ?? {}), measure: n + 1 }));
  const result = el("div", { class: "live" });
  const trouble = el("div", { class: "trouble", role: "alert" });
  const button = el("button", { type: "submit", class: "button" }, acts.reason ? "Add the correction" : "Write it into the record");
  let waiting = 0;
  let asked = 0;

  function changed() {
    keep(thisBrowser, acts.place, state);
    window.clearTimeout(waiting);
    waiting = window.setTimeout(work, PAUSE_MS);
  }

  async function work() {
    const mine = ++asked;
    const { body, of } = sent(state);
    if (state.outcome === "made" && body.used.length === 0) {
      result.replaceChildren(el("p", { class: "faint" }, "Type what the balance or the pipette showed: the strength appears here."));
      return;
    }
    try {
      const found = await acts.tried({ ...body, by: body.by || "bench" }, plan);
      if (mine !== asked) return;
      faults([]);
      result.replaceChildren(...[strength(found, "h3")].flat(Infinity).filter(Boolean));
      say(found.made?.keeps_request?.text ?? found.failed?.reason ?? "");
    } catch (error) {
      if (mine !== asked) return;
      faults(error.fields ?? [], of);
      result.replaceChildren(el("p", { class: "faint" }, error.fields?.length ? "There is no strength yet: see the marks beside the fields." : error.message));
    }
  }

  function faults(found, of = []) {
    for (const box of desk.querySelectorAll(".fault")) box.textContent = "";
    for (const { pointer, message } of found) {
      const at = /^(?:\/record)?\/used\/(\d+)/.exec(pointer);
      const where = at ? of[Number(at[1])] : null;
      const box = document.getElementById(where === undefined || where === null ? "bench-fault" : `bench-fault-${where}`);
      const name = pointer.split("/").filter((part) => part && !/^\d+$/.test(part)).at(-1) ?? "";
      box.textContent = [box.textContent, `${name.replaceAll("_", " ")} ${message}.`].filter(Boolean).join(" ");
    }
  }

  async function save(event) {
    event.preventDefault();
    const { body, of } = sent(state);
    trouble.replaceChildren();
    button.disabled = true;
    try {
      const said = JSON.stringify(body); // sent again as it was, it counts once
      if (state.said !== said) Object.assign(state, { said, key: service.freshKey() });
      keep(thisBrowser, acts.place, state);
      const found = await acts.send(body, (state.reason ?? "").trim(), state.key);
      keep(thisBrowser, acts.place, null);
      window.location.assign(`#/made/${found.id}`);
    } catch (error) {
      faults(error.fields ?? [], of);
      const lost = error.gone ? " What you typed is kept here: send it again." : "";
      trouble.replaceChildren(el("p", {}, el("b", {}, error.message), lost));
      attend(trouble);
    } finally {
      button.disabled = false;
    }
  }

  desk.replaceChildren(
    el(
      "form",
      { class: "card bench-form", onsubmit: save, novalidate: true },
      el("h1", {}, title),
      el("p", { class: "read-as" }, reply.read_as),
      el("div", { class: "bench-sides" }, el("div", {}, lines.map(({ line, n }, at) => taken(state.lines[at], line, n, at, changed)), whole(state, acts, changed)), el("section", { class: "live-side", "aria-labelledby": "live-title" }, el("h2", { id: "live-title" }, "What it makes"), result)),
      el("p", { class: "fault", id: "bench-fault" }),
      trouble,
      el("div", { class: "card-foot" }, button, el("a", { class: "quiet-link", href: `#/card/${reply.id}` }, "Back to the card")),
    ),
  );
  void work();
}

/** One thing that was measured: its readings, and what is told of the bottle and the instrument. */
function taken(held, line, n, at, changed) {
  const list = el("div", { class: "readings" });
  const weighed = line.amount.unit === "g";
  const id = (name) => `${name}-${at}`;
  function draw() {
    list.replaceChildren(
      ...held.readings.map((value, k) =>
        el(
          "div",
          { class: "field" },
          el("label", { for: `reading-${at}-${k}` }, held.readings.length > 1 ? `Reading ${k + 1}` : weighed ? "The balance showed (net)" : "Measured"),
          el("input", { id: `reading-${at}-${k}`, class: "big", type: "text", inputmode: "decimal", autocomplete: "off", maxlength: "20", value, oninput: (event) => { held.readings[k] = event.target.value; changed(); } }),
        ),
      ),
    );
  }
  draw();
  const more = el("button", { type: "button", class: "quiet", onclick: () => { held.readings.push(""); draw(); changed(); attend(list.querySelector(".field:last-child input")); } }, "Another reading");
  const plain = (name, label, rest = {}) => field(held, name, label, { id: id(name), changed, ...rest });
  return el(
    "fieldset",
    { class: "taken" },
    el("legend", {}, `${n + 1}. ${verb(line)} ${line.amount.display} of ${line.what}`),
    line.window && el("p", { class: "hint wide" }, `keep between ${line.window.low.display} and ${line.window.high.display}`),
    list,
    plain("unit", "Unit", { options: UNITS[line.amount.unit].map((unit) => [unit, unit]) }),
    el("div", { class: "wide" }, more),
    el(
      "details",
      { class: "wide" },
      el("summary", {}, "Bottle and instrument"),
      el(
        "div",
        { class: "many-fields" },
        plain("bottle", "Bottle on the shelf", { hint: "its ten characters: lot and assay are its", longest: 12 }),
        plain("lot", "Lot", { hint: "as on the bottle" }),
        plain("assay", "Assay, %", { mode: "decimal", hint: "from the certificate" }),
        plain("assay_half", "give or take, %", { mode: "decimal", hint: "0.5 unless told" }),
        weighed ? plain("balance", "Balance", { hint: "its name here, such as BA" }) : plain("ware", "Pipette, burette or cylinder", { hint: "as marked, such as 10 mL pipette" }),
        !weighed && plain("density_g_mL", "Density, g/mL", { mode: "decimal", hint: "where it was weighed instead" }),
        plain("source", "Taken from what was made here", { hint: "its ten characters", longest: 12 }),
      ),
    ),
    el("p", { class: "fault wide", id: `bench-fault-${at}` }),
  );
}

/** What is told of the whole: who, how it went, the vessel, the water. */
function whole(state, acts, changed) {
  const plain = (name, label, rest = {}) => field(state, name, label, { id: `bench-${name}`, changed, ...rest });
  return [
    el(
      "fieldset",
      {},
      el("legend", {}, "How it went"),
      plain("by", "By", { hint: "initials or staff id", longest: 60 }),
      plain("outcome", "It was", { options: OUTCOMES }),
      acts.reason && plain("reason", "Why it is corrected", { hint: "stands in the record" }),
    ),
    el(
      "details",
      {},
      el("summary", {}, "Vessel, water, temperature, deviations"),
      el(
        "div",
        { class: "many-fields" },
        plain("nominal_mL", "Vessel, mL", { mode: "decimal", hint: "where not as planned" }),
        plain("glass_class", "Class", { options: [["", "as planned"], ["A", "A"], ["B", "B"]] }),
        plain("filled_mL", "Filled to, mL", { mode: "decimal", hint: "where not to its mark" }),
        plain("mark", "Number on the vessel"),
        plain("water", "Water", { hint: "such as deionised, 0.06 uS/cm" }),
        plain("temperature_degC", "Temperature, °C", { mode: "decimal", hint: "when the mark was set" }),
        plain("measured_pH", "pH read", { mode: "decimal" }),
        plain("deviations", "Deviations", { hint: "what was done otherwise" }),
      ),
    ),
  ];
}

/** The body to send, and for each entry of `used` the line of the form it came from. */
function sent(state) {
  const used = [];
  const of = [];
  state.lines.forEach((held, at) => {
    const readings = held.readings.map((said) => said.trim()).filter(Boolean);
    if (readings.length === 0) return;
    const assay = filled(held, ["assay", "assay_half"]);
    of.push(at);
    used.push({
      measure: held.measure,
      readings,
      unit: held.unit,
      ...filled(held, ["bottle", "lot", "balance", "ware", "source", "density_g_mL"]),
      ...(assay.assay ? { assay: { value: assay.assay, ...(assay.assay_half ? { half_width: assay.assay_half } : {}) } } : {}),
    });
  });
  const vessel = filled(state, ["nominal_mL", "glass_class", "filled_mL", "mark"]);
  const came = state.asCame ?? {};
  const told = (state.deviations ?? "").trim();
  const deviations = told && told === (came.deviations ?? []).join("; ") ? came.deviations : [told].filter(Boolean);
  const vessels = came.vessels?.length > 0 ? [{ ...(came.vessels.length === 1 ? came.vessels[0] : {}), ...vessel }] : [vessel];
  return {
    of,
    body: {
      by: (state.by ?? "").trim(),
      outcome: state.outcome,
      used,
      ...(came.vessels?.length > 1 && !vessel.nominal_mL ? { vessels: came.vessels } : vessel.nominal_mL ? { vessels } : {}),
      ...filled(state, ["water", "temperature_degC", "measured_pH"]),
      ...(deviations.length > 0 ? { deviations } : {}),
    },
  };
}

/** A record as the form holds it. What the form has no place for goes back as it came. Throws where an amount was taken in portions. */
function typed(recorded, reply) {
  const of = (n) => recorded.used.filter((line) => (line.measure ?? 1) === n + 1);
  const wanted = reply.plan.measure.map((line, n) => ({ line, n })).filter(({ line }) => line.role !== "solvent");
  if (wanted.some(({ n }) => of(n).length > 1)) throw new Error("One of the amounts was taken in portions of their own: correct this record by the API.");
  const words = (from, names) => Object.fromEntries(names.filter((name) => from[name] !== undefined).map((name) => [name, String(from[name])]));
  const deviations = recorded.deviations ?? [];
  return {
    ...words(recorded, ["by", "outcome", "water", "temperature_degC", "measured_pH"]),
    ...(recorded.vessels?.length === 1 ? words(recorded.vessels[0], ["nominal_mL", "glass_class", "filled_mL", "mark"]) : {}),
    asCame: { vessels: recorded.vessels, deviations },
    deviations: deviations.join("; "),
    lines: wanted.map(({ n }) => {
      const line = of(n)[0];
      if (!line) return {};
      return { ...words(line, ["unit", "lot", "balance", "ware", "source", "density_g_mL", "bottle"]), readings: line.readings.map(String), assay: line.assay ? String(line.assay.value) : "", assay_half: line.assay?.half_width ? String(line.assay.half_width) : "" };
    }),
  };
}
