// Devices: a code to pair one more, who is paired, and taking that back.
import { call, date, drawing, element } from "./call.js";

const list = document.getElementById("devices");
const said = document.getElementById("said");

document.getElementById("pair").addEventListener("submit", async (event) => {
  event.preventDefault();
  const place = document.getElementById("code");
  try {
    const code = await call("/v1/devices/codes", "POST", { role: event.target.elements.role.value });
    place.replaceChildren(
      element("p", {}, "Scan this with the phone, or open the address there and type the code. Good once, for ten minutes."),
      drawing(code.qr, "The address with the code, to scan"), element("p", {}, code.link.split("#")[0], " ", element("b", {}, code.code)));
  } catch (error) {
    place.replaceChildren(element("p", { class: "attention" }, error.message));
  }
});

function line(device) {
  const gone = device.revoked_at ? `, revoked ${date(device.revoked_at)}` : "";
  const seen = device.last_seen ? `last seen ${date(device.last_seen)}` : "not seen yet";
  const entry = element("li", {}, element("p", {}, element("b", {}, device.name), ` ${device.by}, ${device.role}`), element("p", { class: "kind" }, `paired ${date(device.paired_at)}, ${seen}${gone}`));
  if (!device.revoked_at) {
    const button = element("button", { type: "button", class: "quiet" }, "Revoke");
    button.addEventListener("click", () => revoke(device));
    entry.append(button);
  }
  return entry;
}

async function revoke(device) {
  try {
    await call(`/v1/devices/${encodeURIComponent(device.id)}`, "DELETE");
    await show();
  } catch (error) {
    said.textContent = error.message;
  }
}

async function show() {
  const devices = await call("/v1/devices");
  list.replaceChildren(...devices.map(line));
  said.textContent = devices.length ? "" : "No device is paired: the service was started for this machine alone.";
}

show().catch((error) => { said.textContent = error.message; });
