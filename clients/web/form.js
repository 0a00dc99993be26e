// Fields with a place for what is wrong with each, and what an answer of the service says about them.

import { attend, el } from "./dom.js";

/** A number as typed; anything else goes to the service as it is, and the service says what is wrong with it. */
export function number(text) {
  const found = Number(text.trim());
  return Number.isFinite(found) ? found : text.trim();
}

/** The fields of one form; `name` begins their ids. `field` makes one, `place` shows an error where it belongs. */
export function fields(name) {
  const known = new Map(); // JSON pointer of a field: its entry, and where its fault is written
  const places = new Map(); // the beginning of a pointer as it was sent: as it is known here
  const trouble = el("div", { class: "trouble", role: "alert" });

  function field(pointer, label, entry, hint = "") {
    const id = `${name}${pointer.replaceAll("/", "-")}`;
    entry.id = id;
    const fault = el("p", { class: "fault", id: `${id}-fault` });
    entry.setAttribute("aria-describedby", `${hint ? `${id}-hint ` : ""}${id}-fault`);
    known.set(pointer, [entry, fault]);
    return el("div", { class: "field" }, el("label", { for: id }, label), hint && el("p", { class: "hint", id: `${id}-hint` }, hint), entry, fault);
  }

  function clear() {
    trouble.replaceChildren();
    for (const [entry, fault] of known.values()) {
      entry.removeAttribute("aria-invalid");
      fault.textContent = "";
    }
  }

  /** Show what is wrong; `again` is the button that sends the same once more where the service could not be reached. */
  function place(error, again = null) {
    const unplaced = [];
    for (const { pointer: sent, message, allowed } of error.fields) {
      const moved = [...places].find(([from]) => sent === from || sent.startsWith(`${from}/`));
      const pointer = moved ? moved[1] + sent.slice(moved[0].length) : sent;
      const said = `It ${message}${allowed?.length > 0 ? `: ${allowed.join(", ")}` : ""}.`;
      const at = [...known.keys()].filter((one) => pointer === one || pointer.startsWith(`${one}/`)).sort((a, b) => b.length - a.length)[0];
      if (at === undefined || !known.get(at)[0].isConnected) {
        unplaced.push(`${sent} ${message}.`);
        continue;
      }
      const [entry, fault] = known.get(at);
      entry.setAttribute("aria-invalid", "true");
      fault.append(document.createTextNode(said));
    }
    const first = [...known.values()].find(([entry]) => entry.hasAttribute("aria-invalid"));
    if (first) attend(first[0]);
    if (!first || unplaced.length > 0) trouble.replaceChildren(el("p", {}, [error.message, ...unplaced].join(" ")), ...(error.gone && again ? [el("button", { type: "button", class: "button", onclick: again }, "Send again")] : []));
  }

  return { field, clear, place, places, trouble };
}

/** One line of text to type. */
export const line = (more = {}) => el("input", { type: "text", autocomplete: "off", maxlength: "200", ...more });

/** A choice of one: pairs of value and word. */
export const choice = (pairs, more = {}) => el("select", more, pairs.map(([value, word]) => el("option", { value }, word)));

/** A table in a frame of its own that can be moved sideways. */
export function table(label, heads, rows) {
  return el(
    "div",
    { class: "scroll", tabindex: "0", role: "region", "aria-label": label },
    el("table", { class: "plain" }, el("thead", {}, el("tr", {}, heads.map((name) => el("th", { scope: "col" }, name)))), el("tbody", {}, rows.map(([first, ...rest]) => el("tr", {}, el("th", { scope: "row" }, first), rest.map((cell) => el("td", {}, cell)))))),
  );
}

/** A day and an hour as people here write them. */
export const moment = (at) => el("time", { datetime: at }, new Date(at).toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" }));
