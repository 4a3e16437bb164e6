// Keeps the shelf check's page, scripts, drawing rules and module, and no other page, for when home is out of reach.
const CACHE = "shelf EDITION";
const FILES = ["FILES"];
// A phone that still sees some network would wait for minutes.
const PATIENCE_MS = 4000;

self.addEventListener("install", (event) => {
  const fresh = [...FILES, "SHELL"].map((path) => new Request(path, { cache: "reload" }));
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(fresh)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  const old = (names) => names.filter((name) => name.startsWith("shelf ") && name !== CACHE);
  event.waitUntil(
    caches.keys().then((names) => Promise.all(old(names).map((name) => caches.delete(name)))).then(() => self.clients.claim()),
  );
});

const kept = (path) => caches.open(CACHE).then((cache) => cache.match(path));

async function page(request) {
  const home = fetch(request);
  const late = new Promise((_, failed) => setTimeout(failed, PATIENCE_MS));
  try {
    return await Promise.race([home, late]);
  } catch {
    return (await kept("SHELL")) ?? home;
  }
}

self.addEventListener("fetch", (event) => {
  const { pathname, origin } = new URL(event.request.url);
  if (origin !== location.origin) return;
  if (event.request.mode === "navigate" && pathname === "/shelf") event.respondWith(page(event.request));
  else if (event.request.method === "GET" && FILES.includes(pathname)) {
    event.respondWith(kept(pathname).then((file) => file ?? fetch(event.request)));
  }
});
