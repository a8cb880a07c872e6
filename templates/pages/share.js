// The link's token came in the address's fragment, which browsers send to nobody. The browser keeps it as a cookie that no
// script can read, and it is taken out of the address at once.
const token = decodeURIComponent(location.hash.slice(1));
const said = document.getElementById("said");

async function open() {
  if (token) {
    history.replaceState(null, "", location.pathname);
    const kept = await fetch("/v1/devices/me/cookie", { method: "POST", headers: { Authorization: `Bearer ${token}` } });
    if (!kept.ok && kept.status !== 409) throw new Error((await kept.json()).detail);
  }
  const me = await answered("/v1/devices/me");
  if (!me.car) {
    said.textContent = "This browser is paired with the shop and reads every car.";
    return;
  }
  await show(me);
}

async function answered(address) {
  const answer = await fetch(address);
  const body = await answer.json();
  if (!answer.ok) throw new Error(body.detail);
  return body;
}

async function show(me) {
  const address = `/v1/cars/${encodeURIComponent(me.car)}`;
  const car = await answered(address);
  const builds = await answered(`${address}/builds`);
  document.getElementById("car").textContent = `${car.year} ${car.make} ${car.model}`;
  const list = document.getElementById("builds");
  list.replaceChildren(...(await Promise.all(builds.map(line))));
  list.hidden = builds.length === 0;
  said.textContent = builds.length ? "What was built:" : "Nothing has been written down yet.";
  document.getElementById("until").textContent = `This link is good until ${new Date(me.expires_at).toLocaleDateString("en-US", { dateStyle: "long" })}.`;
}

async function line(build) {
  const entry = document.createElement("li");
  const books = await answered(`/v1/builds/${encodeURIComponent(build.id)}/books`);
  const book = books.find((one) => one.state === "done");
  entry.append(build.title || `For the ${build.use}`, document.createElement("br"));
  entry.append(...(book ? [link(book.site, "Read its book"), " or ", link(book.pdf, "get it as PDF")] : ["Its book is not made yet."]));
  return entry;
}

function link(address, words) {
  const found = document.createElement("a");
  found.href = address;
  found.textContent = words;
  return found;
}

addEventListener("hashchange", () => location.reload());
open().catch((error) => {
  said.textContent = `This link does not open: ${error.message}.`;
});
