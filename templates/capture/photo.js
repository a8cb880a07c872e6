// Photographs: taken or chosen, kept as they are, sent as they are; made smaller only when that is asked for.
import { count, h, now } from "./element.js";
import { keptState } from "./shop.js";
import { add, entries, file, mend } from "./store.js";
import { choice, pick, text } from "./inputs.js";
import { filled, form, head, link } from "./screens.js";
import { done } from "./home.js";

const LONG_SIDE = 2000;
const QUALITY = 0.85;
const RECORDS_SHOWN = 60;

export async function photo(screen, build, record = null, entry = null) {
  const before = entry?.body ?? {};
  let chosen = [];
  const shown = h("div", { class: "pictures" });
  const take = (files) => {
    if (!files.length) return;
    chosen = [...chosen, ...files];
    show(shown, chosen);
    said.textContent = count(chosen.length, "photograph");
  };
  const said = h("p", { class: "hint", role: "status" });
  const way = (words, more) => h("label", { class: "button quiet" }, words, h("input", { type: "file", accept: "image/*", class: "away", ...more, change: (event) => take([...event.target.files]) }));
  const caption = text("what to see on it", { value: before.caption });
  const of = await about(build, record ?? before.of?.[0]);
  const size = choice("size", [["as it is", "as it is"], ["smaller", `smaller (${LONG_SIDE} pixels)`]], "as it is");
  const pictures = entry ? null : { problem: () => (chosen.length ? "" : "Take or choose a photograph first.") };
  const save = async () => {
    const body = filled({ caption: caption.read(), of: of.read() ? [of.read()] : undefined, taken_at: before.taken_at ?? now() });
    if (entry) {
      await mend(entry.n, { body });
      location.hash = link("queue");
      return;
    }
    let last;
    for (const picture of chosen) last = await add({ build, list: "photos", body, words: `Photograph${body.caption ? `: ${body.caption}` : ""}` }, size.read() === "smaller" ? await smaller(picture) : picture);
    await done(build, last, chosen.length > 1 ? count(chosen.length, "photograph") : last.words);
  };
  if (entry) show(shown, [await file(entry.n)].filter(Boolean));
  const ways = entry ? null : h("div", { class: "two" }, way("Take one", { capture: "environment" }), way("Choose some", { multiple: true }));
  return [head("Photograph", entry ? ["Queue", link("queue")] : ["What next", link("b", build)]), form([pictures, caption, of, size].filter(Boolean), [ways, said, shown, caption.node, of.node, entry ? null : size.node], save)];
}

// What the photograph shows: a record that is there already, or one that waits in the queue before it.
async function about(build, record) {
  const stood = (await keptState(build))?.records ?? [];
  const queued = (await entries()).filter((item) => item.build === build && item.list !== "photos" && item.method === "POST").map((item) => ({ id: item.id, words: item.words }));
  const all = [...queued.reverse(), ...stood];
  const known = all.filter((item, at) => at < RECORDS_SHOWN || item.id === record);
  if (record && !known.some((item) => item.id === record)) known.unshift({ id: record, words: "what was saved last" });
  return pick("it shows", known.map((item) => [item.id, item.words]), record ?? undefined, "The car as a whole");
}

function show(where, files) {
  for (const picture of where.querySelectorAll("img")) URL.revokeObjectURL(picture.src);
  where.replaceChildren(...files.map((item, at) => {
    const seen = h("img", { src: URL.createObjectURL(item), alt: `photograph ${at + 1}` });
    // Some phones' own formats are not shown by every browser; they are sent all the same.
    seen.addEventListener("error", () => seen.replaceWith(h("p", {}, `${item.name ?? "photograph"}, ${Math.round(item.size / 1024)} kB`)));
    return seen;
  }));
}

async function smaller(picture) {
  let drawn;
  try {
    drawn = await createImageBitmap(picture);
  } catch {
    return picture;
  }
  const scale = LONG_SIDE / Math.max(drawn.width, drawn.height);
  // One that is no larger stays as it was taken.
  if (scale >= 1) return picture;
  const canvas = h("canvas", { width: Math.round(drawn.width * scale), height: Math.round(drawn.height * scale) });
  canvas.getContext("2d").drawImage(drawn, 0, 0, canvas.width, canvas.height);
  const made = await new Promise((give) => canvas.toBlob(give, "image/jpeg", QUALITY));
  return made && made.size < picture.size ? made : picture;
}
