// What the bench knows of a substance: its forms, its other names, and how much dissolves.

import { attend, el, say } from "./dom.js";
import { curve } from "./curve.js";
import * as service from "./service.js";
import { cited } from "./sources.js";

/** Fill the page with the search, or with one substance. */
export async function known(desk, slug) {
  if (slug) await one(desk, slug);
  else search(desk);
}

let last = "";

function search(desk) {
  const entry = el("input", { id: "words", type: "search", autocomplete: "off", spellcheck: "false", maxlength: "200", value: last, "aria-describedby": "words-hint" });
  const list = el("ul", { class: "register" });
  const trouble = el("div", { class: "trouble", role: "alert" });
  async function find() {
    last = entry.value.trim();
    trouble.replaceChildren();
    try {
      const { substances, suggestions = [] } = await service.substances(last);
      list.replaceChildren(
        ...substances.map((found) =>
          el("li", {}, el("a", { href: `#/known/${found.slug}` }, el("b", {}, found.name), el("span", {}, found.formula ?? ""), el("span", { class: "faint" }, found.forms.join(", ")))),
        ),
        ...suggestions.map((name) =>
          el("li", {}, el("button", { type: "button", class: "chip-button", onclick: () => { entry.value = name; void find(); attend(entry); } }, `perhaps ${name}`)),
        ),
      );
      if (substances.length + suggestions.length === 0) list.append(el("li", { class: "faint" }, "Nothing of that name is known here."));
      say(`${substances.length} found.`);
    } catch (error) {
      trouble.replaceChildren(el("p", {}, error.message));
    }
  }
  desk.replaceChildren(
    el("h1", {}, "Substances"),
    el(
      "form",
      { class: "slip", role: "search", onsubmit: (event) => { event.preventDefault(); void find(); } },
      el("label", { for: "words" }, "Which one?"),
      el("p", { class: "hint", id: "words-hint" }, "A name, part of one, a formula or a CAS number. Empty lists all."),
      entry,
      el("div", { class: "slip-foot" }, el("button", { type: "submit", class: "button" }, "Look up")),
    ),
    trouble,
    list,
  );
  if (last) void find();
}

async function one(desk, slug) {
  let found;
  try {
    found = await service.substance(slug);
  } catch (trouble) {
    desk.replaceChildren(el("h1", {}, "Substances"), el("p", { class: "trouble", role: "alert" }, trouble.message));
    return;
  }
  desk.replaceChildren(
    el(
      "article",
      { class: "card" },
      el("h1", {}, found.name, found.formula && el("span", { class: "read-as" }, ` ${found.formula}`)),
      found.names.length > 0 && el("p", {}, el("b", {}, "Also read as: "), found.names.join(", ")),
      el("h2", {}, "Forms"),
      el(
        "div",
        { class: "scroll", tabindex: "0", role: "region", "aria-label": "Forms" },
        el(
          "table",
          { class: "plain" },
          el("thead", {}, el("tr", {}, ["form", "formula", "molar mass", "CAS", "sold", "source"].map((name) => el("th", { scope: "col" }, name)))),
          el(
            "tbody",
            {},
            found.forms.map((form) =>
              el("tr", {}, el("th", { scope: "row" }, form.label), el("td", {}, form.formula ?? ""), el("td", {}, form.molar_mass ? `${form.molar_mass.toFixed(2)} g/mol` : ""), el("td", {}, form.cas ?? ""), el("td", {}, form.sold ? "yes" : "no"), el("td", {}, cited([form.citation]))),
            ),
          ),
        ),
      ),
      el("h2", {}, "What dissolves in water"),
      curve(found, null),
      el("p", { class: "onwards" }, el("a", { class: "quiet-link", href: "#/known" }, "Back to the search")),
    ),
  );
}
