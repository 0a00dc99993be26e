// Coming in and going out.

import { attend, el, keep, thisTab } from "./dom.js";
import { health, logIn, logOut } from "./service.js";

/** Fill the page with the two fields; `come` is called with the session. */
export function entry(desk, come) {
  const name = el("input", { id: "name", type: "text", autocomplete: "username", autocapitalize: "none", spellcheck: "false", maxlength: "200" });
  const password = el("input", { id: "password", type: "password", autocomplete: "current-password", maxlength: "1000" });
  const trouble = el("div", { class: "trouble", role: "alert" });
  const button = el("button", { type: "submit", class: "button" }, "Log in");
  const title = el("h1", {}, "Log in");
  desk.replaceChildren(
    title,
    el(
      "form",
      {
        class: "slip",
        novalidate: true,
        onsubmit: async (event) => {
          event.preventDefault();
          trouble.replaceChildren();
          button.disabled = true;
          try {
            const found = await logIn(name.value, password.value);
            keep(thisTab, "prepwright.talk", null); // another person's conversation
            come(found);
          } catch (error) {
            trouble.replaceChildren(el("p", {}, error.message));
            attend(password);
          } finally {
            button.disabled = false;
          }
        },
      },
      el("div", { class: "field" }, el("label", { for: "name" }, "Name"), name),
      el("div", { class: "field" }, el("label", { for: "password" }, "Password"), password),
      trouble,
      el("div", { class: "slip-foot" }, button),
    ),
  );
  attend(name);
  void elsewhere(desk);
}

/** Offer the way in by an account that is kept elsewhere, where there is one. */
async function elsewhere(desk) {
  try {
    const state = await health();
    if (state.sign_in) desk.append(el("p", {}, el("a", { href: state.sign_in, class: "elsewhere" }, "Sign in with the college's own account")));
  } catch {
    // Name and password are still there.
  }
}

/** Who is here, and the way out. */
export function leave(who) {
  return [
    el("span", {}, who.name),
    el("button", {
      type: "button", class: "quiet",
      onclick: async () => {
        try {
          await logOut();
        } finally {
          keep(thisTab, "prepwright.talk", null);
          window.location.reload();
        }
      },
    }, "Log out"),
  ];
}
