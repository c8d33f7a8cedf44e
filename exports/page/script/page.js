// The page begins here.

/** How long nothing is said of loading. */
const PATIENCE = 300;

async function run() {
  const main = byId("main");
  document.querySelector(".skip")?.addEventListener("click", (event) => {
    event.preventDefault();
    main.focus();
  });
  const waiting = setTimeout(() => main.replaceChildren(el("p", { role: "status" }, "Loading the problems …")), PATIENCE);
  try {
    await startEngine();
    openRecord();
    begin();
  } catch (problem) {
    main.replaceChildren(cannotRun(problem));
    return;
  } finally {
    clearTimeout(waiting);
  }
  addEventListener("storage", (event) => changedElsewhere(event.key));
  addEventListener("resize", () => fitFormulas(main));
  addEventListener("beforeunload", (event) => {
    if (record.unsaved) event.preventDefault();
  });
  followAddress();
  if (aboutPage().home) keepOnDevice();
}

/** Has the browser keep the page on the device, when it comes from a web space. */
function keepOnDevice() {
  if (!location.protocol.startsWith("http") || !("serviceWorker" in navigator)) return;
  // Without it, the page works as long as there is a network.
  navigator.serviceWorker.register("worker.js").catch(() => undefined);
}

/** @param {unknown} problem */
function cannotRun(problem) {
  const why = problem instanceof Error ? problem.message : String(problem);
  return el("div", { class: "box" },
    el("h1", null, "This page cannot run here"),
    el("p", null, "This browser cannot run the page, or the file is damaged. Use a current browser, get the file again, or ask for the sheets on paper."),
    el("p", { class: "label" }, shortened(why, 200)));
}

addEventListener("DOMContentLoaded", run);
