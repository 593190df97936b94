// Opens a practical's checklist where there is no connection, from what that page has put aside: a page without
// anybody's name, and static files. Everything else goes to the server as if this were not here; it keeps nothing itself.

const ASIDE = "stringline practicals";
const SHELL = "/practicals/without-network";
const PAGES = ["/practicals", "/practicals/new", "/practicals/second"];
const PATIENCE = 6000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== self.location.origin) return;
  if (request.mode === "navigate" && PAGES.includes(pathname)) event.respondWith(answer(request, SHELL));
  else if (pathname.startsWith("/static/")) event.respondWith(answer(request, request));
});

// The server's answer; what was put aside when none comes, or none in time where the signal is weak.
async function answer(request, instead) {
  const cache = await caches.open(ASIDE);
  const kept = await cache.match(instead, { ignoreVary: true });
  if (!kept) return fetch(request);
  const late = new Promise((done) => setTimeout(done, PATIENCE));
  const reply = await Promise.race([fetch(request).catch(() => null), late]);
  return reply ?? kept;
}
