// How the answer of each kind of question is read from its controls. Nothing answered is undefined.
import { now } from "/capture/element.js";

const NUMBER_END = /[\d½¼¾⅛⅜⅝⅞.]["”″°]?$/;

function control(question) {
  return question.querySelector("input:not([type=file]), select, textarea");
}

function line(question) {
  return control(question).value.trim() || undefined;
}

// What is no whole number goes as it was typed, so that the service can say what is wrong with it.
function whole(question) {
  const typed = line(question);
  return typed && /^-?\d+$/.test(typed) ? Number(typed) : typed;
}

function flag(question) {
  return { yes: true, no: false }[control(question).value];
}

function ratios(question) {
  return line(question)?.split(/[,;]/).map((item) => item.trim()).filter(Boolean);
}

// A number that ends in its unit already is left alone.
function quantity(question) {
  const typed = line(question)?.replace(/^−/, "-");
  const unit = question.querySelector("select").value;
  return typed && NUMBER_END.test(typed) && unit !== "1" ? `${typed} ${unit}` : typed;
}

function position(question) {
  const name = question.querySelector("select")?.value ?? "";
  const label = question.querySelector("input").value.trim();
  return [name, label].filter(Boolean).join(":") || undefined;
}

// A moment that was not touched stays as it was written, with its own offset.
function moment(question) {
  const field = control(question);
  if (field.value === field.defaultValue && field.dataset.said) return field.dataset.said;
  return field.value ? now(new Date(field.value)) : undefined;
}

function day(question) {
  const field = control(question);
  return (field.value === field.defaultValue && field.dataset.said) || field.value || undefined;
}

function records(question) {
  const found = [...question.querySelectorAll("input:checked")].map((item) => item.value);
  return found.length ? found : undefined;
}

const WAYS = { line, long: line, whole, flag, ratios, quantity, position, moment, day, records, absent: records, choice: line };

// All answers of a form as the record that they make; a name with a dot goes one step down.
export function read(form) {
  const found = {};
  for (const question of form.querySelectorAll("[data-name]")) {
    const way = WAYS[question.dataset.way];
    const answer = way && !question.closest("[hidden][data-when]") ? way(question) : undefined;
    const [key, inner] = question.dataset.name.split(/\.(.*)/);
    if (answer === undefined) continue;
    if (inner) (found[key] ??= {})[inner] = answer;
    else found[key] = answer;
  }
  return found;
}

// The merge patch (RFC 7396) that makes the one the other.
export function patch(before, after) {
  const found = {};
  for (const key of new Set([...Object.keys(before), ...Object.keys(after)])) {
    const [was, is] = [before[key], after[key]];
    if (JSON.stringify(was) === JSON.stringify(is)) continue;
    const inner = (value) => value === undefined || (typeof value === "object" && value !== null && !Array.isArray(value));
    found[key] = inner(was) && inner(is) ? patch(was ?? {}, is ?? {}) : is ?? null;
  }
  return found;
}
