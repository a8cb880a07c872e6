// Measuring: the one question, with what is known beside it.
import { capital, h, newId, now, place } from "./element.js";
import { by, fact, keptState, vocabulary, written } from "./shop.js";
import { add, entries, keep, kept, mend } from "./store.js";
import { filled, form, head, link, more } from "./screens.js";
import { text, value } from "./inputs.js";
import { done } from "./home.js";
import { inUnit } from "./units.js";

const LAST_KEPT = 4;

// Whether a field can be at a place; the empty place is none in particular.
export function accepts(positions, position) {
  if (!position) return positions.none;
  return positions.label || positions.names.includes(position.split(":")[0]);
}

// As-fitted values by address, with those that wait in the queue.
export async function values(build) {
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
    await remember(asked.kind.name);
    await keepIt(build, entry, { list: "measurements", body, words }, following(build, asked));
  };
  setTimeout(() => input.control.type !== "radio" && input.control.focus());
  const over = `${asked.kind.title}${asked.position && asked.kind.name !== "companion" ? `, ${place(asked.position)}` : ""}`;
  return [head(title, back(build, asked, entry), capital(over)), form([input, ...extra.questions], [input.node, beside, extra.node], save)];
}

// The subjects that were measured last, to have them at hand.
async function remember(name) {
  if (name !== "companion") await keep("subjects", [name, ...((await kept("subjects")) ?? []).filter((item) => item !== name)].slice(0, LAST_KEPT));
}

function back(build, asked, entry) {
  if (entry) return ["Queue", link("queue")];
  return asked.kind.name === "companion" ? ["What next", link("b", build)] : [asked.kind.title, link("b", build, "subject", asked.kind.name, ...(asked.field.positions.label && asked.position ? ["at", asked.position] : []))];
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

