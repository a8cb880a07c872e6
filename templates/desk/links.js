// Links by which an owner reads one car: made, listed, revoked.
import { call, date, drawing, element } from "./call.js";

const form = document.getElementById("share");
const made = document.getElementById("shared");
const list = document.getElementById("shares");

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    const link = await call("/v1/shares", "POST", { car: form.dataset.car, name: form.elements.name.value, days: Number(form.elements.days.value) });
    const field = element("input", { readonly: "", "aria-label": "The link", value: link.link });
    field.addEventListener("focus", () => field.select());
    made.replaceChildren(element("p", {}, `The link is shown this once. Good until ${date(link.expires_at)}.`), field, drawing(link.qr, "The link, to scan"));
    await show();
  } catch (error) {
    made.replaceChildren(element("p", { class: "attention" }, `No link: ${error.message}.`));
  }
});

async function show() {
  const shares = await call(`/v1/shares?car=${encodeURIComponent(list.dataset.car)}`);
  list.replaceChildren(...shares.filter((share) => !share.revoked_at).map(line));
}

function line(share) {
  const button = element("button", { type: "button", class: "quiet" }, "Revoke");
  button.addEventListener("click", async () => {
    await call(`/v1/shares/${encodeURIComponent(share.id)}`, "DELETE");
    await show();
  });
  const seen = share.last_seen ? `, last opened ${date(share.last_seen)}` : ", not opened yet";
  return element("li", { class: "buttons" }, `${share.name}: until ${date(share.expires_at)}${seen} `, button);
}

show().catch(() => { form.hidden = true; });
