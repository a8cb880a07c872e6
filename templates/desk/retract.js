// Takes a record back, with the reason; what it said is kept.
import { call } from "./call.js";

const form = document.getElementById("retract");
const said = document.getElementById("said");

form?.addEventListener("submit", async (event) => {
  event.preventDefault();
  said.textContent = "";
  const { to, tag } = form.dataset;
  try {
    await call(`${to}?reason=${encodeURIComponent(form.elements.reason.value.trim())}`, "DELETE", undefined, { "If-Match": tag });
    location.reload();
  } catch (error) {
    said.textContent = error.status === 412 ? "Someone else has changed this meanwhile: look at it again first." : `Not taken back: ${error.message}.`;
  }
});
