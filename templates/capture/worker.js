// The shell and the vocabulary are kept on the phone; a new version takes the place of the old one as a whole.
const NAME = "as-fitted-capture {version}";
const FILES = ["{files}"];

self.addEventListener("install", (event) => {
  const fresh = FILES.map((file) => new Request(file, { cache: "no-cache" }));
  event.waitUntil(caches.open(NAME).then((cache) => cache.addAll(fresh)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  const old = (names) => names.filter((name) => name.startsWith("as-fitted-capture ") && name !== NAME);
  event.waitUntil(caches.keys().then((names) => Promise.all(old(names).map((name) => caches.delete(name)))).then(() => self.clients.claim()));
});

self.addEventListener("fetch", (event) => {
  const { pathname } = new URL(event.request.url);
  if (event.request.method !== "GET" || !FILES.includes(pathname)) return;
  event.respondWith(caches.open(NAME).then(async (cache) => (await cache.match(pathname)) ?? fetch(event.request)));
});
