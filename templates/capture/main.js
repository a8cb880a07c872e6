// Which screen is shown, and the line of the queue above all of them.
import { build, cars, saved } from "./home.js";
import { line, send, standing, start } from "./sender.js";
import { capital, h } from "./element.js";
import { entries, watch } from "./store.js";
import { head, link } from "./screens.js";
import { vocabulary } from "./shop.js";

const page = document.getElementById("main");
const bar = document.getElementById("queue");
// The first screen needs none of these; they come while it is read.
const later = (file, name) => (...given) => import(`./${file}.js`).then((module) => module[name](...given));
const FILES = ["measure", "subjects", "part", "jobs", "stand", "photo", "queue"];
// `*` is any piece of an address. Screens marked `live` are made again when the queue or what is known changes.
const ROUTES = [
  [[], cars, "live"],
  [["queue"], later("queue", "queue"), "live"],
  [["queue", "*", "mend"], later("queue", "mending")],
  [["b", "*"], build, "live"],
  [["b", "*", "saved", "*"], saved, "live"],
  [["b", "*", "measure"], later("subjects", "systems")],
  [["b", "*", "measure", "*"], later("subjects", "subjects")],
  [["b", "*", "subject", "*"], later("subjects", "subject")],
  [["b", "*", "subject", "*", "at", "*"], later("subjects", "fields")],
  [["b", "*", "fact", "*"], later("measure", "measure")],
  [["b", "*", "part"], later("part", "systems")],
  [["b", "*", "part", "*"], later("part", "kinds")],
  [["b", "*", "part", "*", "*"], later("part", "where")],
  [["b", "*", "part", "*", "*", "*"], later("part", "part")],
  [["b", "*", "fix"], later("jobs", "fixes")],
  [["b", "*", "fix", "*"], later("jobs", "fix")],
  [["b", "*", "tighten"], later("jobs", "joints")],
  [["b", "*", "tighten", "*"], later("jobs", "tighten")],
  [["b", "*", "more"], later("stand", "all")],
  [["b", "*", "step"], later("stand", "plan")],
  [["b", "*", "step", "*"], later("stand", "step")],
  [["b", "*", "drive"], later("stand", "drive")],
  [["b", "*", "sign"], later("stand", "signatures")],
  [["b", "*", "sign", "*"], later("stand", "sign")],
  [["b", "*", "stand"], later("stand", "standing")],
  [["b", "*", "stand", "*"], later("stand", "status")],
  [["b", "*", "absent"], later("stand", "absent")],
  [["b", "*", "photo"], later("photo", "photo")],
  [["b", "*", "photo", "*"], later("photo", "photo")],
];
let current = { live: false };
let shown = null;

function route() {
  const path = location.hash.replace(/^#\/?/, "");
  const pieces = path ? path.split("/").map(decodeURIComponent) : [];
  const fits = ([pattern]) => pattern.length === pieces.length && pattern.every((piece, at) => piece === "*" || piece === pieces[at]);
  const [pattern, make, live] = ROUTES.find(fits) ?? ROUTES[0];
  return { make, live: Boolean(live), given: pieces.filter((_, at) => pattern[at] === "*") };
}

async function show() {
  const screen = { ...route(), turn: Promise.resolve() };
  current = screen;
  shown = null;
  screen.again = () => {
    screen.turn = screen.turn.then(() => draw(screen));
    return screen.turn;
  };
  await screen.again();
  if (current !== screen) return;
  scrollTo(0, 0);
  if (!page.contains(document.activeElement)) page.querySelector("h1")?.focus({ preventScroll: true });
}

async function draw(screen) {
  if (current !== screen) return;
  let made;
  try {
    made = await screen.make(screen, ...screen.given);
  } catch (error) {
    made = [head("Not at hand", ["Cars", link()]), h("p", {}, `${capital(error.message)}.`), h("button", { type: "button", click: () => screen.again() }, "Try again")];
  }
  if (current === screen) put(made.flat(3).filter(Boolean));
}

// What is the same stays as it is, with the focus in it.
function put(made) {
  const fresh = h("div", {}, ...made);
  if (fresh.innerHTML === shown) return;
  const at = focusPath();
  page.replaceChildren(...fresh.childNodes);
  shown = page.innerHTML;
  at?.();
  document.title = `${page.querySelector("h1")?.textContent ?? "Capture"} · As Fitted`;
}

// A screen made again while someone moves over it by keyboard keeps the place: the link or button with the same words.
function focusPath() {
  const held = document.activeElement;
  if (!page.contains(held)) return null;
  const same = (item) => item.tagName === held.tagName && (item.getAttribute("href") ?? item.textContent) === (held.getAttribute("href") ?? held.textContent);
  return () => [...page.querySelectorAll("a, button, h1")].find(same)?.focus({ preventScroll: true });
}

async function sayQueue() {
  const all = await entries();
  const words = line(all);
  if (bar.textContent !== words) bar.textContent = words;
  bar.toggleAttribute("data-attention", standing.pair || all.some((item) => item.state === "refused"));
}

let due = false;
function soon() {
  if (due) return;
  due = true;
  setTimeout(async () => {
    due = false;
    await sayQueue();
    if (current.live) await current.again();
  }, 60);
}

addEventListener("hashchange", show);
addEventListener("offline", soon);
watch(soon);
let waiting = 0;
watch(async () => {
  const now = (await entries()).filter((item) => item.state === "waiting").length;
  if (now > waiting) send();
  waiting = now;
});
await sayQueue();
await show();
document.documentElement.dataset.ready = "yes";
start();
for (const file of FILES) import(`./${file}.js`).catch(() => {});
vocabulary().catch(() => {});
if ("serviceWorker" in navigator) navigator.serviceWorker.register("/capture/worker.js", { scope: "/capture/", updateViaCache: "none" }).catch(() => {});
