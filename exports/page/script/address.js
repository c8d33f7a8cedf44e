// Every screen has an address after the `#`, and every visit to one its place in the history.

/** The screens by the first word of their address; each gets the rest. @type {Record<string, (rest: string) => View>} */
const SCREENS = {
  "": startScreen,
  problem: problemScreen,
  progress: progressScreen,
  record: recordScreen,
  print: printScreen,
  work: workScreen,
  about: aboutScreen,
};

const visit = {
  /** The address that is shown. */
  address: "",
  /** The number of this entry of the history. */
  entry: 0,
  entries: 0,
  /** Whether a screen was shown before: only then is the focus moved. */
  begun: false,
  /** How far each entry was scrolled. @type {Map<number, number>} */
  scrolled: new Map(),
};

/** The address as a path: `problem/base-one-drug.aaaa-aaaaa`. */
function path() {
  const hash = location.hash;
  return hash.startsWith("#/") ? decoded(hash.slice(2)) : "";
}

/** @param {string} text */
function decoded(text) {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

/**
 * Goes to a screen.
 * @param {string} to
 */
function go(to) {
  if (path() === to && location.hash) showScreen(true);
  else location.hash = `#/${to}`;
}

/**
 * Gives the screen that is shown another address, as a new entry of the history, without showing it again.
 * @param {string} to
 */
function rename(to) {
  if (path() === to) return;
  visit.address = to;
  location.hash = `#/${to}`;
}

/** Shows screens as the address changes, from now on. */
function followAddress() {
  history.scrollRestoration = "manual";
  addEventListener("scroll", () => visit.scrolled.set(visit.entry, scrollY), { passive: true });
  addEventListener("hashchange", () => {
    const before = visit.entry;
    const known = enterEntry();
    if (location.hash !== "" && !location.hash.startsWith("#/")) return;
    if (path() === visit.address && (known === null || before === visit.entry)) return;
    showScreen(known === null);
    if (known !== null) scrollTo(0, known);
  });
  enterEntry();
  showScreen(true);
  visit.begun = true;
}

/** Numbers this entry of the history; returns how far a known one was scrolled. */
function enterEntry() {
  const known = history.state?.entry;
  visit.entry = known ?? visit.entries;
  visit.entries = Math.max(visit.entries, visit.entry) + 1;
  if (known === undefined) history.replaceState({ entry: visit.entry }, "");
  return visit.scrolled.get(visit.entry) ?? null;
}

/**
 * Shows the screen of the address.
 * @param {boolean} fresh whether it is seen from its top
 */
function showScreen(fresh) {
  const address = path();
  const [name = "", ...rest] = address.split(/[/?]/);
  const screen = SCREENS[name] ?? startScreen;
  visit.address = address;
  const room = name === "print" || name === "work" ? name : "";
  for (const link of document.querySelectorAll(".rooms a")) {
    if (link.getAttribute("href") === `#/${room}`) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  draw(screen(rest.join("/")), fresh);
}

/**
 * Puts a screen in place of the one before.
 * @param {View} screen
 * @param {boolean} fresh
 */
function draw(screen, fresh) {
  const main = byId("main");
  document.title = screen.title === aboutPage().title ? screen.title : `${screen.title}: ${aboutPage().title}`;
  main.replaceChildren();
  add(main, troubleBox(), screen.contents);
  byId("caution").hidden = main.querySelector(".caution") !== null;
  fitFormulas(main);
  if (fresh) scrollTo(0, 0);
  const heading = main.querySelector("h1");
  if (screen.focus) screen.focus();
  else if (heading && visit.begun) focusOn(heading, null);
}
