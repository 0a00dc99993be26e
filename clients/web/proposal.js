// The form for a new version of the policy, made from the service's own contract: a new limit appears by itself.

import { attend, el, say } from "./dom.js";
import { choice, fields, line, number } from "./form.js";
import { diff, spoken } from "./policy.js";
import * as service from "./service.js";

/** Fill the page with the form, filled with what is in force. */
export async function proposal(desk) {
  let shapes, now;
  try {
    const [contract, { policies, in_force: n }] = await Promise.all([service.contract(), service.policies(null)]);
    shapes = contract.components.schemas;
    now = (await service.policy(n ?? policies[0].n)).policy;
  } catch (error) {
    desk.replaceChildren(el("h1", {}, "Propose a policy"), el("div", { class: "trouble", role: "alert" }, el("p", {}, error.message), el("button", { type: "button", class: "button", onclick: () => proposal(desk) }, "Try again")));
    return;
  }
  const form = fields("policy");
  const reason = el("textarea", { rows: "2", maxlength: "1000" });
  const changes = el("div", {});
  const whole = object(form, shapes, shapes.LocalPolicy, now, "/policy");
  const buttons = [];

  async function send(dry) {
    form.clear();
    changes.replaceChildren();
    for (const button of buttons) button.disabled = true;
    say("Planning the open plans again under it.");
    try {
      const found = await service.propose({ policy: whole.read(), reason: reason.value || (dry ? "Only tried." : ""), ...(dry ? { dry_run: true } : {}) });
      if (!dry) {
        window.location.assign(`#/policy/${found.n}`);
        return;
      }
      changes.replaceChildren(...diff(found));
      attend(changes.querySelector("h2"));
    } catch (error) {
      form.place(error, () => send(dry));
    } finally {
      for (const button of buttons) button.disabled = false;
    }
  }

  buttons.push(el("button", { type: "button", class: "button", onclick: () => send(true) }, "Try what it changes"), el("button", { type: "button", class: "quiet", onclick: () => send(false) }, "Propose it"));
  desk.replaceChildren(
    el("h1", {}, "Propose a policy"),
    el("form", { class: "slip policy-form", novalidate: true, onsubmit: (event) => event.preventDefault() }, el("p", { class: "hint" }, "It is filled with what is in force. A limit left empty takes the value that is shipped."), whole.nodes, form.field("/reason", "Why it is proposed", reason, "it stands in the log"), form.trouble, el("div", { class: "slip-foot" }, buttons, el("a", { class: "quiet-link", href: "#/policy" }, "Back to the versions"))),
    el("section", { class: "card limits", "aria-label": "What it would change", hidden: true }, changes),
  );
  new MutationObserver(() => { changes.parentNode.hidden = changes.children.length === 0; }).observe(changes, { childList: true });
}

const resolved = (shapes, shape) => (shape.$ref ? shapes[shape.$ref.split("/").at(-1)] : (shape.anyOf?.find((one) => one.type !== "null") ?? shape));

/** The fields of an object: what to show, and a function that reads what was typed. */
function object(form, shapes, shape, held, pointer) {
  const plain = [];
  const framed = [];
  const readers = [];
  for (const [name, declared] of Object.entries(shape.properties)) {
    const inner = resolved(shapes, declared);
    const at = `${pointer}/${name}`;
    const value = held?.[name];
    if (inner.type === "object" || inner.type === "array") {
      const part = inner.type === "array" ? list(form, shapes, inner, value ?? [], at) : object(form, shapes, inner, value, at);
      framed.push(el("fieldset", { class: "policy-part" }, el("legend", {}, spoken(name)), el("div", { class: "policy-inside" }, inner.type === "object" && inner.description && el("p", { class: "hint" }, inner.description), part.nodes)));
      readers.push([name, part.read]);
    } else {
      const [entry, read] = scalar(inner, value);
      plain.push(form.field(at, spoken(name), entry, [declared.description, range(inner)].filter(Boolean).join("; ")));
      readers.push([name, read]);
    }
  }
  return {
    nodes: [plain.length > 0 && el("div", { class: "many-fields" }, plain), framed],
    read: () => Object.fromEntries(readers.map(([name, read]) => [name, read()]).filter(([, value]) => value !== undefined)),
  };
}

function scalar(shape, value) {
  if (shape.enum) {
    const entry = choice(shape.enum.map((one) => [one, one]));
    entry.value = value ?? shape.default ?? shape.enum[0];
    return [entry, () => entry.value];
  }
  if (shape.type === "boolean") {
    const entry = choice([["no", "no"], ["yes", "yes"]]);
    entry.value = value ? "yes" : "no";
    return [entry, () => entry.value === "yes"];
  }
  const numeric = shape.type === "number" || shape.type === "integer";
  const entry = line({ value: value ?? "", maxlength: "300", ...(numeric ? { inputmode: "decimal" } : {}) });
  return [entry, () => (entry.value.trim() === "" ? undefined : numeric ? number(entry.value) : entry.value.trim())];
}

const range = (shape) => (shape.minimum !== undefined ? `${shape.minimum} to ${shape.maximum}` : shape.exclusiveMinimum !== undefined ? `above ${shape.exclusiveMinimum}, up to ${shape.maximum}` : "");

let lists = 0;

/** A list of entries that can be added and taken out; what was sent says where each stood. */
function list(form, shapes, shape, held, pointer) {
  const rows = el("ul", { class: "policy-list" });
  const parts = [];
  const inner = resolved(shapes, shape.items);
  function add(value, fresh) {
    // Each entry gets a pointer of its own, as places move when one is taken out.
    const own = `${pointer}/entry${(lists += 1)}`;
    const part = { own, ...object(form, shapes, inner, value, own) };
    parts.push(part);
    const item = el("li", {}, part.nodes, el("button", { type: "button", class: "quiet", onclick: () => { parts.splice(parts.indexOf(part), 1); item.remove(); attend(more); } }, "Take this entry out"));
    rows.append(item);
    if (fresh) attend(item.querySelector("input"));
  }
  const more = el("button", { type: "button", class: "quiet", onclick: () => add({}, true) }, "Add an entry");
  for (const value of held) add(value, false);
  const read = () => parts.map((part, place) => {
    form.places.set(`${pointer}/${place}`, part.own);
    return part.read();
  });
  return { nodes: [inner.description && el("p", { class: "hint" }, inner.description), rows, more], read };
}
