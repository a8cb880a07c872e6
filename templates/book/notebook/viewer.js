/* Photographs large, one after another: arrow keys, swipe, Escape. Without it a photograph's link opens the file itself. */
"use strict";
(function () {
  const links = Array.from(document.querySelectorAll("a.photo"));
  if (!links.length || typeof HTMLDialogElement !== "function") return;
  const SWIPE = 40;
  let shown = 0, pressed = null;

  function make(tag, properties, ...children) {
    const element = Object.assign(document.createElement(tag), properties);
    element.append(...children);
    return element;
  }

  const image = make("img", { alt: "" });
  const caption = make("figcaption", {});
  const place = make("p", { className: "place" });
  place.setAttribute("role", "status");
  const before = make("button", { type: "button", textContent: "← Before" });
  const after = make("button", { type: "button", textContent: "Next →" });
  const close = make("button", { type: "button", textContent: "Close" });
  const dialog = make("dialog", { className: "viewer" }, make("figure", {}, image, caption), make("div", { className: "bar" }, before, place, after, close));
  dialog.setAttribute("aria-label", "Photographs");
  document.body.append(dialog);

  function show(index) {
    shown = (index + links.length) % links.length;
    const thumb = links[shown].querySelector("img"), figure = links[shown].closest("figure");
    const words = figure && figure.querySelector("figcaption");
    image.src = links[shown].href;
    image.alt = thumb ? thumb.alt : "";
    caption.textContent = words ? words.textContent.trim() : image.alt;
    place.textContent = `${shown + 1} of ${links.length}`;
    before.hidden = after.hidden = links.length < 2;
  }

  function open(event) {
    if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
    event.preventDefault();
    show(links.indexOf(event.currentTarget));
    dialog.showModal();
    close.focus();
  }

  links.forEach(link => link.addEventListener("click", open));
  before.addEventListener("click", () => show(shown - 1));
  after.addEventListener("click", () => show(shown + 1));
  close.addEventListener("click", () => dialog.close());
  dialog.addEventListener("close", () => links[shown].focus());
  dialog.addEventListener("keydown", event => {
    if (event.key === "ArrowLeft") show(shown - 1);
    else if (event.key === "ArrowRight") show(shown + 1);
    else if (event.key === "Home") show(0);
    else if (event.key === "End") show(links.length - 1);
    else return;
    event.preventDefault();
  });
  image.addEventListener("pointerdown", event => { pressed = event.isPrimary ? event.clientX : null; });
  image.addEventListener("pointerup", event => {
    const moved = pressed === null ? 0 : event.clientX - pressed;
    pressed = null;
    if (Math.abs(moved) > SWIPE) show(shown + (moved < 0 ? 1 : -1));
  });
  image.addEventListener("dragstart", event => event.preventDefault());
})();
