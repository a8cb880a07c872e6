// Sending the queue: one entry at a time, in order, from one window, each once however often it has to be tried.
import { change, entries, file, keep, kept, remove, tell } from "./store.js";
import { compared, keptState, reason, refreshState } from "./shop.js";


const PATIENCE = 60000;
const PIECE = 512 * 1024;
const FIRST_WAIT = 1000;
const LONGEST_WAIT = 30000;
// What passes by itself: the network, a busy or full or stopped service. Everything else that is not taken in has to be mended.
const PASSING = new Set([408, 425, 429, 500, 502, 503, 504, 507]);

export const standing = { sending: null, part: 0, why: "", pair: false };
let wait = FIRST_WAIT;
let timer = 0;
let again = false;
let running = false;

class Later extends Error {}
class Halt extends Error {}

// Send what waits. Safe to call at any time.
export async function send() {
  clearTimeout(timer);
  again = true;
  if (running) return;
  running = true;
  try {
    while (again) {
      again = false;
      await alone(run);
    }
  } finally {
    running = false;
  }
}

function alone(work) {
  if (!navigator.locks) return work();
  return navigator.locks.request("as-fitted-sending", { ifAvailable: true }, async (lock) => {
    if (lock) return work();
    if ((await entries()).length) timer = setTimeout(send, LONGEST_WAIT / 2);
  });
}

async function run() {
  try {
    for (let next = await first(); next; next = await first()) await one(next);
    stand({ sending: null, why: "", pair: false });
    await compareAll();
  } catch (error) {
    const halted = error instanceof Halt;
    stand({ sending: null, why: error.message, pair: halted && error.pair });
    if (!halted) {
      timer = setTimeout(send, error.wait ?? wait);
      wait = Math.min(wait * 2, LONGEST_WAIT);
    }
  }
}

function stand(some) {
  if (Object.entries(some).every(([key, value]) => standing[key] === value)) return;
  Object.assign(standing, some);
  tell();
}

// The first entry that can go. What names a refused one waits until that is mended or dropped.
async function first() {
  const all = await entries();
  const refused = new Set(all.filter((item) => item.state === "refused").map((item) => item.id));
  return all.find((item) => item.state === "waiting" && !held(item, refused));
}

export function held(item, refused) {
  return item.method === "PATCH" ? refused.has(item.record) : (item.body.of ?? []).some((id) => refused.has(id));
}

async function one(item) {
  stand({ sending: item.n, part: 0, why: "", pair: false });
  if ((await kept(`before ${item.build}`)) === undefined) await keep(`before ${item.build}`, (await keptState(item.build)) ?? null);
  const answer = await (item.list === "photos" ? photo(item) : item.method === "PATCH" ? patch(item) : post(item));
  if (answer.ok) {
    wait = FIRST_WAIT;
    await remove(item.n);
  } else {
    await change(item.n, { state: "refused", why: await reason(answer), status: answer.status });
  }
}

// Ask the service. Throws what means: try again later, or: not before someone has done something.
async function call(address, options) {
  let answer;
  try {
    answer = await fetch(address, { ...options, signal: AbortSignal.timeout(PATIENCE) });
  } catch {
    throw new Later("the shop’s computer does not answer");
  }
  if (answer.status === 401 || answer.status === 403) {
    throw Object.assign(new Halt(await reason(answer)), { pair: answer.status === 401 });
  }
  if (PASSING.has(answer.status)) {
    throw Object.assign(new Later(await reason(answer)), { wait: 1000 * Number(answer.headers.get("Retry-After")) || undefined });
  }
  return answer;
}

function address(item) {
  return `/v1/builds/${encodeURIComponent(item.build)}/${item.list}`;
}

function post(item) {
  return call(address(item), { method: "POST", headers: { "Content-Type": "application/json", "Idempotency-Key": item.key }, body: JSON.stringify({ id: item.id, ...item.body }) });
}

// A change names the state that it changes; that may have moved on since, and what is changed here is said anew anyway.
async function patch(item) {
  const ofBuild = item.list === "absent";
  const record = ofBuild ? `/v1/builds/${encodeURIComponent(item.build)}` : `${address(item)}/${encodeURIComponent(item.record)}`;
  for (;;) {
    const now = await call(record, { cache: "no-store" });
    if (!now.ok) return now;
    const body = ofBuild ? { absent: [...new Set([...((await now.clone().json()).absent ?? []), item.body.absent])] } : item.body;
    const headers = { "Content-Type": "application/merge-patch+json", "Idempotency-Key": item.key, "If-Match": now.headers.get("ETag") };
    const answer = await call(record, { method: "PATCH", headers, body: JSON.stringify(body) });
    if (answer.status !== 412) return answer;
  }
}

// The file in pieces, from where the service has it; then the record that names it.
async function photo(item) {
  const picture = await file(item.n);
  const upload = await uploaded(item, picture);
  if (upload instanceof Response) return upload;
  const form = new FormData();
  form.set("id", item.id);
  form.set("upload", upload.split("/").at(-1));
  for (const [key, value] of Object.entries(item.body)) {
    if (key === "of") form.set("of", JSON.stringify(value));
    else if (value) form.set(key, value);
  }
  const answer = await call(address(item), { method: "POST", headers: { "Idempotency-Key": item.key }, body: form });
  // An upload that was given up meanwhile, or one that is not all there, is begun again.
  if ((answer.status === 422 && /no such upload/.test(await answer.clone().text())) || (answer.status === 409 && /not complete/.test(await answer.clone().text()))) {
    await change(item.n, { upload: undefined, complete: false });
    throw new Later("the photograph is sent again from its beginning");
  }
  return answer;
}

async function uploaded(item, picture) {
  let where = item.upload;
  // All of it was there: if the record was kept too and only the answer was lost, the same request is given that answer.
  if (where && item.complete) return where;
  let offset = where ? await far(where) : null;
  if (offset === null) {
    const begun = await call("/v1/uploads", { method: "POST", headers: { "Upload-Length": String(picture.size) } });
    if (!begun.ok) return begun;
    where = new URL(begun.headers.get("Location"), location.origin).pathname;
    offset = 0;
    await change(item.n, { upload: where, complete: false });
  }
  while (offset < picture.size) {
    stand({ part: offset / picture.size });
    const piece = picture.slice(offset, offset + PIECE);
    const answer = await call(where, { method: "PATCH", headers: { "Upload-Offset": String(offset), "Content-Type": "application/offset+octet-stream" }, body: piece });
    if (answer.ok || answer.status === 409) offset = Number(answer.headers.get("Upload-Offset"));
    else if (answer.status === 404) return uploaded({ ...item, upload: undefined }, picture);
    else return answer;
  }
  await change(item.n, { complete: true });
  return where;
}

// How much of an upload is there, or null when the service knows none.
async function far(where) {
  const answer = await call(where, { method: "HEAD" });
  return answer.ok ? Number(answer.headers.get("Upload-Offset")) : null;
}

// When all of a build has arrived: what its findings say now, beside what they said before the first of it went.
async function compareAll() {
  const waiting = new Set((await entries()).filter((item) => item.state === "waiting").map((item) => item.build));
  for (const { build } of (await kept("builds")) ?? []) {
    const before = await kept(`before ${build}`);
    if (before === undefined || waiting.has(build)) continue;
    const after = await refreshState(build).catch(() => null);
    if (!after) continue;
    await keep(`changes ${build}`, { at: new Date().toISOString(), items: before ? compared(before, after) : [] });
    await keep(`before ${build}`, undefined);
    tell();
  }
}

// The queue in one line of words.
export function line(all) {
  const waiting = all.filter((item) => item.state === "waiting");
  const refused = all.length - waiting.length;
  const parts = [];
  if (waiting.length) parts.push(`${waiting.length} waiting${state(waiting)}`);
  if (refused) parts.push(`${refused} refused`);
  return parts.join("; ") || "Nothing waiting";
}

function state(waiting) {
  const at = waiting.findIndex((item) => item.n === standing.sending);
  if (at >= 0) {
    const which = at === 0 ? (waiting.length === 1 ? "it" : "the first") : `number ${at + 1}`;
    return `, sending ${which}${standing.part > 0 ? ` (${Math.round(100 * standing.part)} %)` : ""}`;
  }
  if (standing.pair) return ", kept until this phone is paired again";
  if (!navigator.onLine) return ", kept until the network is back";
  return standing.why ? `, ${standing.why}` : "";
}

export function start() {
  addEventListener("online", send);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && send());
  send();
}

