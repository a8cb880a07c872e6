// A form of the desk: read, sent, what is wrong said beside its question, what someone else changed meanwhile shown before anything is overwritten.
import { newId, now } from "/capture/element.js";
import { inUnit } from "/capture/units.js";
import { call, element } from "./call.js";
import { patch, read } from "./ways.js";

const form = document.getElementById("entry");
const said = document.getElementById("said");
const conflict = document.getElementById("conflict");
const { to, method } = form.dataset;
const record = JSON.parse(form.dataset.record);
let { tag } = form.dataset;
// One key for one content: a try that got no answer is the same request again, a corrected form is another.
let sent = { body: null, key: null };

for (const field of form.querySelectorAll("[data-now]")) field.value = now().slice(0, field.type === "date" ? 10 : 16);
const before = read(form);

function suit() {
  for (const question of form.querySelectorAll("[data-when]")) {
    const [name, wanted] = question.dataset.when.split("=");
    question.hidden = form.querySelector(`[data-name="${name}"] select`).value !== wanted;
  }
}
form.addEventListener("change", suit);
suit();

const usual = document.getElementById("usual");
const unit = form.querySelector('[data-name="value"] .number select');
function sayUsual() {
  const { low, high, text, scales } = usual.dataset;
  usual.textContent = inUnit({ low: Number(low), high: Number(high), text }, unit.value, JSON.parse(scales));
}
if (usual && unit) {
  unit.addEventListener("change", sayUsual);
  sayUsual();
}

for (const button of form.querySelectorAll("[data-add]")) {
  const question = button.closest("[data-name]");
  const select = question.querySelector("select");
  button.addEventListener("click", () => {
    if (!select.value || [...question.querySelectorAll("input")].some((item) => item.value === select.value)) return;
    const tick = element("input", { type: "checkbox", value: select.value });
    tick.checked = true;
    question.querySelector(".ticks").append(element("label", {}, tick, ` ${select.selectedOptions[0].textContent}`));
    select.value = "";
  });
}

function questionOf(pointer) {
  const pieces = pointer.split("/").slice(1);
  for (let many = pieces.length; many; many--) {
    const found = form.querySelector(`[data-name="${CSS.escape(pieces.slice(0, many).join("."))}"]`);
    if (found) return found;
  }
  return null;
}

function clear() {
  said.textContent = "";
  conflict.replaceChildren();
  for (const old of form.querySelectorAll(".wrong")) old.remove();
  for (const field of form.querySelectorAll("[aria-invalid]")) field.removeAttribute("aria-invalid");
}

// Said beside the question where there is one, else below; the first of them is gone to.
function wrong(problems) {
  const rest = [];
  let first = null;
  for (const { pointer, detail } of problems) {
    const question = questionOf(pointer ?? "");
    if (!question || question.hidden) {
      rest.push(detail);
      continue;
    }
    question.append(element("p", { class: "attention wrong" }, detail));
    for (let around = question.parentElement; around !== form; around = around.parentElement) if (around instanceof HTMLDetailsElement) around.open = true;
    const field = question.querySelector("input, select, textarea");
    field.setAttribute("aria-invalid", "true");
    first ??= field;
  }
  said.textContent = rest.join("; ") || "Not saved yet: see what is said above.";
  first?.focus();
}

function wanted() {
  return [...form.querySelectorAll("[data-required]")].filter((question) => ![...question.querySelectorAll("input:not([type=checkbox]), select, textarea")].some((field) => field.value.trim() && !field.ariaLabel?.startsWith("Unit of")))
    .map((question) => ({ pointer: `/${question.dataset.name.replaceAll(".", "/")}`, detail: "This is wanted." }));
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  clear();
  const missing = wanted();
  if (missing.length) return wrong(missing);
  const buttons = [...form.querySelectorAll("button")];
  for (const button of buttons) button.disabled = true;
  try {
    const then = event.submitter?.dataset.then ?? form.dataset.then;
    const found = form.querySelector("[type=file]") ? await files() : await send();
    // To the same page with another fragment is no way anywhere: it is asked for anew.
    if (found !== null) location.assign(then.replace("{id}", encodeURIComponent(found?.id ?? "")));
  } catch (error) {
    if (error.status === 412) await meanwhile();
    else wrong(error.problems?.length ? error.problems : [{ detail: `Not saved: ${error.message}` }]);
  }
  for (const button of buttons) button.disabled = false;
  return undefined;
});

function send() {
  const answers = read(form);
  const body = method === "PATCH" ? patch(before, answers) : answers;
  if (method === "PATCH" && !Object.keys(body).length) return record;
  const text = JSON.stringify(body);
  if (sent.body !== text + tag) sent = { body: text + tag, key: newId() };
  return call(to, method, body, { "Idempotency-Key": sent.key, ...(tag ? { "If-Match": tag } : {}) });
}

// One after another, so that the first that is refused says so and those before it are kept once.
async function files() {
  const field = form.querySelector("[type=file]");
  const { file, ...answers } = read(form);
  let found;
  for (const one of field.files) {
    const body = new FormData();
    for (const [key, value] of Object.entries(answers)) body.set(key, Array.isArray(value) ? JSON.stringify(value) : value);
    body.set("file", one);
    found = await call(to, "POST", body);
  }
  return found;
}

// Someone else has saved meanwhile: what they changed stands beside what would be changed here, and nothing is done before one of both is chosen.
async function meanwhile() {
  const { body: now, tag: fresh } = await call.tagged(to);
  const [theirs, mine] = [patch(record, now), patch(before, read(form))];
  const words = (value) => (value === undefined || value === null ? "nothing" : typeof value === "object" ? JSON.stringify(value) : String(value));
  const rows = [...new Set([...Object.keys(theirs), ...Object.keys(mine)])].filter((key) => key !== "car").map((key) => element("tr", {}, element("th", { scope: "row" }, key.replaceAll("_", " ")),
    element("td", {}, words(record[key])), element("td", {}, key in theirs ? words(now[key]) : "as it was"), element("td", {}, key in mine ? words(mine[key]) : "as it was")));
  const over = element("button", { type: "button" }, "Save mine on top of it");
  over.addEventListener("click", () => {
    tag = fresh;
    form.requestSubmit();
  });
  const leave = element("button", { type: "button", class: "quiet" }, "Leave theirs");
  leave.addEventListener("click", () => location.reload());
  conflict.replaceChildren(element("h2", {}, "Someone else has changed this meanwhile"), element("p", {}, "Nothing is saved yet. What you did not change stays as they left it."),
    element("table", {}, element("thead", {}, element("tr", {}, ...["What", "It was", "Theirs", "Yours"].map((title) => element("th", { scope: "col" }, title)))), element("tbody", {}, ...rows)),
    element("p", { class: "buttons" }, over, " ", leave));
  over.focus();
}
