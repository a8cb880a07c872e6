// One way to ask the service: JSON in, JSON out, its own words when it refuses.
export async function call(address, method = "GET", body = undefined) {
  const options = { method, headers: { Accept: "application/json" } };
  if (body !== undefined) {
    options.headers["Content-Type"] = "application/json";
    options.body = JSON.stringify(body);
  }
  const answer = await fetch(address, options);
  const text = await answer.text();
  const found = text ? JSON.parse(text) : null;
  if (!answer.ok) throw new Error(found?.errors?.map((item) => item.detail).join("; ") || found?.detail || answer.statusText);
  return found;
}

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
