// Runs a Monte Carlo run beside the page, on the same compiled module, so that the page stays usable meanwhile.
// It lies beside the program's folder and takes one request; whoever started it ends it.

import init, { run_trials } from "./program/glasswick.js";

addEventListener("message", async ({ data }) => {
  try {
    await init();
    await run_trials(data, (report) => postMessage(report));
  } catch (error) {
    console.error(error);
    postMessage(JSON.stringify({ stopped: "The run could not go on. Load the page again, then run it again." }));
  }
});
