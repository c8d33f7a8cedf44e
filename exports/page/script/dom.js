// Elements, text that is only ever text, and what a screen reader is told.

/**
 * Makes an element. Text becomes text nodes, so that nothing in a bank can be markup; an attribute that
 * is `false` or missing is left out, and `on…` is a listener.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} name
 * @param {Record<string, unknown> | null} attributes
 * @param {...Contents} contents
 * @returns {HTMLElementTagNameMap[T]}
 */
function el(name, attributes, ...contents) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes ?? {})) {
    if (value === false || value === null || value === undefined) continue;
    if (key.startsWith("on")) element.addEventListener(key.slice(2), /** @type {EventListener} */ (value));
    else element.setAttribute(key, value === true ? "" : String(value));
  }
  add(element, contents);
  return element;
}

/**
 * Adds contents to an element.
 * @param {Element} parent
 * @param {...Contents} contents
 */
function add(parent, ...contents) {
  for (const content of contents) {
    if (Array.isArray(content)) add(parent, ...content);
    else if (content) parent.append(content);
  }
}

/**
 * Markup that the engine itself made (formulas, drawings, plots), as nodes. Nothing else comes here.
 * @param {string} markup
 * @returns {DocumentFragment}
 */
function made(markup) {
  const template = document.createElement("template");
  template.innerHTML = markup;
  for (const math of template.content.querySelectorAll("math")) {
    if (!math.querySelector("mfrac, msqrt")) asText(math);
  }
  return template.content;
}

/**
 * Formulas do not break over lines, so one in a line is put as text, and one wider than the screen too.
 * @param {Element} math
 */
function asText(math) {
  math.parentElement?.classList.add("wraps");
  math.replaceWith(math.getAttribute("alttext") ?? math.textContent ?? "");
}

/**
 * Puts formulas that do not fit as text; what still has to be scrolled sideways, and only that, is a stop
 * of the Tab key.
 * @param {Element} within
 */
function fitFormulas(within) {
  const isWide = (/** @type {Element} */ math) => {
    const room = math.closest(".equation")?.getBoundingClientRect();
    return room !== undefined && math.getBoundingClientRect().right > room.right;
  };
  [...within.querySelectorAll("math")].filter(isWide).forEach(asText);
  for (const box of within.querySelectorAll(".equation, .wide")) {
    if (box.scrollWidth > box.clientWidth) box.setAttribute("tabindex", "0");
    else box.removeAttribute("tabindex");
  }
}

/**
 * Paragraphs.
 * @param {string[]} sentences
 * @returns {HTMLElement[]}
 */
function paragraphs(sentences) {
  return sentences.map((sentence) => el("p", null, sentence));
}

/**
 * A button.
 * @param {string} words
 * @param {(event: Event) => void} press
 * @param {Record<string, unknown>} [attributes]
 */
function button(words, press, attributes) {
  return el("button", { type: "button", onclick: press, ...attributes }, words);
}

/**
 * A row of buttons and links.
 * @param {...Contents} contents
 */
function actions(...contents) {
  return el("div", { class: "actions" }, ...contents);
}

/** Numbers for ids, so that none is on the page twice. */
let ids = 0;

/** @param {string} name */
function freshId(name) {
  ids += 1;
  return `${name}-${ids}`;
}

/**
 * Moves the focus to something that is read and not pressed, and brings it into view.
 * @param {HTMLElement} element
 * @param {ScrollIntoViewOptions | null} [view] how it is brought into view; `null` leaves that as it is
 */
function focusOn(element, view = { block: "nearest" }) {
  if (!element.hasAttribute("tabindex") && !element.matches("a, button, input, select, textarea, summary")) {
    element.tabIndex = -1;
  }
  element.focus({ preventScroll: true });
  if (view) element.scrollIntoView(view);
}

/**
 * Says something to a screen reader while the focus stays where it is.
 * @param {string} words
 */
function say(words) {
  const status = byId("status");
  // The same words twice are news too.
  status.textContent = status.textContent === words ? `${words}\u00a0` : words;
}

/** @param {string} id */
function byId(id) {
  const element = document.getElementById(id);
  if (!element) throw new Error(`the page has no element ${id}`);
  return element;
}

/**
 * A text cut where it is long.
 * @param {string} text
 * @param {number} [most]
 */
function shortened(text, most = 40) {
  const letters = [...text.trim()];
  return letters.length > most ? `${letters.slice(0, most).join("").trimEnd()}…` : text.trim();
}

/**
 * A word with its number: `one answer`, `12 answers`.
 * @param {number} count
 * @param {string} one
 * @param {string} [many]
 */
function counted(count, one, many = `${one}s`) {
  return `${inWords(count)} ${count === 1 ? one : many}`;
}

/**
 * Small numbers in words, as in any prose.
 * @param {number} count
 */
function inWords(count) {
  const words = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];
  return words[count] ?? String(count);
}

/**
 * A complaint of the engine, which is short as in a list, as a sentence.
 * @param {string} text
 */
function asSentence(text) {
  const said = capital(text.replace(/`([^`]*)`/g, "“$1”").replace(/; (\w)/g, (_, letter) => `. ${letter.toUpperCase()}`));
  return /[.?!]$/.test(said) ? said : `${said}.`;
}

/** @param {string} text */
function capital(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
