// As much of a browser as the guide's script asks for. The page is the real one; what the script does not use is not here.
"use strict";
const VOID = ["meta", "input", "br", "hr"];
const unescaped = (text) =>
  text.replaceAll("&lt;", "<").replaceAll("&gt;", ">").replaceAll("&quot;", '"').replaceAll("&amp;", "&");

class Element {
  constructor(name, attributes, parent) {
    Object.assign(this, { name, attributes, parent, children: [], listeners: [] });
    for (const flag of ["hidden", "checked", "disabled"]) this[flag] = attributes.has(flag);
  }
  get dataset() {
    const own = [...this.attributes].filter(([key]) => key.startsWith("data-"));
    return Object.fromEntries(own.map(([key, value]) => [key.slice(5), value]));
  }
  get className() { return this.attributes.get("class") ?? ""; }
  set className(names) { this.attributes.set("class", names); }
  getAttribute(name) { return this.attributes.get(name) ?? null; }
  setAttribute(name, value) { this.attributes.set(name, String(value)); }
  get textContent() { return this.children.map((child) => child.textContent ?? child).join(""); }
  set textContent(text) { this.children = [text]; }
  // The script adds and removes no element, so they are found once.
  get descendants() {
    const within = (child) => (child instanceof Element ? [child, ...child.descendants] : []);
    return (this.found ??= this.children.flatMap(within));
  }
  // "input[type=checkbox]", ".controls button", "[data-progress]"
  matches(selector) {
    const [own, ...above] = selector.split(" ").reverse();
    const holds = {
      ".": (name) => this.className.split(" ").includes(name),
      "[": (text) => {
        const [key, value] = text.slice(0, -1).split("=");
        return this.attributes.has(key) && (value === undefined || this.attributes.get(key) === value);
      },
    };
    const simple = own.match(/^[a-z0-9]+|\.[a-z-]+|\[[^\]]+\]/g);
    const is = simple.every((one) => (holds[one[0]] ? holds[one[0]](one.slice(1)) : this.name === one));
    return is && (above.length === 0 || this.parent?.closest(above.reverse().join(" ")) != null);
  }
  closest(selector) { return this.matches(selector) ? this : (this.parent?.closest(selector) ?? null); }
  querySelectorAll(selector) { return this.descendants.filter((one) => one.matches(selector)); }
  querySelector(selector) { return this.querySelectorAll(selector)[0] ?? null; }
  addEventListener(type, listener) { this.listeners.push([type, listener]); }
  fire(type, event = {}) {
    const whole = { target: this, ...event };
    for (let one = this; one; one = one.parent) one.hear(type, whole);
  }
  hear(type, event) { for (const [own, listener] of this.listeners) if (own === type) listener(event); }
  click() {
    if (this.disabled) return;
    if (this.getAttribute("type") === "checkbox") { this.checked = !this.checked; this.fire("change"); }
    this.fire("click");
  }
  focus() { document.activeElement = this; }
}

const parsed = (source) => {
  const root = new Element("#document", new Map(), null);
  let at = root;
  for (const [, tag, text] of source.matchAll(/<(![^>]*|\/?[a-z][^>]*)>|([^<]+)/gi)) {
    if (text !== undefined) { at.children.push(unescaped(text)); continue; }
    if (tag.startsWith("!")) continue;
    if (tag.startsWith("/")) { at = at.parent; continue; }
    const name = tag.match(/^[a-z0-9]+/i)[0];
    const pairs = [...tag.slice(name.length).matchAll(/([a-zA-Z:-]+)(?:="([^"]*)")?/g)];
    const attributes = new Map(pairs.map(([, key, value]) => [key, unescaped(value ?? "")]));
    const element = new Element(name, attributes, at);
    at.children.push(element);
    if (!VOID.includes(name)) at = element;
  }
  if (at !== root) throw new Error(`<${at.name}> is not closed`);
  root.getElementById = (id) => root.descendants.find((one) => one.attributes.get("id") === id) ?? null;
  root.body = root.querySelector("body");
  return root;
};

// `stored` is what the browser kept of earlier visits; null where it forbids its store.
const kept = stored === null ? null : new Map(Object.entries(JSON.parse(stored)));
const window = {
  listeners: [],
  addEventListener(type, listener) { this.listeners.push([type, listener]); },
  get localStorage() {
    if (kept === null) throw new Error("the store is forbidden to this page");
    return { getItem: (key) => kept.get(key) ?? null, setItem: (key, value) => { kept.set(key, String(value)); } };
  },
};
const document = parsed(source);
