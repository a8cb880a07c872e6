// The code came in the address's fragment, which browsers send to nobody; it is taken out of the address at once.
const form = document.getElementById("pair");
const said = document.getElementById("said");

function takeCode() {
  const code = decodeURIComponent(location.hash.slice(1));
  if (!code) return;
  form.elements.code.value = code;
  history.replaceState(null, "", location.pathname);
}

async function whoIsThis() {
  const answer = await fetch("/v1/devices/me");
  if (!answer.ok) return;
  const me = await answer.json();
  const known = document.getElementById("known");
  known.textContent = `This browser is already paired as ${me.name} (${me.role}). Pairing it again makes another device of it.`;
  known.hidden = false;
}

async function pair(event) {
  event.preventDefault();
  const button = form.querySelector("button");
  button.disabled = true;
  said.textContent = "Pairing…";
  const { by, name, code } = Object.fromEntries(new FormData(form));
  try {
    const answer = await fetch("/v1/devices", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ by, name, code, keep: "cookie" }),
    });
    const body = await answer.json();
    if (answer.ok) {
      form.hidden = true;
      document.getElementById("known").hidden = true;
      said.textContent = `Paired as ${body.name}, role ${body.role}. This browser stays paired until it is revoked.`;
      document.getElementById("on").hidden = false;
      return;
    }
    said.textContent = sentence(body.errors?.length ? body.errors.map((error) => error.detail).join("; ") : body.detail);
  } catch {
    said.textContent = "The shop’s computer did not answer. Is this device on the shop’s network?";
  }
  button.disabled = false;
}

function sentence(text) {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}

form.addEventListener("submit", pair);
addEventListener("hashchange", takeCode);
takeCode();
whoIsThis();
