// Which part of the page is shown, and whether it is on light or dark paper.

import { attend, el, keep, kept, thisBrowser } from "./dom.js";
import { approve } from "./approve.js";
import { ask } from "./ask.js";
import { correct, make } from "./bench.js";
import { searchLog } from "./audit.js";
import { card } from "./card.js";
import { days } from "./days.js";
import { check } from "./check.js";
import { earlier } from "./earlier.js";
import { known } from "./known.js";
import { entry, leave } from "./people.js";
import { made } from "./record.js";
import { policy } from "./policy.js";
import { health, session } from "./service.js";
import { shelf } from "./shelf.js";

// Name in the address: title, what fills the room, the rights of which one is enough, and the word on the tab.
const PARTS = {
  "": ["Ask", ask, ["plan:write"], "Ask"],
  check: ["Check an answer", check, ["plan:write", "check"], "Check"],
  earlier: ["Earlier", earlier, ["plan:read"], "Earlier"],
  known: ["Substances", known, ["plan:read"], "Substances"],
  made: ["What was made", made, ["plan:read"], "Made"],
  make: ["Make it", make, ["record:write"], null],
  correct: ["Correct the record", correct, ["record:write"], null],
  shelf: ["The shelf", shelf, ["plan:all", "record:write"], "Shelf"],
  days: ["Prep days", days, ["plan:read"], "Days"],
  approve: ["Approve", approve, ["approve", "audit:read"], "Approve"],
  log: ["The log", searchLog, ["audit:read"], "Log"],
  policy: ["Local policy", policy, ["policy", "audit:read"], "Policy"],
  card: ["Bench card", card, ["plan:read"], null],
};
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

let who = null;

/** Whether the account may use a part. */
function may(part) {
  return part[2].some((right) => who.rights.includes(right));
}

/** The tabs of the parts that the account may use; none for a part it may not. */
function tabs() {
  const open = Object.entries(PARTS).filter(([, part]) => part[3] && may(part));
  document.getElementById("tabs").replaceChildren(...open.map(([name, part]) => el("li", {}, el("a", { href: `#/${name}` }, part[3]))));
  document.getElementById("who").replaceChildren(...(who.via === "session" ? leave(who) : []));
  return open;
}

function logIn() {
  who = null;
  document.title = "Log in - Prepwright";
  document.getElementById("tabs").replaceChildren();
  document.getElementById("who").replaceChildren();
  const room = el("div", { class: "room" });
  desk.replaceChildren(room);
  entry(room, (found) => {
    who = found;
    void go(false);
  });
}

async function go(first) {
  if (who === null) return;
  const open = tabs();
  const [, name = "", rest = ""] = address();
  const known = Object.hasOwn(PARTS, name) ? PARTS[name] : null;
  const part = known && may(known) ? known : null;
  if (!part && name === "" && open.length > 0) {
    window.location.replace(`#/${open[0][0]}`);
    return;
  }
  for (const link of document.querySelectorAll("#tabs a")) {
    if (link.getAttribute("href") === `#/${name}`) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  document.title = part && name ? `${part[0]} - Prepwright` : "Prepwright";
  const room = el("div", { class: "room" }); // a part that is late fills a room that is no longer shown
  desk.replaceChildren(room);
  if (part) await part[1](room, rest);
  else room.replaceChildren(el("h1", {}, "There is nothing here"), el("p", {}, known ? "This account may not use this part." : el("a", { href: "#/" }, "Back to the start")));
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
window.addEventListener("login-needed", logIn);

try {
  who = await session();
  void go(true);
} catch (trouble) {
  if (trouble.status === 401) logIn();
  else desk.replaceChildren(el("h1", {}, "The service does not answer"), el("p", { role: "alert" }, trouble.message, " "), el("button", { type: "button", class: "button", onclick: () => window.location.reload() }, "Try again"));
}

try {
  const state = await health();
  document.getElementById("foot").textContent = `Rules ${state.versions.rules}, data ${state.versions.data}. Login: ${state.login}.`;
} catch {
  document.getElementById("foot").textContent = "";
}
