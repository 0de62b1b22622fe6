// Starts the page: loads the compiled module named on this script's own tag, or says why that failed.
// The Content-Security-Policy allows no inline script, so the two addresses come as data attributes.

const { js, wasm } = document.querySelector("script[data-wasm]").dataset;

/** What went wrong, and what the person can do about it. */
function reason(error) {
  if (typeof WebAssembly !== "object") {
    return [
      "This browser does not run WebAssembly, or a setting blocks it.",
      "Open this page in a current Firefox, Chrome, Edge or Safari, or allow WebAssembly for it.",
    ];
  }
  if (error instanceof WebAssembly.CompileError || error instanceof WebAssembly.LinkError) {
    return [
      "This browser cannot read the page's program.",
      "Bring the browser up to date, or open this page in a current Firefox, Chrome, Edge or Safari.",
    ];
  }
  if (error instanceof WebAssembly.RuntimeError) {
    return ["The page stopped while starting.", "What was saved before is still in this browser. Load the page again."];
  }
  return [
    "A part of the page could not be loaded.",
    "Check the connection, or that the program which serves this page still runs, then load the page again.",
  ];
}

function paragraph(text) {
  const element = document.createElement("p");
  element.textContent = text;
  return element;
}

function button(text, action) {
  const element = document.createElement("button");
  element.type = "button";
  element.textContent = text;
  element.addEventListener("click", action);
  return element;
}

/** Where a build does not start, its offline copy would keep bringing it back: that can be made anew from here. */
async function repair() {
  try {
    await (await import("./offline.js")).repair();
  } catch {
    document.querySelector("[role=alert]").append(paragraph("The server cannot be reached: try again with a network."));
  }
}

function explain(error) {
  console.error(error);
  const notice = document.createElement("div");
  notice.setAttribute("role", "alert");
  notice.append(
    ...reason(error).map(paragraph),
    button("Load again", () => location.reload()),
    button("Repair the offline copy", repair),
    paragraph("Repairing fetches the page anew and keeps what was saved."),
  );
  const app = document.getElementById("app");
  app.textContent = "";
  app.append(notice);
}

async function start() {
  // `import` reads an address relative to this script, `fetch` relative to the page: resolve both against the page.
  const { default: init } = await import(new URL(js, document.baseURI).href);
  await init({ module_or_path: new URL(wasm, document.baseURI).href });
}

/** What the page can do without comes once it has been drawn and the browser has a moment. */
function afterwards() {
  const soon = window.requestIdleCallback ?? setTimeout;
  soon(async () => (await import("./offline.js")).start());
}

start().then(afterwards, explain);
