// Making what is on the screen: elements, the marks of findings, moments.
const SVG = "http://www.w3.org/2000/svg";

export function h(name, attributes = {}, ...inside) {
  return filled(document.createElement(name), attributes, inside);
}

export function svg(name, attributes = {}, ...inside) {
  return filled(document.createElementNS(SVG, name), attributes, inside);
}

function filled(made, attributes, inside) {
  for (const [key, value] of Object.entries(attributes)) {
    if (typeof value === "function") made.addEventListener(key, value);
    else if (value === true) made.setAttribute(key, "");
    else if (value !== false && value !== null && value !== undefined) made.setAttribute(key, value);
  }
  made.append(...inside.flat(3).filter((item) => item !== null && item !== undefined && item !== false));
  return made;
}

const RING = { cx: 8, cy: 8, r: 6.6, fill: "none", stroke: "currentColor" };

// A verdict is told by its form and its word, never by a color.
export function mark(verdict) {
  if (verdict === "fail") return h("span", { class: "mark fail" }, "fail");
  const forms = {
    pass: () => [svg("circle", { ...RING, "stroke-width": 1 }), svg("circle", { cx: 8, cy: 8, r: 1.7, fill: "currentColor" })],
    caution: () => [svg("circle", { ...RING, "stroke-width": 1.2 }), svg("path", { d: "M8 1.4 A6.6 6.6 0 0 0 8 14.6 Z", fill: "currentColor" })],
    unknown: () => [svg("circle", { ...RING, "stroke-width": 1.2, "stroke-dasharray": "2.6 2.2" })],
  };
  return h("span", { class: "mark" }, svg("svg", { viewBox: "0 0 16 16", "aria-hidden": "true", focusable: "false" }, ...forms[verdict]()), verdict);
}

export function place(position) {
  return (position ?? "").replaceAll("_", " ").replaceAll(":", ", ");
}

export function capital(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

export function count(number, one, many = `${one}s`) {
  return `${number} ${number === 1 ? one : many}`;
}

// A moment, the present one unless it is given, with its offset, as records are dated.
export function now(moment = new Date()) {
  const minutes = -moment.getTimezoneOffset();
  const two = (number) => String(Math.trunc(Math.abs(number))).padStart(2, "0");
  const local = new Date(moment.getTime() + minutes * 60000).toISOString().slice(0, 19);
  return `${local}${minutes < 0 ? "-" : "+"}${two(minutes / 60)}:${two(minutes % 60)}`;
}

export function clock(moment) {
  const at = new Date(moment);
  const today = at.toDateString() === new Date().toDateString();
  return at.toLocaleString("en-US", today ? { timeStyle: "short" } : { dateStyle: "medium", timeStyle: "short" });
}

// An id of our own making. Without TLS a browser has no randomUUID, but it has what that is made from.
export function newId() {
  if (crypto.randomUUID) return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 15) | 64;
  bytes[8] = (bytes[8] & 63) | 128;
  const text = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return text.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}
