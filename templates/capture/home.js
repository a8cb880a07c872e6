// The cars in the shop, one build with what to do next, and what became of what was saved.
import { capital, clock, count, h, mark, place } from "./element.js";
import { keptBuilds, keptState, refreshBuilds, refreshState } from "./shop.js";
import { entries, keep, kept } from "./store.js";
import { head, link, rows } from "./screens.js";

const SHOWN = 7;
const CHANGES_SHOWN = 12;
const MANY = 12;

export async function cars(screen) {
  const found = await keptBuilds();
  if (found) return carList(found, refreshing(screen, refreshBuilds));
  try {
    return carList(await refreshBuilds(), "");
  } catch (error) {
    const pair = error.status === 401;
    return [head("As Fitted"), h("p", {}, pair ? "This phone is not paired with the shop’s computer yet." : "The shop’s computer does not answer, and nothing was kept here yet. Open this page once in the shop’s network."),
      h("p", {}, pair ? h("a", { class: "button", href: "/pair" }, "Pair this phone") : h("button", { type: "button", class: "quiet", click: () => screen.again() }, "Try again"))];
  }
}

function carList(found, note) {
  const list = h("div", {}, found.length ? carRows(found) : h("p", {}, "No car is in the shop. Enter one at the desk first."));
  return [head("Which car?"), found.length > MANY ? finder(found, list) : null, list,
    note, h("p", { class: "foot" }, h("a", { href: "/desk/" }, "To the desk"))];
}

function carRows(found) {
  return rows(found.map((item) => ({ words: item.car, note: item.title, href: link("b", item.build) })));
}

// Where there are many cars, a word of one leads to it.
function finder(found, list) {
  const input = h("input", { id: "find-car", type: "search", autocomplete: "off", input: () => {
    const wanted = input.value.toLowerCase().split(/\s+/).filter(Boolean);
    list.replaceChildren(carRows(found.filter((item) => wanted.every((word) => `${item.car} ${item.title}`.toLowerCase().includes(word)))));
  } });
  return h("div", { class: "question" }, h("label", { for: "find-car" }, "Find"), input);
}

// Ask again behind what is shown, once a visit; show it again if it came out otherwise.
function refreshing(screen, ask) {
  if (screen.asked) return "";
  screen.asked = true;
  ask().then(() => screen.again(), () => {});
  return "";
}

export async function build(screen, id) {
  let state = await keptState(id);
  if (!state) state = await refreshState(id).catch(() => null);
  else refreshing(screen, () => refreshState(id));
  const title = state?.car ?? (await named(id));
  const waiting = new Set((await entries()).filter((item) => item.build === id).map((item) => item.body.fact));
  const next = (state?.next ?? []).filter((item) => !waiting.has(item.fact));
  return [head(title, ["Cars", link()], state?.title), state ? whatNext(screen, id, next, state.parts ?? []) : h("p", {}, "What is known of this car was not kept here yet. What you enter is kept all the same."),
    state && h("p", { class: "hint" }, `As it stood ${clock(state.at)}.`), actions(id)];
}

async function named(id) {
  return ((await keptBuilds()) ?? []).find((item) => item.build === id)?.car ?? "This car";
}

function whatNext(screen, id, next, parts) {
  if (!next.length && !parts.length) return [h("h2", {}, "What next"), h("p", {}, "No part is entered yet: begin with one.")];
  if (!next.length) return [h("h2", {}, "What next"), h("p", {}, "No check waits for a measurement.")];
  const shown = screen.all ? next : next.slice(0, SHOWN);
  const where = (item) => (item.fact.includes("@") && !item.fact.startsWith("companion.") && !item.title.includes(place(item.fact.split("@")[1])) ? `, ${place(item.fact.split("@")[1])}` : "");
  const open = () => {
    screen.all = true;
    screen.again();
  };
  return [h("h2", {}, "What next"), rows(shown.map((item) => ({ words: item.title + where(item), note: waits(item), href: link("b", id, "fact", item.fact) }))),
    next.length > shown.length && h("button", { type: "button", class: "quiet", click: open }, `Show ${next.length - shown.length} more`)];
}

function waits(item) {
  if (item.safety) return `${count(item.safety, "safety check")} ${item.safety === 1 ? "waits" : "wait"} for it`;
  return item.waits.length ? `${count(item.waits.length, "check")} ${item.waits.length === 1 ? "waits" : "wait"} for it` : "";
}

function actions(id) {
  const all = [["Measure", "measure"], ["Part", "part"], ["Fix", "fix"], ["Tighten", "tighten"], ["Photo", "photo"], ["More", "more"]];
  return h("nav", { class: "bar actions", "aria-label": "Enter" }, all.map(([words, name]) => h("a", { href: link("b", id, name) }, words)));
}

// After saving: that it is kept, whether it has arrived, and what the findings say now.
export async function saved(screen, id, entry) {
  const all = await entries();
  const mine = all.find((item) => item.id === entry || item.key === entry);
  const last = (await kept("saved")) ?? {};
  const changes = await kept(`changes ${id}`);
  const told = !mine && changes && changes.at > (last.at ?? "");
  return [head(mine?.state === "refused" ? "Refused" : mine ? "Saved on this phone" : "Arrived", ["What next", link("b", id)]), h("p", { class: "words" }, last.words ?? ""),
    mine?.state === "refused" ? h("p", {}, `${capital(mine.why)}. `, h("a", { href: link("queue") }, "Mend it or drop it")) : null,
    mine && mine.state !== "refused" ? h("p", {}, "It is sent by itself when the shop’s computer can be reached.") : null,
    !mine && h("div", { "aria-live": "polite" }, told ? changed(changes.items) : h("p", {}, "Looking at what it changes…")), after(id, last)];
}

function changed(items) {
  if (!items.length) return h("p", {}, "No finding changes by it.");
  return [h("h2", {}, "What it changes"), items.slice(0, CHANGES_SHOWN).map((item) => h("article", { class: "finding" },
    h("h3", {}, mark(item.verdict), ` ${item.title}`, item.position && h("span", { class: "where" }, `, ${place(item.position)}`)),
    h("p", {}, item.summary), item.was && item.was !== item.verdict && h("p", { class: "hint" }, `Was: ${item.was}.`))),
    items.length > CHANGES_SHOWN && h("p", { class: "hint" }, `And ${count(items.length - CHANGES_SHOWN, "more finding")}; the desk shows all.`)];
}

function after(id, last) {
  return h("nav", { class: "bar two", "aria-label": "Next" }, last.next && h("a", { href: last.next[1], class: "strong" }, last.next[0]),
    last.record && h("a", { href: link("b", id, "photo", last.record) }, "Photograph it"), h("a", { href: link("b", id) }, "What next"));
}

// Remember what was saved last, and go and see what became of it.
export async function done(id, entry, words, next = null) {
  await keep("saved", { words, next, record: ["photos", "absent"].includes(entry.list) ? null : entry.record ?? entry.id, at: entry.at ?? new Date().toISOString() });
  location.hash = link("b", id, "saved", entry.id);
}

