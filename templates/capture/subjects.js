// What to measure: found by its words or among the last ones, else by its system; then each field with its places as they lie on the car.
import { capital, count, h, place } from "./element.js";
import { keptState, vocabulary, written } from "./shop.js";
import { accepts, values } from "./measure.js";
import { form, head, link, rows, systemGrid } from "./screens.js";
import { kept } from "./store.js";
import { places } from "./plan.js";
import { text } from "./inputs.js";

// Questions about companions are asked by what comes next, each in its own words.
const UNLISTED = new Set(["companion"]);
const FOUND_SHOWN = 8;

function measured(kind) {
  return kind.fields.length > 0 && !UNLISTED.has(kind.name);
}

export async function systems(screen, build) {
  const words = await vocabulary();
  const last = ((await kept("subjects")) ?? []).map((name) => words.kinds.get(name)).filter(Boolean);
  const [top, grid] = systemGrid("Measure what?", build, "measure", words, measured);
  const found = h("div", { "aria-live": "polite" });
  const search = text("find", { hint: "A word of it: gap, slope, battery." });
  search.control.type = "search";
  search.control.addEventListener("input", () => found.replaceChildren(...results(words, build, search.read())));
  const below = [last.length && h("h2", {}, "Measured last"), last.length && rows(last.map((kind) => subjectRow(build, kind))), h("h2", {}, "By system"), grid];
  return [top, search.node, found, ...below];
}

function subjectRow(build, kind, note = count(kind.fields.length, "field")) {
  return { words: kind.title, note, href: link("b", build, "subject", kind.name) };
}

// Subjects whose title or fields have every word that was typed, those by their title first.
function results({ list }, build, typed) {
  const wanted = (typed ?? "").toLowerCase().split(/\s+/).filter(Boolean);
  if (!wanted.length) return [];
  const has = (words) => wanted.every((word) => words.toLowerCase().includes(word));
  const called = (kind) => [kind.title, ...(kind.also_called ?? [])].join(" ");
  const subjects = list.filter(measured);
  const found = [...subjects.filter((kind) => has(called(kind))).map((kind) => subjectRow(build, kind)),
    ...subjects.filter((kind) => !has(called(kind))).map((kind) => [kind, kind.fields.find((field) => has(`${called(kind)} ${field.title}`))]).filter(([, field]) => field).map(([kind, field]) => subjectRow(build, kind, field.title))];
  return [found.length ? rows(found.slice(0, FOUND_SHOWN)) : h("p", { class: "hint" }, "Nothing to measure is called so.")];
}

export async function subjects(screen, build, system) {
  const { systems: titles, list } = await vocabulary();
  const found = list.filter((kind) => kind.system === system && measured(kind)).sort((one, other) => one.title.localeCompare(other.title));
  return [head(titles[system], ["Measure", link("b", build, "measure")]), rows(found.map((kind) => subjectRow(build, kind)))];
}

// The fields of a subject, each with the places where it can be, as they lie on the car seen from above, front up.
export async function subject(screen, build, name) {
  const { kinds, systems: titles } = await vocabulary();
  const kind = kinds.get(name);
  const known = await values(build);
  const label = kind.fields.some((field) => field.positions.label);
  const at = (position) => link("b", build, "subject", name, "at", position);
  const labels = label ? [...new Set([...known.keys()].filter((item) => item.startsWith(`${name}.`) && item.includes("@")).map((item) => item.slice(item.indexOf("@") + 1)))] : [];
  const fixed = kind.fields.filter((field) => field.positions.names.length || field.positions.none);
  return [head(kind.title, [titles[kind.system], link("b", build, "measure", kind.system)], fixed.some((field) => field.positions.names.length) ? "The car from above, front up." : ""),
    fixed.map((field) => fieldAt(build, kind, field, known)),
    label && fixed.length ? h("h2", {}, "By its name") : null, label && rows(labels.map((item) => ({ words: place(item), href: at(item) }))), label && labeled(kind, at)];
}

function fieldAt(build, kind, field, known) {
  const to = (position) => link("b", build, "fact", written(kind.name, field.name, position));
  const value = (position) => known.get(written(kind.name, field.name, position));
  if (!field.positions.names.length) return rows([{ words: field.title, note: value("") ?? "not recorded", href: to("") }]);
  return h("section", { class: "field" }, h("h2", {}, capital(field.title)), places(field.positions.names, field.title, to, value), field.positions.none && rows([{ words: "no place in particular", note: value("") ?? "not recorded", href: to("") }]));
}

function labeled(kind, at) {
  const asked = text(kind.name === "circuit" ? "Another circuit" : "Another one, by its name", { required: true, hint: "As the shop calls it: cooling fan, left headlamp." });
  return form([asked], asked.node, () => (location.hash = at(asked.read())), "Take this name");
}

// The fields of a subject at one place, by its name.
export async function fields(screen, build, name, position) {
  const kind = (await vocabulary()).kinds.get(name);
  const known = await values(build);
  const found = kind.fields.filter((field) => accepts(field.positions, position));
  return [head(kind.title, ["Where", link("b", build, "subject", name)], place(position)), rows(found.map((field) => {
    const address = written(name, field.name, position);
    return { words: field.title, note: known.get(address) ?? "not recorded", href: link("b", build, "fact", address) };
  }))];
}
