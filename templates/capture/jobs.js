// Fixes and tightening: what was wrong and what was done, and what every joint was brought to.
import { capital, h, now } from "./element.js";
import { by, keptState, vocabulary } from "./shop.js";
import { choice, pick, text, value } from "./inputs.js";
import { entries } from "./store.js";
import { filled, form, head, link, more, rows } from "./screens.js";
import { keepIt } from "./measure.js";
import { worked } from "./stand.js";

export async function fixes(screen, build) {
  const open = (await keptState(build))?.fixes ?? [];
  return [head("Fix", ["What next", link("b", build)]), rows([{ words: "Something new", note: "found just now", href: link("b", build, "fix", "new") }]),
    open.length ? [h("h2", {}, "Open"), rows(open.map((item) => ({ words: item.title, note: "mark as mended", href: link("b", build, "fix", item.id) })))] : null];
}

export async function fix(screen, build, id, entry = null) {
  if (id !== "new") return mended(screen, build, id, entry);
  const { systems } = await vocabulary();
  const before = entry?.body ?? {};
  const readings = await measurements(build);
  const asked = {
    title: text("what is wrong", { value: before.title, required: true, hint: "A few words: weeping hose at the pump." }),
    system: pick("system", worked(systems), before.system),
    safety: choice("could it hurt someone", [[true, "yes"], [false, "no"]], before.safety ?? false), status: choice("it is", [["open", "open"], ["resolved", "mended"]], before.status ?? "open"),
    problem: text("what was seen", { value: before.problem, long: true }), cause: text("cause", { value: before.cause, long: true }),
    remedy: text("what was done", { value: before.remedy, long: true }), next_mechanic: text("for the next mechanic", { value: before.next_mechanic, long: true }),
    before: one("measured before", readings, before.before), after: one("measured after", readings, before.after),
  };
  const save = async () => {
    const body = filled({ ...Object.fromEntries(Object.entries(asked).map(([key, item]) => [key, item.read()])), found_at: before.found_at ?? now() });
    if (body.status === "resolved") body.resolved_at = before.resolved_at ?? now();
    await keepIt(build, entry, { list: "fixes", body, words: `Fix: ${body.title}` });
  };
  const inside = [asked.title.node, asked.problem.node, asked.safety.node, asked.status.node, asked.cause.node, asked.remedy.node, asked.system.node,
    more("Measured before and after, a word for the next mechanic", asked.before.node, asked.after.node, asked.next_mechanic.node)];
  return [head("What is wrong?", entry ? ["Queue", link("queue")] : ["Fixes", link("b", build, "fix")]), form(Object.values(asked), inside, save)];
}

// One measurement out of those that were made, as the list of one that the record wants.
function one(title, readings, said) {
  const asked = pick(title, readings, said?.at(-1));
  return { ...asked, read: () => (asked.read() ? [asked.read()] : undefined) };
}

// Measurements to pick from, the newest first: those that wait in the queue, then those that arrived.
async function measurements(build) {
  const queued = (await entries()).filter((item) => item.build === build && item.list === "measurements" && item.state === "waiting").map((item) => [item.id, item.words]);
  const stood = ((await keptState(build))?.records ?? []).filter((item) => item.list === "measurements").map((item) => [item.id, item.words]);
  return [...queued.reverse(), ...stood];
}

async function mended(screen, build, id, entry) {
  const known = (await keptState(build))?.fixes.find((item) => item.id === id);
  const before = entry?.body ?? {};
  const remedy = text("what was done", { value: before.remedy, long: true, required: true });
  const mechanic = text("for the next mechanic", { value: before.next_mechanic, long: true });
  const cause = text("cause", { value: before.cause ?? known?.cause, long: true });
  const after = one("measured after", await measurements(build), before.after);
  const save = async () => {
    const measured = after.read() && [...new Set([...(known?.after ?? []), ...after.read()])];
    const body = filled({ status: "resolved", resolved_at: before.resolved_at ?? now(), cause: cause.read(), remedy: remedy.read(), after: measured, next_mechanic: mechanic.read() });
    await keepIt(build, entry, { list: "fixes", method: "PATCH", record: id, body, words: `Mended: ${known?.title ?? "fix"}` });
  };
  return [head(known?.title ?? "Fix", entry ? ["Queue", link("queue")] : ["Fixes", link("b", build, "fix")], known?.problem), form([cause, remedy, after, mechanic], [cause.node, remedy.node, after.node, mechanic.node], save, "Mended")];
}

export async function joints(screen, build) {
  const known = await allJoints(build);
  return [head("Tighten", ["What next", link("b", build)]), rows([...known.map((item) => ({ words: item.joint, note: torques(item), href: link("b", build, "tighten", item.id) })),
    { words: "Another joint", note: "not entered yet", href: link("b", build, "tighten", "new") }])];
}

// Joints as they stood, and those that wait in the queue.
async function allJoints(build) {
  const stood = (await keptState(build))?.joints ?? [];
  const queued = (await entries()).filter((item) => item.build === build && item.list === "fasteners" && item.method === "POST" && item.state === "waiting");
  return [...stood, ...queued.map((item) => ({ id: item.id, ...item.body }))];
}

function torques(item) {
  const wanted = item.specified_torque ? `wants ${written(item.specified_torque)}` : "";
  return [wanted, item.applied_torque ? `brought to ${written(item.applied_torque)}` : "not tightened yet"].filter(Boolean).join(", ");
}

function written(said) {
  return (typeof said === "object" ? `${said.value} ${said.unit}` : String(said)).replace("*", "·");
}

export async function tighten(screen, build, id, entry = null) {
  const { kinds, systems } = await vocabulary();
  const units = (await keptState(build))?.units;
  const known = (await allJoints(build)).find((item) => item.id === id);
  const before = entry?.body ?? {};
  const ask = (name, more = {}) => value({ ...kinds.get("fastener").fields.find((item) => item.name === name), key: `fastener.${name}` }, { said: before[name], units, ...more });
  const applied = await ask("applied_torque", { title: "brought to", big: true, quiet: false, required: id !== "new", said: before.applied_torque });
  const tool = text("wrench", { value: before.tool });
  if (id !== "new") return again(build, id, entry, { known, applied, tool, before });
  const asked = {
    joint: text("joint", { value: before.joint, required: true, hint: "Its name, one of a kind on this car: driveshaft rear flange." }), system: pick("system", worked(systems).filter(([name]) => !["weights", "alignment"].includes(name)), before.system),
    thread: await ask("thread"), class: await ask("class"), count: await ask("count"), length: await ask("length"), lubricant: await ask("lubricant"), specified_torque: await ask("specified_torque", { title: "wanted torque" }),
    applied_torque: applied, tool, recheck_after: text("tighten again after", { value: before.recheck_after, hint: "A distance with its unit: 500 mi." }),
  };
  const save = async () => {
    const body = filled({ ...Object.fromEntries(Object.entries(asked).map(([key, item]) => [key, item.read()])), by: before.by ?? (await by()), at: before.at ?? now() });
    await keepIt(build, entry, { list: "fasteners", body, words: `${capital(body.joint)}: ${body.applied_torque ?? "not tightened yet"}` });
  };
  const inside = [asked.joint.node, applied.node, asked.specified_torque.node, asked.system.node, asked.thread.node, asked.count.node, more("Class, length, lubricant, wrench", asked.class.node, asked.length.node, asked.lubricant.node, tool.node, asked.recheck_after.node)];
  return [head("Another joint", entry ? ["Queue", link("queue")] : ["Joints", link("b", build, "tighten")]), form(Object.values(asked), inside, save)];
}

function again(build, id, entry, { known, applied, tool, before }) {
  const recheck = choice("this is", [[false, "the first time"], [true, "a second look"]], Boolean(before.rechecked_at));
  const save = async () => {
    const when = before.at ?? before.rechecked_at ?? now();
    const body = filled({ applied_torque: applied.read(), tool: tool.read(), ...(recheck.read() ? { rechecked_at: when } : { at: when, by: before.by ?? (await by()) }) });
    await keepIt(build, entry, { list: "fasteners", method: "PATCH", record: id, body, words: `${capital(known?.joint ?? "joint")}: ${body.applied_torque}` });
  };
  setTimeout(() => applied.control.focus());
  const wanted = known ? [known.thread && written(known.thread).replace("x", " × "), torques(known)].filter(Boolean).join(", ") : "";
  return [head(known?.joint ?? "Joint", entry ? ["Queue", link("queue")] : ["Joints", link("b", build, "tighten")], wanted), form([applied, recheck, tool], [applied.node, recheck.node, tool.node], save)];
}
