// Where on the car: a plan view, front up, whose places are links; and plain links for places that a plan does not show.
import { capital, h, place, svg } from "./element.js";

const CORNERS = { front_left: [8, 42], front_right: [212, 42], rear_left: [8, 278], rear_right: [212, 278] };
const BANDS = { front: 42, center: 160, rear: 278 };
const SIZE = [100, 84];

// `address` makes the link of a position; `here` are those with a value already.
export function plan(names, address, here = new Set()) {
  const places = names.filter((name) => name in CORNERS || name in BANDS);
  if (!places.length) return null;
  return h("div", { class: "plan" }, svg("svg", { viewBox: "0 0 320 404", role: "group", "aria-label": "The car from above, front up" }, body(), places.map((name) => spot(name, address(name), here.has(name)))));
}

// What the plan does not show.
export function others(names) {
  return names.filter((name) => !(name in CORNERS) && !(name in BANDS));
}

function body() {
  return svg("g", { class: "car", "aria-hidden": "true" },
    svg("path", { d: "M108 18 Q160 4 212 18 Q226 24 226 52 L228 352 Q228 384 206 390 Q160 400 114 390 Q92 384 92 352 L94 52 Q94 24 108 18 Z" }),
    svg("path", { d: "M108 140 Q160 122 212 140 L204 160 Q160 148 116 160 Z M114 268 Q160 276 206 268 L212 288 Q160 300 108 288 Z" }),
    svg("path", { d: "M160 2 l-6 8 h12 Z", class: "front" }));
}

function spot(name, link, known) {
  const [x, y] = CORNERS[name] ?? [111, BANDS[name]];
  const [width, height] = name in CORNERS ? SIZE : [98, SIZE[1]];
  const words = place(name).split(" ");
  const label = `${place(name)}${known ? ", recorded" : ""}`;
  return svg("a", { href: link, "aria-label": label }, svg("rect", { x, y, width, height, rx: 3 }),
    words.map((word, at) => svg("text", { x: x + width / 2, y: y + height / 2 + 6 + (at - (words.length - 1) / 2) * 22 }, word)),
    known && svg("path", { class: "known", d: `M${x + width / 2 - 16} ${y + height - 9} h32` }));
}

// One field's places as they lie on the car, front up, each with what is recorded there; `to` makes the link of a place.
export function places(names, title, to, value) {
  const shaped = names.filter((name) => name in CORNERS || name in BANDS);
  const rest = others(names);
  const cell = (name) => h("a", { href: to(name), class: name in CORNERS || name in BANDS ? `at ${name}` : "at", "aria-label": `${capital(title)}, ${place(name)}: ${value(name) ?? "not recorded"}` },
    h("span", {}, place(name)), h("span", { class: "note" }, value(name) ?? "–"));
  const wide = shaped.some((name) => name in CORNERS) && shaped.some((name) => name in BANDS);
  return [shaped.length ? h("div", { class: `places${wide ? " wide" : ""}${shaped.some((name) => name in CORNERS) ? "" : " axles"}` }, shaped.map(cell)) : null,
    rest.length ? h("div", { class: "places plain" }, rest.map(cell)) : null];
}
