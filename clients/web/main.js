// Which part of the page is shown, and whether it is on light or dark paper.

import { attend, el, keep, kept, thisBrowser } from "./dom.js";
import { ask } from "./ask.js";
import { card } from "./card.js";
import { check } from "./check.js";
import { earlier } from "./earlier.js";
import { known } from "./known.js";
import { health } from "./service.js";

const PARTS = { "": ["Ask", ask], check: ["Check an answer", check], earlier: ["Earlier", earlier], known: ["Substances", known], card: ["Bench card", card] };
const LIGHT = "prepwright.paper";

const desk = document.getElementById("desk");

/** The parts of the address behind the #, read; an address that cannot be read leads nowhere. */
function address() {
  try {
    return window.location.hash.split("/").map(decodeURIComponent);
  } catch {
    return ["", "nowhere"];
  }
}

async function go(first) {
  const [, name = "", rest = ""] = address();
  const part = Object.hasOwn(PARTS, name) ? PARTS[name] : null;
  for (const link of document.querySelectorAll("#tabs a")) {
    if (link.getAttribute("href") === `#/${name}`) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  document.title = part && name ? `${part[0]} - Prepwright` : "Prepwright";
  const room = el("div", { class: "room" }); // a part that is late fills a room that is no longer shown
  desk.replaceChildren(room);
  if (part) await part[1](room, rest);
  else room.replaceChildren(el("h1", {}, "There is nothing here"), el("p", {}, el("a", { href: "#/" }, "Back to the slip")));
  if (!first && room.isConnected && name) {
    window.scrollTo(0, 0);
    attend(room.querySelector("h1"));
  }
}

function paper(chosen) {
  const root = document.documentElement;
  if (chosen) root.dataset.paper = chosen;
  const dark = chosen ? chosen === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
  document.getElementById("light").textContent = dark ? "Light paper" : "Dark paper";
  return dark;
}

document.getElementById("light").addEventListener("click", () => {
  const turned = paper(kept(thisBrowser, LIGHT)) ? "light" : "dark";
  keep(thisBrowser, LIGHT, turned);
  paper(turned);
});
const choice = kept(thisBrowser, LIGHT);
paper(choice === "dark" || choice === "light" ? choice : null);

// Notes that are closed on the screen are open on paper.
let opened = [];
window.addEventListener("beforeprint", () => {
  opened = [...document.querySelectorAll("details.notes:not([open])")];
  for (const box of opened) box.open = true;
});
window.addEventListener("afterprint", () => {
  for (const box of opened) box.open = false;
});

window.addEventListener("hashchange", () => void go(false));
void go(true);

try {
  const state = await health();
  document.getElementById("foot").textContent = `Rules ${state.versions.rules}, data ${state.versions.data}. Login: ${state.login}.`;
} catch {
  document.getElementById("foot").textContent = "";
}
