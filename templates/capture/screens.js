// What the screens share: a heading with the way back, rows to choose from, a form with its button at the thumb.
import { capital, h } from "./element.js";

export function link(...pieces) {
  return `#/${pieces.filter((piece) => piece !== null && piece !== undefined).map(encodeURIComponent).join("/")}`;
}

export function head(title, back, over = "") {
  return h("header", { class: "head" }, back && h("a", { class: "back", href: back[1] }, `‹ ${capital(back[0])}`), h("h1", { tabindex: "-1" }, capital(title)), over && h("p", { class: "over" }, over));
}

export function rows(items) {
  return h("ul", { class: "rows" }, items.map(({ words, note, href }) => h("li", {}, h("a", { href }, h("span", {}, capital(words)), note && h("span", { class: "note" }, note)))));
}

// The systems of the car, those that have something of the kind asked for.
export function systemGrid(title, build, way, { systems, list }, has) {
  const found = Object.entries(systems).filter(([name]) => list.some((kind) => kind.system === name && has(kind)));
  return [head(title, ["What next", link("b", build)]), h("div", { class: "grid" }, found.map(([name, words]) => h("a", { href: link("b", build, way, name) }, words)))];
}

export function more(title, ...inside) {
  return h("details", {}, h("summary", {}, title), ...inside);
}

// A form: `questions` are judged, then `save` is called; what goes wrong is said beside the button.
export function form(questions, inside, save, words = "Save") {
  const said = h("p", { class: "said", role: "alert" });
  const button = h("button", { class: "save" }, words);
  const submit = async (event) => {
    event.preventDefault();
    const wrong = questions.map((item) => [item, item.problem()]).find(([, problem]) => problem);
    if (wrong) {
      said.textContent = wrong[1];
      wrong[0].control?.focus();
      return;
    }
    button.disabled = true;
    try {
      await Promise.all(questions.map((item) => item.remember?.()));
      await save();
    } catch (error) {
      said.textContent = error?.name === "QuotaExceededError" ? "This phone is full: make room on it, then save again. Nothing was lost of what was saved before." : `It was not saved: ${error.message}`;
      button.disabled = false;
    }
  };
  return h("form", { submit, novalidate: true }, inside, h("div", { class: "bar" }, said, button));
}

export function filled(body) {
  return Object.fromEntries(Object.entries(body).filter(([, value]) => value !== undefined && value !== ""));
}
