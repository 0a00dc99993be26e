// Fields of a form that hold what is typed in one plain object, so that it can be kept and sent.

import { el } from "./dom.js";

/** A labelled entry bound to `held[name]`; `options` turn it into a choice of [value, word]. */
export function field(held, name, label, { id, hint = "", mode = "text", options = null, longest = 200, changed = () => {} }) {
  const taken = (event) => {
    held[name] = event.target.value;
    changed(event.type);
  };
  const common = { id, value: held[name] ?? "", oninput: taken, "aria-describedby": hint ? `${id}-hint` : null };
  const entry = options
    ? el("select", common, options.map(([value, word]) => el("option", { value, selected: value === (held[name] ?? "") }, word)))
    : el("input", { ...common, type: "text", inputmode: mode, autocomplete: "off", spellcheck: "false", maxlength: String(longest) });
  return el("div", { class: "field" }, el("label", { for: id }, label), hint && el("p", { class: "hint", id: `${id}-hint` }, hint), entry);
}

/** What of `held` was filled in, under the names given; `{}` where nothing was. */
export function filled(held, names) {
  return Object.fromEntries(names.map((name) => [name, (held[name] ?? "").trim()]).filter(([, said]) => said !== ""));
}
