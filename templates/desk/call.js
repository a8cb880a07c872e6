// One way to ask the service: JSON or a form in, JSON out, its own words when it refuses.
export async function call(address, method = "GET", body = undefined, headers = {}) {
  return (await call.tagged(address, method, body, headers)).body;
}

// The same, with the ETag. What it throws has the status and, problem by problem, what is wrong.
call.tagged = async (address, method = "GET", body = undefined, headers = {}) => {
  const options = { method, headers: { Accept: "application/json", ...headers }, cache: "no-store" };
  if (body instanceof FormData) options.body = body;
  else if (body !== undefined) {
    options.headers["Content-Type"] = "application/json";
    options.body = JSON.stringify(body);
  }
  const answer = await fetch(address, options).catch(() => {
    throw new Error("the shop’s computer does not answer; try again");
  });
  const text = await answer.text();
  const found = text ? JSON.parse(text) : null;
  if (!answer.ok) {
    const message = found?.errors?.map((item) => item.detail).join("; ") || found?.detail || answer.statusText;
    throw Object.assign(new Error(message), { status: answer.status, problems: found?.errors ?? [] });
  }
  return { body: found, tag: answer.headers.get("ETag") };
};

export function element(name, attributes = {}, ...inside) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...inside);
  return made;
}

// The service's picture of a code to scan: drawn, never run.
export function drawing(text, title) {
  const svg = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  svg.setAttribute("role", "img");
  svg.setAttribute("aria-label", title);
  return element("div", { class: "qr" }, document.importNode(svg, true));
}

export function date(moment) {
  return new Date(moment).toLocaleDateString("en-US", { dateStyle: "long" });
}
