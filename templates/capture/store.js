// What the phone keeps: the queue of entries in their order, the files that go with them, and what it was told last.
import { openDB } from "./vendor/idb.js";
import { newId } from "./element.js";

const opened = openDB("as-fitted-capture", 1, {
  upgrade(database) {
    database.createObjectStore("entries", { keyPath: "n", autoIncrement: true });
    database.createObjectStore("files");
    database.createObjectStore("kept");
  },
});
const SURE = { durability: "strict" };
const others = "BroadcastChannel" in self ? new BroadcastChannel("as-fitted-capture") : null;
const watching = new Set();
if (others) others.onmessage = () => tell(false);

// Call when the queue or what is kept has changed, here or in another window. Returns a function that ends it.
export function watch(work) {
  watching.add(work);
  return () => watching.delete(work);
}

export function tell(everywhere = true) {
  for (const work of [...watching]) work();
  if (everywhere) others?.postMessage("changed");
}

export async function kept(name) {
  return (await opened).get("kept", name);
}

export async function keep(name, value) {
  const database = await opened;
  if (value === undefined) await database.delete("kept", name);
  else await database.put("kept", value, name);
}

// The entries that have not arrived, in the order they were made.
export async function entries() {
  return (await opened).getAll("entries");
}

export async function entry(n) {
  return (await opened).get("entries", n);
}

export async function file(n) {
  return (await opened).get("files", n);
}

// Put an entry at the end of the queue: on the disk before anything says that it is saved.
export async function add(what, picture = null) {
  navigator.storage?.persist?.();
  const made = { id: newId(), method: "POST", state: "waiting", ...what, key: newId(), at: new Date().toISOString() };
  const work = (await opened).transaction(["entries", "files"], "readwrite", SURE);
  const n = await work.objectStore("entries").add(made);
  if (picture) await work.objectStore("files").put(picture, n);
  await work.done;
  tell();
  return { ...made, n };
}

// Change an entry that is still there.
export async function change(n, some) {
  const work = (await opened).transaction("entries", "readwrite", SURE);
  const before = await work.store.get(n);
  if (before) await work.store.put({ ...before, ...some });
  await work.done;
  tell();
}

// A refused entry as it was put right: another request now, and so under another key; its place in the queue stays.
export async function mend(n, some) {
  await change(n, { ...some, key: newId(), state: "waiting", why: undefined, upload: undefined, complete: false });
}

// Take an entry off the queue: it has arrived, or it was dropped, and then nothing that waits names it any more.
export async function remove(n, dropped = false) {
  const work = (await opened).transaction(["entries", "files"], "readwrite", SURE);
  const store = work.objectStore("entries");
  const gone = await store.get(n);
  if (dropped && gone && gone.method === "POST") {
    for (const other of await store.getAll()) {
      if (other.body.of?.includes(gone.id)) await store.put({ ...other, body: { ...other.body, of: other.body.of.filter((id) => id !== gone.id) } });
    }
  }
  await store.delete(n);
  await work.objectStore("files").delete(n);
  await work.done;
  tell();
}
