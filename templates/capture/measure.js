// Measuring: system, subject, place, field, and then the one question.
import { capital, count, h, newId, now, place } from "./element.js";
import { by, fact, keptState, vocabulary, written } from "./shop.js";
import { add, entries, mend } from "./store.js";
import { filled, form, head, link, more, rows, systemGrid } from "./screens.js";
import { text, value } from "./inputs.js";
import { others, plan } from "./plan.js";
import { done } from "./home.js";
import { inUnit } from "./units.js";

// Questions about companions are asked by what comes next, each in its own words.
const UNLISTED = new Set(["companion"]);

export async function systems(screen, build) {
  return systemGrid("Measure in which system?", build, "measure", await vocabulary(), measured);
}

function measured(kind) {
  return kind.fields.length > 0 && !UNLISTED.has(kind.name);
}

export async function subjects(screen, build, system) {
  const { systems: titles, list } = await vocabulary();
  const found = list.filter((kind) => kind.system === system && measured(kind)).sort((one, other) => one.title.localeCompare(other.title));
  return [head(titles[system], ["Systems", link("b", build, "measure")]), rows(found.map((kind) => ({ words: kind.title, note: count(kind.fields.length, "field"), href: link("b", build, "subject", kind.name) })))];
}

// Where on the car, when the subject's fields are in places; else its fields.
export async function subject(screen, build, name) {
  const kind = (await vocabulary()).kinds.get(name);
  const asked = kind.fields.map((field) => field.positions);
  const names = [...new Set(asked.flatMap((item) => item.names))];
  const label = asked.some((item) => item.label);
  if (!names.length && !label) return fields(screen, build, name, "");
  const at = (position) => link("b", build, "subject", name, "at", position);
  const known = await values(build);
  const recorded = [...known.keys()].filter((item) => item.startsWith(`${name}.`) && item.includes("@")).map((item) => item.slice(item.indexOf("@") + 1));
  const named = [...new Set([...others(names), ...(label ? recorded : [])])];
  return [head(`${kind.title}: where?`, [capital((await vocabulary()).systems[kind.system]), link("b", build, "measure", kind.system)]), plan(names, at, new Set(recorded)),
    rows([...named.map((item) => ({ words: place(item), href: at(item) })), ...(asked.some((item) => item.none) ? [{ words: "no place in particular", href: at("") }] : [])]),
    label && labeled(kind, at)];
}

function labeled(kind, at) {
  const asked = text(kind.name === "circuit" ? "Another circuit" : "Another one, by its name", { required: true, hint: "As the shop calls it: cooling fan, left headlamp." });
  return form([asked], asked.node, () => (location.hash = at(asked.read())), "Take this name");
}

export async function fields(screen, build, name, position) {
  const kind = (await vocabulary()).kinds.get(name);
  const known = await values(build);
  const found = kind.fields.filter((field) => accepts(field.positions, position));
  const placed = kind.fields.some((field) => field.positions.names.length || field.positions.label);
  const back = placed ? ["Where", link("b", build, "subject", name)] : ["Subjects", link("b", build, "measure", kind.system)];
  return [head(kind.title, back, place(position)), rows(found.map((field) => {
    const address = written(name, field.name, position);
    return { words: field.title, note: known.get(address) ?? "not recorded", href: link("b", build, "fact", address) };
  }))];
}

function accepts(positions, position) {
  if (!position) return positions.none;
  return positions.label || positions.names.includes(position.split(":")[0]);
}

// As-fitted values by address, with those that wait in the queue.
async function values(build) {
  const state = await keptState(build);
  const found = new Map(Object.entries(state?.facts ?? {}));
  for (const item of await entries()) if (item.build === build && item.body.fact && item.state === "waiting") found.set(item.body.fact, `${said(item.body.value)}, waiting`);
  return found;
}

function said(wire) {
  if (typeof wire === "boolean") return wire ? "yes" : "no";
  return Array.isArray(wire) ? wire.join(", ") : String(wire).replaceAll("_", " ");
}

// The question itself.
export async function measure(screen, build, address, entry = null) {
  const asked = await fact(address);
  if (!asked) return [head("Not known here", ["What next", link("b", build)]), h("p", {}, `This phone knows no ${address}. Open the page once in the shop’s network to bring it up to date.`)];
  const state = await keptState(build);
  const next = state?.next.find((item) => item.fact === address);
  const before = entry?.body ?? {};
  const field = { ...asked.field, key: `${asked.kind.name}.${asked.field.name}` };
  const title = asked.kind.name === "companion" && next ? next.title : asked.field.title;
  const input = await value(field, { title, said: before.value, units: state?.units, big: true, required: true });
  const extra = extras(field, before);
  const beside = h("div", { class: "beside" }, await last(build, address), waiting(next), field.usual && await usually(field, input), h("p", { class: "hint" }, `${capital(field.how)}.`));
  const save = async () => {
    const body = filled({ fact: address, value: input.read(), ...extra.read(input.unit?.()), taken_at: before.taken_at ?? now(), taken_by: before.taken_by ?? (await by()) });
    const words = `${capital(asked.kind.title)}, ${field.title}${asked.position ? ` ${place(asked.position)}` : ""}: ${said(body.value)}`;
    await keepIt(build, entry, { list: "measurements", body, words }, following(build, asked));
  };
  setTimeout(() => input.control.type !== "radio" && input.control.focus());
  const over = `${asked.kind.title}${asked.position && asked.kind.name !== "companion" ? `, ${place(asked.position)}` : ""}`;
  return [head(title, back(build, asked, entry), capital(over)), form([input, ...extra.questions], [input.node, beside, extra.node], save)];
}

function back(build, asked, entry) {
  if (entry) return ["Queue", link("queue")];
  return asked.kind.name === "companion" ? ["What next", link("b", build)] : [asked.kind.title, asked.position ? link("b", build, "subject", asked.kind.name, "at", asked.position) : link("b", build, "subject", asked.kind.name)];
}

async function last(build, address) {
  const found = (await values(build)).get(address);
  return h("p", {}, found ? `Last: ${found}` : "Not recorded yet.");
}

// What is usual, in the unit that the number is typed in.
async function usually(field, input) {
  const { scales } = await vocabulary();
  const words = h("p", { class: "hint" });
  const say = () => (words.textContent = `Usually ${inUnit(field.usual, input.unit?.(), scales[field.dimension])}.`);
  input.node.addEventListener("change", say);
  say();
  return words;
}

function waiting(next) {
  if (!next?.waits.length) return null;
  return h("div", {}, h("p", {}, next.safety ? "Waiting for this, among them safety:" : "Waiting for this:"), h("ul", {}, next.waits.slice(0, 4).map((item) => h("li", {}, item)), next.waits.length > 4 && h("li", {}, `and ${next.waits.length - 4} more`)));
}

function extras(field, before) {
  const tolerance = field.units.length ? text("give or take", { value: String(before.tolerance ?? "").replace(/ .*$/, ""), mode: "decimal", hint: "In the same unit." }) : null;
  const instrument = text("instrument", { value: before.instrument });
  const condition = text("condition", { value: before.condition, hint: "For example: at ride height, warm, driver in." });
  const notes = text("note", { value: before.notes, long: true });
  const questions = [tolerance, instrument, condition, notes].filter(Boolean);
  const read = (unit) => ({ tolerance: tolerance?.read() && (unit === "1" ? tolerance.read() : `${tolerance.read()} ${unit}`), instrument: instrument.read(), condition: condition.read(), notes: notes.read() });
  return { questions, node: more("Tolerance, instrument, note", questions.map((item) => item.node)), read };
}

// The next field of the same subject at the same place, so that a row of them is measured without going back.
function following(build, { kind, field, position }) {
  const found = kind.fields.filter((item) => accepts(item.positions, position ?? ""));
  const next = found[found.findIndex((item) => item.name === field.name) + 1];
  return next && kind.name !== "companion" ? [`Next: ${next.title}`, link("b", build, "fact", written(kind.name, next.name, position))] : null;
}

// Put it into the queue, or put right what stands in it.
export async function keepIt(build, entry, what, next = null) {
  if (entry) {
    await mend(entry.n, { ...what, ...(entry.status === 409 ? { id: newId() } : {}) });
    location.hash = link("queue");
    return;
  }
  const made = await add({ build, ...what });
  await done(build, made, what.words, next);
}

