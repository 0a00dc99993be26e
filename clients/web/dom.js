// Building the page. All text goes in as text nodes: nothing that comes from outside is ever read as markup.

const SVG = "http://www.w3.org/2000/svg";
// Control characters and those that turn the direction of writing; each is shown as one mark, so that places keep their count.
const UNSEEN = /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2066-\u2069\ufeff]/g;

/** Text as it may be shown: what cannot be seen, or turns the line about, becomes a visible mark. */
export function shown(text) {
  return String(text ?? "").replace(UNSEEN, "\ufffd");
}

function fill(node, properties, children) {
  for (const [name, value] of Object.entries(properties ?? {})) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (name === "value" || name === "checked") node[name] = value;
    else node.setAttribute(name, value === true ? "" : String(value));
  }
  for (const child of children.flat(Infinity)) {
    if (child === undefined || child === null || child === false || child === "") continue;
    node.append(child instanceof Node ? child : document.createTextNode(shown(child)));
  }
  return node;
}

/** An element: `el("p", {class: "remark"}, "text", otherElement)`. Keys that begin with "on" listen for events. */
export function el(tag, properties, ...children) {
  return fill(document.createElement(tag), properties, children);
}

/** The same for a drawing. */
export function draw(tag, properties, ...children) {
  return fill(document.createElementNS(SVG, tag), properties, children);
}

/** A whole drawing with words for those who do not see it. */
export function picture(width, height, label, ...children) {
  return draw("svg", { viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": shown(label), class: "picture" }, ...children);
}

/** Say something to a screen reader without moving the focus. */
export function say(text) {
  document.getElementById("heard").textContent = shown(text);
}

/** Put the focus on a heading or a region that is not otherwise in the order of the Tab key. */
export function attend(node) {
  if (!node) return;
  if (node.tabIndex < 0) node.setAttribute("tabindex", "-1");
  node.focus();
}

/** A kept value of this browser; null where nothing is kept or keeping is not allowed. */
export function kept(store, name) {
  try {
    return JSON.parse(store().getItem(name));
  } catch {
    return null;
  }
}

/** Keep a value; a browser that does not allow it loses it with the page. */
export function keep(store, name, value) {
  try {
    if (value === null) store().removeItem(name);
    else store().setItem(name, JSON.stringify(value));
  } catch {
    // Nothing to do: the page works without.
  }
}

export const thisTab = () => window.sessionStorage;
export const thisBrowser = () => window.localStorage;
