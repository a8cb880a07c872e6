// The queue: what waits, what is being sent, what was refused and why, and how to put that right.
import { capital, clock, h } from "./element.js";
import { entries, entry as entryOf, mend, remove } from "./store.js";
import { fix, tighten } from "./jobs.js";
import { held, line, send, standing } from "./sender.js";
import { keptBuilds, vocabulary } from "./shop.js";
import { head, link } from "./screens.js";
import { measure } from "./measure.js";
import { part } from "./part.js";
import { photo } from "./photo.js";
import { absent, drive, sign, status, step } from "./stand.js";

export async function queue(screen) {
  const all = await entries();
  const refused = new Set(all.filter((item) => item.state === "refused").map((item) => item.id));
  const cars = new Map(((await keptBuilds()) ?? []).map((item) => [item.build, item.car]));
  const several = new Set(all.map((item) => item.build)).size > 1;
  return [head("Queue", ["Cars", link()]), h("p", { class: "words" }, `${capital(line(all))}.`), help(all),
    all.length ? h("ol", { class: "queue" }, all.map((item) => row(screen, item, refused, several && cars.get(item.build)))) : h("p", {}, "Everything that was saved here has arrived."),
    all.length ? h("div", { class: "bar" }, h("button", { type: "button", class: "save", click: () => send() }, "Send now")) : null];
}

function help(all) {
  if (standing.pair) return h("p", {}, `${capital(standing.why)}. Nothing is lost: the queue stays on this phone. `, h("a", { class: "button", href: "/pair" }, "Pair this phone again"));
  if (standing.why && navigator.onLine && all.length) return h("p", {}, `${capital(standing.why)}. It is tried again by itself.`);
  return null;
}

function row(screen, item, refused, car) {
  return h("li", { class: item.state }, h("p", { class: "words" }, item.words), h("p", { class: "hint" }, [car, state(item, refused), `saved ${clock(item.at)}`].filter(Boolean).join(", ")),
    item.state === "refused" && h("p", { class: "why" }, `${capital(item.why)}.`), choices(screen, item));
}

function state(item, refused) {
  if (item.state === "refused") return "refused";
  if (held(item, refused)) return "waits for the refused one that it belongs to";
  if (standing.sending === item.n) return standing.part > 0 ? `sending, ${Math.round(100 * standing.part)} % of the file has arrived` : "sending";
  return "waiting";
}

function choices(screen, item) {
  if (standing.sending === item.n) return null;
  const drop = h("button", { type: "button", class: "quiet", "aria-label": `Drop: ${item.words}`, click: () => {
    if (drop.dataset.asked) return remove(item.n, true);
    drop.dataset.asked = "yes";
    drop.textContent = "Drop it for good";
    return undefined;
  } }, "Drop");
  return h("div", { class: "two" }, h("a", { class: "button quiet", href: link("queue", item.n, "mend"), "aria-label": `Mend: ${item.words}` }, "Mend"),
    item.state === "refused" && h("button", { type: "button", class: "quiet", "aria-label": `Try again: ${item.words}`, click: () => mend(item.n, {}).then(send) }, "Try again"), drop);
}

// The form that it was made with, filled as it was.
export async function mending(screen, n) {
  const item = await entryOf(Number(n));
  if (!item) return [head("Arrived", ["Queue", link("queue")]), h("p", {}, "This one is no longer in the queue.")];
  const { build, list, body } = item;
  const system = (await vocabulary()).kinds.get(body.kind)?.system ?? body.system;
  const forms = { measurements: () => measure(screen, build, body.fact, item), parts: () => item.record ? status(screen, build, item.record, item) : part(screen, build, system, body.kind, body.position?.split(":")[0] ?? "", item), fixes: () => fix(screen, build, item.record ?? "new", item),
    fasteners: () => tighten(screen, build, item.record ?? "new", item), tasks: () => step(screen, build, item.record ?? "new", item), drives: () => drive(screen, build, item),
    signoffs: () => sign(screen, build, body.item, item), absent: () => absent(screen, build, item), photos: () => photo(screen, build, null, item) };
  const made = await forms[list]();
  return item.why ? [made[0], h("p", { class: "why" }, `Refused: ${item.why}.`), ...made.slice(1)] : made;
}

