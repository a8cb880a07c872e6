// What the shop's computer says: asked when it can be reached, else as it was told last.
import { keep, kept, tell } from "./store.js";

const PATIENCE = 30000;
let words;

export class Refused extends Error {
  constructor(status, message) {
    super(message);
    this.status = status;
  }
}

// The reason in an answer's own words.
export async function reason(answer) {
  const told = await answer.json().catch(() => null);
  const details = told?.errors?.map((item) => item.detail).filter(Boolean) ?? [];
  return details.join("; ") || told?.detail || `the shop’s computer answered ${answer.status}`;
}

async function ask(address) {
  const answer = await fetch(address, { headers: { Accept: "application/json" }, signal: AbortSignal.timeout(PATIENCE) });
  if (!answer.ok) throw new Refused(answer.status, await reason(answer));
  return answer.json();
}

export async function refreshBuilds() {
  const found = await ask("/capture/builds");
  await keep("builds", found);
  whoIsThis();
  return found;
}

export async function refreshState(build) {
  const found = await ask(`/capture/builds/${encodeURIComponent(build)}`);
  found.at = new Date().toISOString();
  await keep(`state ${build}`, found);
  tell();
  return found;
}

export function keptBuilds() {
  return kept("builds");
}

export function keptState(build) {
  return kept(`state ${build}`);
}

// Who writes with this phone, kept for when the network is gone; nobody waits for the answer.
async function whoIsThis() {
  try {
    await keep("by", (await ask("/v1/devices/me")).by);
  } catch {
    // Whoever was known stays known.
  }
}

export async function by() {
  const name = await kept("by");
  return name && name !== "this machine" ? name : undefined;
}

// The vocabulary, read once: systems, kinds by name.
export function vocabulary() {
  words ??= fetch("/v1/vocabulary").then(async (answer) => {
    if (!answer.ok) throw new Refused(answer.status, await reason(answer));
    const { systems, scales, kinds } = await answer.json();
    return { systems, scales, kinds: new Map(kinds.map((kind) => [kind.name, kind])), list: kinds };
  });
  words.catch(() => (words = undefined));
  return words;
}

// `subject.field@position` taken apart and looked up.
export async function fact(address) {
  const [, subject, name, position] = /^([^.]+)\.([^@]+)(?:@(.*))?$/.exec(address) ?? [];
  const kind = (await vocabulary()).kinds.get(subject);
  const field = kind?.fields.find((item) => item.name === name);
  return field && { address, kind, field, position: position ?? null };
}

export function written(subject, field, position) {
  return `${subject}.${field}${position ? `@${position}` : ""}`;
}

// What findings say now that they did not say before. Countings of records are told when their verdict turns only.
export function compared(before, after) {
  const name = (item) => `${item.check}@${item.position ?? ""}`;
  const old = new Map(before.findings.map((item) => [name(item), item]));
  const found = [];
  for (const item of after.findings) {
    const was = old.get(name(item));
    const counting = ["records", "readiness", "schedule"].includes(item.system);
    if (was?.verdict !== item.verdict || (!counting && was?.summary !== item.summary)) found.push({ ...item, was: was?.verdict });
  }
  const turned = (item) => (item.was === item.verdict ? 1 : 0);
  return found.sort((one, other) => turned(one) - turned(other));
}
