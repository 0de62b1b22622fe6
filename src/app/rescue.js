// Hands out everything that is kept, for when the program itself cannot go on. It only reads. The names are those of
// src/app/src/storage, the file is what the shelf imports.

/** The value of a request to the database. */
function value(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/** All keys with their values in a store of the database. */
async function entries(transaction, name) {
  const store = transaction.objectStore(name);
  const [keys, values] = await Promise.all([value(store.getAllKeys()), value(store.getAll())]);
  return keys.map((key, position) => [key, values[position]]);
}

async function inDatabase() {
  const opening = indexedDB.open("glasswick");
  // A database that was never made is not made here either.
  opening.onupgradeneeded = () => opening.transaction.abort();
  const database = await value(opening);
  const transaction = database.transaction(["texts", "blobs", "aside"]);
  const [texts, blobs, aside] = await Promise.all(
    ["texts", "blobs", "aside"].map((name) => entries(transaction, name)),
  );
  return { texts: texts.map(([, text]) => text), blobs: Object.fromEntries(blobs), aside: aside.map(([, row]) => row?.text) };
}

function inLocalStorage() {
  const found = { texts: [], blobs: {}, aside: [] };
  for (const [key, text] of Object.entries(localStorage)) {
    if (key.startsWith("glasswick/sheet/")) {
      try {
        const kept = JSON.parse(text);
        found.texts.push(kept.text);
        Object.assign(found.blobs, kept.texts);
      } catch {
        found.aside.push(text);
      }
    } else if (key.startsWith("glasswick/aside/") || key === "glasswick/open") {
      found.aside.push(text);
    }
  }
  return found;
}

/** A run sheet with its measured points put back in. */
function whole(text, blobs) {
  const sheet = JSON.parse(text);
  for (const card of sheet.cards ?? []) {
    for (const { points } of Object.values(card.inputs ?? {})) {
      if (points?.text_sha256 in blobs) {
        points.text = blobs[points.text_sha256];
        delete points.text_sha256;
      }
    }
  }
  return sheet;
}

async function collect() {
  const found = [];
  for (const read of [inDatabase, inLocalStorage]) {
    try {
      found.push(await read());
    } catch {
      // What the browser does not give cannot be handed out; the other place may still have it.
    }
  }
  const file = { format: "glasswick-shelf", format_version: "1.0", sheets: [], unreadable: [] };
  const seen = new Set();
  for (const { texts, blobs, aside } of found) {
    for (const text of texts.filter((text) => !seen.has(text))) {
      seen.add(text);
      try {
        file.sheets.push(whole(text, blobs));
      } catch {
        file.unreadable.push(text);
      }
    }
    file.unreadable.push(...aside);
  }
  return file;
}

const file = await collect();
const count = file.sheets.length;
document.getElementById("found").textContent =
  `${count === 1 ? "1 run sheet was" : `${count} run sheets were`} found` +
  (file.unreadable.length ? `, and ${file.unreadable.length} texts that cannot be read; they are in the file as they are.` : ".");
const link = document.getElementById("export");
link.href = URL.createObjectURL(new Blob([JSON.stringify(file, null, 2)], { type: "application/json" }));
link.hidden = false;
