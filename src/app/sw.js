// The service worker: keeps a checked copy of every file of the page and answers from it.
//
// `cargo xtask build` writes three constants above this text: BUILD, the name of the build; POLICY, the
// Content-Security-Policy; FILES, every file of the page as [path, SHA-256 of its bytes, media type].
//
// Program files stand in a folder named after their build, so that an address means the same bytes for ever: a page
// that was open before an update goes on with the files of its own build, out of that build's cache.

/** Heads the names of our caches: all pages of an origin share them. */
const OURS = `glasswick ${registration.scope} `;
const PATHS = new Set(FILES.map(([path]) => path));
const OF_ANOTHER_BUILD = /^[0-9a-f]{16}\//;

const address = (path) => new URL(path, registration.scope).href;

/** Fetches a file past every cache and keeps it only where its bytes are those that were built. */
async function keep(cache, [path, sha256, type]) {
  const response = await fetch(new Request(address(path), { cache: "reload" }));
  const bytes = await response.arrayBuffer();
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  const found = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
  if (!response.ok || found !== sha256) throw new Error(`${path} did not arrive as it was built`);
  // A host may send no policy, or a wrong type; and a policy in the page itself does not reach worker scripts.
  const headers = {
    "Content-Type": type,
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
  };
  await cache.put(address(path), new Response(bytes, { headers }));
}

/** All files or none. */
async function install() {
  const cache = await caches.open(OURS + BUILD);
  try {
    await Promise.all(FILES.map((file) => keep(cache, file)));
  } catch (error) {
    await caches.delete(OURS + BUILD);
    throw error;
  }
}

/** Deletes the caches of builds that no open page uses: each page holds a lock named after its own. */
async function tidy() {
  if (registration.installing || registration.waiting) return;
  const held = (await navigator.locks?.query())?.held ?? [];
  const used = new Set([OURS + BUILD, ...held.map((lock) => lock.name)]);
  const old = (await caches.keys()).filter((name) => name.startsWith(OURS) && !used.has(name));
  await Promise.all(old.map((name) => caches.delete(name)));
}

/** What a page may know: which build this is, and whether every file of it is here. */
async function status() {
  const kept = await (await caches.open(OURS + BUILD)).keys();
  const addresses = new Set(kept.map((request) => request.url));
  return { build: BUILD, complete: FILES.every(([path]) => addresses.has(address(path))) };
}

async function answer(path, request) {
  const build = PATHS.has(path) ? BUILD : path.split("/", 1)[0];
  const kept = await caches.match(address(path), { cacheName: OURS + build });
  return kept ?? fetch(request);
}

addEventListener("install", (event) => event.waitUntil(install()));

addEventListener("activate", (event) => event.waitUntil(Promise.all([clients.claim(), tidy()])));

addEventListener("fetch", (event) => {
  const { origin, pathname } = new URL(event.request.url);
  const file = origin + pathname;
  if (event.request.method !== "GET" || !file.startsWith(registration.scope)) return;
  const path = file.slice(registration.scope.length) || "index.html";
  if (PATHS.has(path) || OF_ANOTHER_BUILD.test(path)) event.respondWith(answer(path, event.request));
});

addEventListener("message", (event) => {
  if (event.data === "status") {
    const answered = status().then((found) => event.ports[0].postMessage(found));
    event.waitUntil(Promise.all([answered, tidy()]));
  } else if (event.data === "take over") {
    event.waitUntil(skipWaiting());
  }
});
