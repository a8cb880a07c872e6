// A part: its system, what it is, where it sits, and what is printed on it.
import { capital, h, now, place } from "./element.js";
import { by, keptState, vocabulary } from "./shop.js";
import { choice, text, value } from "./inputs.js";
import { filled, form, head, link, more, rows, systemGrid } from "./screens.js";
import { keepIt } from "./measure.js";
import { others, plan } from "./plan.js";

const STATUSES = ["fitted", "received", "ordered", "wanted", "removed"];
const OTHER = "other";

export async function systems(screen, build) {
  return systemGrid("Part of which system?", build, "part", await vocabulary(), isPart);
}

export async function kinds(screen, build, system) {
  const { systems, list } = await vocabulary();
  const found = list.filter((kind) => kind.system === system && isPart(kind)).sort((one, other) => one.title.localeCompare(other.title));
  const links = found.map((kind) => ({ words: kind.title, href: link("b", build, "part", system, kind.name) }));
  return [head(systems[system], ["Systems", link("b", build, "part")], "Which part?"), rows([...links, { words: "another part", note: "described in words", href: link("b", build, "part", system, OTHER, "") }])];
}

function isPart(kind) {
  return !kind.area && kind.name !== "fastener" && kind.name !== "task";
}

export async function where(screen, build, system, name) {
  const kind = (await vocabulary()).kinds.get(name);
  const { names, label, none } = kind?.positions ?? { names: [], label: false, none: true };
  const at = (position) => link("b", build, "part", system, name, position);
  if (!names.length && !label) return part(screen, build, system, name, "");
  const asked = label ? text("Which one", { required: true, hint: "As the shop calls it: cooling fan, left headlamp." }) : null;
  return [head(`${kind.title}: where?`, ["Parts", link("b", build, "part", system)]), plan(names, at),
    rows([...others(names).map((item) => ({ words: place(item), href: at(item) })), { words: none ? "no place in particular" : "the same everywhere", href: at("") }]),
    asked && form([asked], asked.node, () => (location.hash = at(asked.read())), "Take this name")];
}

export async function part(screen, build, system, name, position, entry = null) {
  const kind = (await vocabulary()).kinds.get(name);
  const before = entry?.body ?? {};
  const state = await keptState(build);
  const asked = questions(before, kind);
  const specs = await specifications(kind, before, state?.units);
  const save = async () => {
    const measures = filled(Object.fromEntries(specs.map(([field, input]) => [field.name, input.read()])));
    const body = filled({ kind: name, system: kind ? undefined : system, position: positionOf(position, asked.which.read()), ...Object.fromEntries(Object.entries(asked).filter(([key]) => key !== "which").map(([key, item]) => [key, item.read()])),
      specs: Object.keys(measures).length ? measures : undefined, ...fitted(before, asked.status.read(), await by()) });
    await keepIt(build, entry, { list: "parts", body, words: `${capital(kind?.title ?? "part")}${body.position ? `, ${place(body.position)}` : ""}: ${body.name ?? body.part_number ?? body.status}` });
  };
  const inside = [asked.name.node, asked.maker.node, asked.part_number.node, asked.status.node,
    specs.length ? more("Its measures", specs.map(([, input]) => input.node)) : null,
    more("Serial, supplier, number, note", asked.which.node, asked.serial.node, asked.supplier.node, asked.quantity.node, asked.notes.node)];
  return [head(kind?.title ?? "another part", entry ? ["Queue", link("queue")] : ["Parts", link("b", build, "part", system)], capital(place(position))),
    form([...Object.values(asked), ...specs.map(([, input]) => input)], inside, save)];
}

function questions(before, kind) {
  const number = text("how many", { value: before.quantity, mode: "numeric" });
  return {
    name: text(kind ? "what it is called" : "what it is", { value: before.name, required: !kind }), maker: text("maker", { value: before.maker }), part_number: text("part number", { value: before.part_number }),
    status: choice("it is", STATUSES.map((item) => [item, item]), before.status ?? "fitted"),
    which: text("which one, where there are several", { value: before.position?.split(":")[1], hint: "For example: helper." }),
    serial: text("serial", { value: before.serial }), supplier: text("supplier", { value: before.supplier }),
    quantity: { ...number, read: () => (number.read() ? Number(number.read()) : undefined), problem: () => (/^\d*$/.test(number.control.value.trim()) ? "" : "How many is a whole number.") },
    notes: text("note", { value: before.notes, long: true }),
  };
}

async function specifications(kind, before, units) {
  const fields = kind?.fields ?? [];
  return Promise.all(fields.map(async (field) => [field, await value({ ...field, key: `${kind.name}.${field.name}` }, { said: before.specs?.[field.name], units })]));
}

function positionOf(position, which) {
  if (!which) return position || undefined;
  return position ? `${position.split(":")[0]}:${which}` : which;
}

function fitted(before, status, name) {
  if (status !== "fitted") return {};
  return { fitted_on: before.fitted_on ?? now().slice(0, 10), fitted_by: before.fitted_by ?? name };
}
