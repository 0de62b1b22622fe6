// The page's side of its offline copy: registers the service worker, says what is so, updates and repairs.
//
// In JavaScript since the browser's interface here is nothing but promises and events, of which each would cost
// kilobytes in the compiled program; and so that the copy can be repaired where that program does not start. It is
// loaded once the page is usable. What is so stands on the page's root element (data-offline, data-build,
// data-update); the event "glasswick-offline" says that it changed. src/offline.rs reads it there.

const SCOPE = new URL("./", document.baseURI).href;
/** This script stands in its build's folder. */
const BUILD = new URL(".", import.meta.url).pathname.split("/").at(-2);
/** As in sw.js. */
const OURS = `glasswick ${SCOPE} `;

const workers = navigator.serviceWorker;
let registration;
let leaving = false;

function tell(state, update = false) {
  const { dataset } = document.documentElement;
  dataset.offline = state;
  dataset.build = BUILD;
  dataset.update = update ? "ready" : "none";
  document.dispatchEvent(new Event("glasswick-offline"));
}

function ask(worker, question) {
  return new Promise((answered) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => {
      port1.close();
      answered(data);
    };
    worker.postMessage(question, [port2]);
  });
}

/** Finds out what is so and tells it. */
async function look() {
  const { active, installing, waiting } = registration;
  if (!active) return tell(installing || waiting ? "making" : "failed");
  const { build, complete } = await ask(active, "status");
  // Where another tab has updated already, loading the page again is all that is left to do.
  tell(complete ? "works" : "incomplete", Boolean(registration.waiting) || build !== BUILD);
}

/** Goes with a registration from now on. */
function follow(found) {
  if (found === registration) return;
  registration = found;
  const watch = (worker) => worker?.addEventListener("statechange", look);
  found.addEventListener("updatefound", () => watch(found.installing));
  watch(found.installing);
}

/** Our registration, where there is one. A page in a folder above may have a worker that answers here too. */
async function registered() {
  const found = await workers?.getRegistration(SCOPE);
  return found?.scope === SCOPE ? found : undefined;
}

/** Says what is so, then looks for a newer build; or registers the worker, which makes the copy. */
async function check() {
  try {
    const found = await registered();
    follow(found ?? (await workers.register(new URL("sw.js", SCOPE), { scope: SCOPE, updateViaCache: "none" })));
    await look();
    await found?.update();
  } catch (error) {
    // Without the network there is nothing newer; only a page without any copy has something to say.
    if (!registration?.active) tell(error.name === "SecurityError" ? "refused" : "failed");
  }
}

/** Goes over to the newer build. The page has saved before it asks for this. */
function update() {
  if (leaving) return;
  leaving = true;
  if (!registration?.waiting) return location.reload();
  workers.addEventListener("controllerchange", () => location.reload(), { once: true });
  registration.waiting.postMessage("take over");
}

/** Makes the copy anew. Saved data is not touched. Without the server the copy is all there is: then this fails. */
export async function repair() {
  const server = await fetch(new URL("sw.js", SCOPE), { cache: "no-store" });
  if (!server.ok) throw new Error(server.statusText);
  await (await registered())?.unregister();
  const copies = (await globalThis.caches?.keys()) ?? [];
  await Promise.all(copies.filter((name) => name.startsWith(OURS)).map((name) => caches.delete(name)));
  location.reload();
}

export function start() {
  document.addEventListener("glasswick-repair", () => repair().catch(() => tell("unreachable")));
  if (!workers) return tell("unsupported");
  // Held as long as this page is open: keeps the files of its build in place.
  navigator.locks?.request(OURS + BUILD, { mode: "shared" }, () => new Promise(() => {})).catch(() => {});
  document.addEventListener("glasswick-update", update);
  workers.addEventListener("controllerchange", () => !leaving && registration && look());
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && check());
  addEventListener("online", check);
  setInterval(check, 60 * 60 * 1000);
  check();
}
