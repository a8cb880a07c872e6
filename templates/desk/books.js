// Asks for a book and tells how far it is.
import { call } from "./call.js";

const form = document.getElementById("make");
const said = document.getElementById("making");
const bar = document.getElementById("fraction");
const stop = document.getElementById("stop");
let watched;

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  said.textContent = "Asked for.";
  try {
    const wanted = Object.fromEntries(new FormData(form));
    await watch((await call(`/v1/builds/${encodeURIComponent(form.dataset.build)}/books`, "POST", wanted)).id);
  } catch (error) {
    said.textContent = `No book: ${error.message}.`;
  }
});

stop.addEventListener("click", () => call(`/v1/books/${encodeURIComponent(watched)}`, "DELETE").catch((error) => { said.textContent = error.message; }));

async function watch(id) {
  watched = id;
  for (;;) {
    const book = await call(`/v1/books/${encodeURIComponent(id)}`);
    bar.hidden = stop.hidden = !["queued", "running"].includes(book.state);
    bar.value = book.fraction;
    if (bar.hidden) {
      if (book.state === "done") {
        // The page as it is now, at the same place.
        location.hash = "books";
        location.reload();
      } else said.textContent = book.why ? `No book: ${book.why}.` : "No book was made: it was stopped.";
      return;
    }
    said.textContent = book.state === "queued" ? "Waiting for its turn." : `Being made${book.step ? `: ${book.step}` : ""}, ${Math.round(100 * book.fraction)} %.`;
    await new Promise((after) => setTimeout(after, 1000));
  }
}

const under_way = document.querySelector('[data-state="queued"], [data-state="running"]');
if (under_way) watch(under_way.dataset.book).catch((error) => { said.textContent = error.message; });

// Where a book was just made, the keyboard goes on from it.
if (location.hash === "#books") document.querySelector("#books a")?.focus();
