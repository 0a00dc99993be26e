// Where a fact comes from: the place in the source at once, the full reference when it is asked for.

import { el } from "./dom.js";
import { source } from "./service.js";

/** One line for each citation, each with a button that fetches the full reference; `besides` is a word to add. */
export function cited(citations, besides) {
  const lines = (citations ?? []).map((citation) => el("li", {}, one(citation)));
  if (besides) lines.push(el("li", { class: "place" }, besides));
  return lines.length > 0 && el("ul", { class: "sources" }, lines);
}

function one(citation) {
  const full = el("span", { class: "reference", "aria-live": "polite" });
  const button = el(
    "button",
    {
      type: "button",
      class: "link",
      "aria-expanded": "false",
      onclick: async () => {
        const open = button.getAttribute("aria-expanded") === "true";
        button.setAttribute("aria-expanded", String(!open));
        full.replaceChildren();
        if (open) return;
        try {
          const found = await source(citation.source_id);
          full.replaceChildren(el("span", {}, found.reference));
        } catch (trouble) {
          full.replaceChildren(el("span", {}, trouble.message));
        }
      },
    },
    "source",
    el("span", { class: "only-heard" }, ` ${citation.source_id}`),
  );
  return [el("span", { class: "place" }, citation.locator), " ", button, full];
}
