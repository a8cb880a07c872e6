// Questions: one way to ask for each kind of value that the vocabulary knows.
import { capital, h } from "./element.js";
import { keep, kept } from "./store.js";

// More choices than this are folded away where they are not the screen's own question.
const FEW = 5;
const INCHES = new Set(["in", "ft"]);
const FRACTIONS = Array.from({ length: 15 }, (_, at) => {
  let [over, under] = [at + 1, 16];
  while (over % 2 === 0) [over, under] = [over / 2, under / 2];
  return `${over}/${under}`;
});
const NUMBER = /^[-−]?(?:\d[\d,]*(?:\.\d*)?|\.\d+|(?:\d+[ -])?\d+\/\d+|\d*[½¼¾⅛⅜⅝⅞]|\d+['’′] ?(?:\d+(?:[ -]\d+\/\d+)?["”″]?)?)["”″°]?$/;
let serial = 0;

// A labeled control: { node, read(), problem() }. `read` gives undefined for nothing typed.
export function text(title, { value = "", long = false, hint = "", mode = null, list = null, big = false, quiet = big, required = false } = {}) {
  const id = `q${++serial}`;
  const control = h(long ? "textarea" : "input", { id, autocomplete: "off", inputmode: mode, rows: long ? 3 : null, class: big ? "big" : null, required,
    list: list ? `${id}-list` : null, "aria-describedby": hint ? `${id}-hint` : null });
  control.value = value ?? "";
  const node = h("div", { class: "question" }, h("label", { for: id, class: quiet ? "away" : null }, capital(title)), hint && h("p", { id: `${id}-hint`, class: "hint" }, hint), control,
    list && h("datalist", { id: `${id}-list` }, list.map((item) => h("option", { value: item }))));
  return { node, control, read: () => control.value.trim() || undefined, problem: () => (required && !control.value.trim() ? `${capital(title)} is wanted.` : "") };
}

// One of a few, each a target of its own.
export function choice(title, options, value = undefined, { quiet = false } = {}) {
  const name = `q${++serial}`;
  const buttons = options.map(([key, words]) => {
    const button = h("input", { type: "radio", name, value: String(key) });
    button.checked = key === value;
    return h("label", { class: "option" }, button, words);
  });
  const node = h("fieldset", { class: "question" }, h("legend", { class: quiet ? "away" : null }, capital(title)), h("div", { class: "options" }, buttons));
  const read = () => {
    const at = [...node.querySelectorAll("input")].findIndex((button) => button.checked);
    return at < 0 ? undefined : options[at][0];
  };
  return { node, control: node.querySelector("input"), read, problem: () => "" };
}

// One of many, behind a single target.
export function pick(title, options, value = undefined, none = "not said") {
  const id = `q${++serial}`;
  const control = h("select", { id }, h("option", { value: "" }, none), options.map(([key, words]) => h("option", { value: key, selected: key === value }, capital(words))));
  return { node: h("div", { class: "question" }, h("label", { for: id }, capital(title)), control), control, read: () => control.value || undefined, problem: () => "" };
}

// The control for a field of the vocabulary. `quiet`: the heading asks already, so the label is there only for those who hear it. `said` is a wire value to begin with.
export async function value(field, { title = field.title, said = undefined, units = "us", big = false, quiet = big, required = false } = {}) {
  const asked = await control(field, { title, said, units, big, quiet });
  const problem = () => asked.problem() || (required && asked.read() === undefined ? "Nothing is entered yet." : "");
  return { ...asked, problem };
}

async function control(field, { title, said, units, big, quiet }) {
  if (field.dimension === "choice") return (big || field.choices.length <= FEW ? choice : pick)(title, field.choices.map((item) => [item, item.replaceAll("_", " ")]), said, big ? { quiet: true } : undefined);
  if (field.dimension === "yes_no") return choice(title, [[true, "yes"], [false, "no"]], { yes: true, no: false }[said] ?? said, { quiet: big });
  if (field.dimension === "text") return text(title, { value: said, big, hint: field.notation ? `Written as a ${field.notation.replaceAll("_", " ")}.` : "" });
  if (field.dimension === "integer") return whole(title, said, big);
  if (field.dimension === "ratios") return ratios(title, said, big);
  return quantity(field, { title, said, units, big, quiet });
}

function whole(title, said, big) {
  const asked = text(title, { value: said, mode: "numeric", big });
  const typed = () => asked.control.value.trim();
  return { ...asked, read: () => (typed() ? Number(typed()) : undefined), problem: () => (/^-?\d*$/.test(typed()) ? "" : "A whole number is wanted.") };
}

function ratios(title, said, big) {
  const asked = text(title, { value: said?.join?.(", "), big, hint: "First to top, with commas between: 2.48, 1.48, 1.00" });
  const parts = () => asked.control.value.split(/[,;]/).map((item) => item.trim()).filter(Boolean);
  const bad = () => parts().find((item) => !(Number(item) > 0));
  return { ...asked, read: () => (parts().length ? parts() : undefined), problem: () => (bad() ? `${bad()} is no ratio.` : "") };
}

async function quantity(field, { title, said, units, big, quiet }) {
  const id = `q${++serial}`;
  const [number, stated] = parted(said, field);
  const chosen = stated ?? (await kept(`unit ${field.key ?? field.name}`)) ?? (units === "metric" ? field.metric_unit : field.us_unit);
  const input = h("input", { id, inputmode: "decimal", autocomplete: "off", class: big ? "big" : null, enterkeyhint: "done" });
  input.value = number;
  const unit = h("select", { "aria-label": `Unit of ${title}` }, field.units.map((item) => h("option", { value: item, selected: item === chosen }, item === "1" ? "as a number" : item)));
  const keys = big ? fractions(input) : null;
  const suit = () => keys && (keys.hidden = !INCHES.has(unit.value));
  unit.addEventListener("change", suit);
  suit();
  const node = h("div", { class: "question" }, h("label", { for: id, class: quiet ? "away" : null }, capital(title)), h("div", { class: "number" }, input, unit), keys);
  const typed = () => input.value.trim().replace(/^−/, "-");
  const read = () => (typed() ? (unit.value === "1" ? typed() : `${typed()} ${unit.value}`) : undefined);
  const remember = () => keep(`unit ${field.key ?? field.name}`, unit.value);
  return { node, control: input, read, unit: () => unit.value, remember, problem: () => (!typed() || NUMBER.test(typed()) ? "" : `${typed()} is no number; write 1.125, 1 1/8 or 1-1/8.`) };
}

// A number with one of a few units, where the vocabulary has no field for it.
export function number(title, units, said = undefined, { big = false } = {}) {
  const id = `q${++serial}`;
  const [typed, unit] = parted(said, { units });
  const input = h("input", { id, inputmode: "decimal", autocomplete: "off", class: big ? "big" : null });
  input.value = typed;
  const select = h("select", { "aria-label": `Unit of ${title}` }, units.map((item) => h("option", { value: item, selected: item === unit }, item)));
  const node = h("div", { class: "question" }, h("label", { for: id }, capital(title)), h("div", { class: "number" }, input, select));
  const value = () => input.value.trim();
  return { node, control: input, read: () => (value() ? `${value()} ${select.value}` : undefined), problem: () => (!value() || NUMBER.test(value()) ? "" : `${value()} is no number; write 12 or 12.5.`) };
}

// A wire value as number and unit again.
function parted(said, field) {
  if (said === undefined || said === null) return ["", undefined];
  if (typeof said === "object") return [String(said.value), said.unit];
  const found = field.units.filter((unit) => String(said).endsWith(` ${unit}`)).sort((one, other) => other.length - one.length)[0];
  return found ? [String(said).slice(0, -found.length - 1), found] : [String(said), undefined];
}

// The keys that a phone's number pad lacks. They leave the focus where it is, so that the pad stays open.
function fractions(input) {
  const key = (words, type, label = words) => h("button", { type: "button", "aria-label": label, pointerdown: (event) => event.preventDefault(), click: () => type() }, words);
  const put = (added) => {
    input.value += added;
    input.dispatchEvent(new Event("input"));
  };
  const fraction = (words) => {
    const before = input.value.replace(/ ?\d+\/\d+$/, "").replace(/(\d)$/, "$1 ");
    input.value = before + words;
  };
  return h("div", { class: "keys", role: "group", "aria-label": "Fractions of an inch" }, FRACTIONS.map((item) => key(item, () => fraction(item))),
    key("-", () => put("-"), "dash"), key("/", () => put("/"), "slash"), key("␣", () => put(" "), "space"));
}
