// How the car stands: what was fitted, removed, left out on purpose; steps done, drives made, what is signed.
import { capital, h, now, place } from "./element.js";
import { choice, number, pick, text } from "./inputs.js";
import { filled, form, head, link, more, rows } from "./screens.js";
import { by, keptState, vocabulary } from "./shop.js";
import { entries, keep, kept } from "./store.js";
import { keepIt } from "./measure.js";

const STATUSES = ["fitted", "received", "ordered", "wanted", "removed"];
const DISTANCES = ["mi", "km"];
const HOURS = ["h", "min", "day"];

export async function all(screen, build) {
  const state = await keptState(build);
  const open = (state?.tasks ?? []).filter((item) => !item.done_at).length;
  return [head("What else", ["What next", link("b", build)]), rows([
    { words: "A step of the plan", note: open ? `${open} to be done` : "none is open", href: link("b", build, "step") },
    { words: "A drive", note: "how far, and what was noticed", href: link("b", build, "drive") },
    { words: "A signature", note: "who has looked at it", href: link("b", build, "sign") },
    { words: "A part that is there", note: "fitted now, or removed", href: link("b", build, "stand") },
    { words: "Not fitted, on purpose", note: "what this car is meant to be without", href: link("b", build, "absent") }])];
}

// The way back from a form: to the queue when it is mended, else to where it was begun.
function from(entry, words, ...pieces) {
  return entry ? ["Queue", link("queue")] : [words, link("b", ...pieces)];
}

// Records as they stood, changed as the queue will change them, and those that wait in it.
async function withQueue(build, list, stood) {
  const waiting = (await entries()).filter((item) => item.build === build && item.list === list && item.state === "waiting");
  const changed = stood.map((item) => Object.assign({}, item, ...waiting.filter((one) => one.record === item.id).map((one) => one.body)));
  return [...changed, ...waiting.filter((item) => item.method === "POST").map((item) => ({ id: item.id, ...item.body }))];
}

async function steps(build) {
  return withQueue(build, "tasks", (await keptState(build))?.tasks ?? []);
}

export async function plan(screen, build) {
  const open = (await steps(build)).filter((item) => !item.done_at);
  return [head("Steps of the plan", ["What else", link("b", build, "more")]), rows([
    ...open.map((item) => ({ words: item.title, note: [item.estimate, "mark as done"].filter(Boolean).join(", "), href: link("b", build, "step", item.id) })),
    { words: "Another step", note: "not planned yet", href: link("b", build, "step", "new") }])];
}

export async function step(screen, build, id, entry = null) {
  const before = entry?.body ?? {};
  if (id !== "new") return stepDone(build, id, entry, (await steps(build)).find((item) => item.id === id));
  const { systems } = await vocabulary();
  const state = await keptState(build);
  const asked = { title: text("what is to be done", { value: before.title, required: true }), system: pick("system", worked(systems), before.system),
    estimate: number("how long it takes", HOURS, before.estimate), needs_parts: pick("needs this part", (state?.parts ?? []).map((item) => [item.id, item.words]), before.needs_parts?.[0]),
    notes: text("note", { value: before.notes, long: true }) };
  const save = () => {
    const body = filled({ ...read(asked), needs_parts: asked.needs_parts.read() ? [asked.needs_parts.read()] : undefined });
    return keepIt(build, entry, { list: "tasks", body, words: `Step: ${body.title}` });
  };
  return [head("Another step", from(entry, "Steps", build, "step")), form(Object.values(asked), Object.values(asked).map((item) => item.node), save)];
}

async function stepDone(build, id, entry, known) {
  const before = entry?.body ?? {};
  const who = text("done by", { value: before.by ?? (await by()) });
  const save = () => keepIt(build, entry, { list: "tasks", method: "PATCH", record: id, body: filled({ done_at: before.done_at ?? now(), by: who.read() }), words: `Done: ${known?.title ?? "step"}` });
  return [head(known?.title ?? "Step", from(entry, "Steps", build, "step"), known?.estimate ? `Planned with ${known.estimate}.` : ""), form([who], [who.node], save, "Done")];
}

// Systems that somebody works on; the others count what is recorded.
export function worked(systems) {
  return Object.entries(systems).filter(([name]) => !["identity", "schedule", "records", "readiness"].includes(name));
}

function read(asked) {
  return Object.fromEntries(Object.entries(asked).map(([key, item]) => [key, item.read()]));
}

export async function drive(screen, build, entry = null) {
  const before = entry?.body ?? {};
  const units = (await keptState(build))?.units;
  const asked = { distance: number("how far", units === "metric" ? [...DISTANCES].reverse() : DISTANCES, before.distance, { big: true }), observations: text("what was noticed", { value: before.observations, long: true, hint: "Also when it was nothing." }),
    by: text("driven by", { value: before.by ?? (await by()) }) };
  const save = () => {
    const body = filled({ at: before.at ?? now(), ...read(asked) });
    return keepIt(build, entry, { list: "drives", body, words: `Drive: ${body.distance ?? "no distance"}` });
  };
  return [head("A drive", from(entry, "What else", build, "more")), form(Object.values(asked), Object.values(asked).map((item) => item.node), save)];
}

export async function signatures(screen, build) {
  const state = await keptState(build);
  const waiting = new Set((await entries()).filter((item) => item.build === build && item.list === "signoffs").map((item) => item.body.item));
  return [head("What is signed?", ["What else", link("b", build, "more")]), rows((state?.signs ?? []).map((item) => ({ words: item.title, note: waiting.has(item.item) ? "signed here, waiting" : item.why ?? "signed", href: link("b", build, "sign", item.item) })))];
}

// A signature is for a life: what it replaces and what not is said above it.
export async function sign(screen, build, item, entry = null) {
  const before = entry?.body ?? {};
  const known = (await keptState(build))?.signs?.find((one) => one.item === item);
  const asked = { by: text("name", { value: before.by ?? (await by()), required: true }), role: text("role", { value: before.role ?? (await kept("role")), required: true, hint: "Builder, owner of the shop, licensed inspector." }),
    statement: text("what was looked at and found", { value: before.statement, long: true }) };
  const save = async () => {
    const body = filled({ item, at: before.at ?? now(), ...read(asked) });
    await keep("role", body.role);
    await keepIt(build, entry, { list: "signoffs", body, words: `Signed: ${known?.title ?? item}` });
  };
  return [head(known?.title ?? item.replaceAll("_", " "), from(entry, "Signatures", build, "sign"), known?.why ?? ""),
    h("p", { class: "why" }, "Sign only what you have looked at yourself. A signature here replaces no inspection that local codes or a licensed trade ask for."),
    form(Object.values(asked), Object.values(asked).map((one) => one.node), save, "Sign")];
}

async function parts(build) {
  return withQueue(build, "parts", (await keptState(build))?.parts ?? []);
}

export async function standing(screen, build) {
  const found = await parts(build);
  const order = ["received", "ordered", "wanted", "fitted", "removed"];
  const sorted = [...found].sort((one, other) => order.indexOf(one.status ?? "fitted") - order.indexOf(other.status ?? "fitted"));
  return [head("Which part?", ["What else", link("b", build, "more")]), found.length ? rows(sorted.map((item) => ({ words: item.words ?? item.name ?? item.kind.replaceAll("_", " "), note: item.status ?? "fitted", href: link("b", build, "stand", item.id) }))) : h("p", {}, "No part is recorded yet.")];
}

export async function status(screen, build, id, entry = null) {
  const before = entry?.body ?? {};
  const known = (await parts(build)).find((item) => item.id === id);
  const asked = { status: choice("it is", STATUSES.map((item) => [item, item]), before.status ?? known?.status ?? "fitted"), notes: text("note", { value: before.notes ?? known?.notes, long: true }) };
  const name = await by();
  const save = () => {
    const fitted = asked.status.read() === "fitted" && known?.status !== "fitted" ? { fitted_on: before.fitted_on ?? now().slice(0, 10), fitted_by: before.fitted_by ?? name } : {};
    const body = filled({ ...read(asked), ...fitted });
    return keepIt(build, entry, { list: "parts", method: "PATCH", record: id, body, words: `${capital(known?.words ?? "part")}: ${body.status}` });
  };
  return [head(known?.words ?? "Part", from(entry, "Parts", build, "stand")), form(Object.values(asked), [asked.status.node, more("Note", asked.notes.node)], save)];
}

// What is left out on purpose. It is one list of the build, so that an entry says what comes to it and the sender puts it there.
export async function absent(screen, build, entry = null) {
  const { list } = await vocabulary();
  const state = await keptState(build);
  const waiting = (await entries()).filter((item) => item.build === build && item.list === "absent" && item.n !== entry?.n).map((item) => item.body.absent);
  const titled = (item) => `${list.find((kind) => kind.name === item.split("@")[0])?.title ?? item}${item.includes("@") ? `, ${place(item.split("@")[1])}` : ""}`;
  const known = new Set([...(state?.absent ?? []), ...waiting]);
  const kinds = list.filter((kind) => !kind.area).flatMap((kind) => [kind.name, ...kind.positions.names.map((at) => `${kind.name}@${at}`)]).filter((item) => !known.has(item)).map((item) => [item, titled(item)]);
  const asked = pick("what is left out", kinds.sort((one, other) => one[1].localeCompare(other[1])), entry?.body.absent, "pick it");
  const left = { ...asked, problem: () => (asked.read() ? "" : "Pick what is left out.") };
  const save = () => keepIt(build, entry, { list: "absent", method: "PATCH", record: "absent", body: { absent: asked.read() }, words: `Not fitted, on purpose: ${titled(asked.read())}` });
  return [head("Not fitted, on purpose", from(entry, "What else", build, "more")), known.size ? [h("h2", {}, "Left out"), h("ul", {}, [...known].map((item) => h("li", {}, capital(titled(item)))))] : null, form([left], [asked.node], save)];
}
