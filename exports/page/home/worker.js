// Keeps the page on the device once it was opened from a web space, so that it opens without a network.
// `MARK` is filled in by the program: another page gets another cache, and the old one goes.

const CACHE = `castmark ${registration.scope} MARK`;
const FILES = ["./", "manifest.webmanifest", "icon.svg", "icon-192.png", "icon-512.png"];

addEventListener("install", (event) => {
  skipWaiting();
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(FILES)));
});

addEventListener("activate", (event) => {
  const isOld = (name) => name.startsWith(`castmark ${registration.scope} `) && name !== CACHE;
  const clear = async () => {
    for (const name of await caches.keys()) if (isOld(name)) await caches.delete(name);
    await clients.claim();
  };
  event.waitUntil(clear());
});

addEventListener("fetch", (event) => {
  const { method, url } = event.request;
  if (method !== "GET" || !url.startsWith(registration.scope)) return;
  const address = url.replace(/[?#].*$/, "").replace(/\/index\.html$/, "/");
  event.respondWith(caches.open(CACHE).then(async (cache) => (await cache.match(address)) ?? fetch(event.request)));
});
