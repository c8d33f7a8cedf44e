// The room Print: sheets as the program itself makes them.

/** What was chosen last, so that it is there again when the room is entered again. */
const wishes = {
  /** @type {Set<string>} */
  objectives: new Set(),
  /** @type {Set<string>} */
  templates: new Set(),
  count: "6",
  seed: String(new Date().getFullYear()),
  contents: new Set(["questions"]),
  paper: "a4",
  size: "normal",
};

/** @returns {View} */
function printScreen() {
  const held = heldContents();
  const place = el("div", { id: "sheet" });
  const error = el("div", { role: "alert" });
  const make = (/** @type {Event} */ event) => {
    event.preventDefault();
    error.replaceChildren();
    try {
      const sheet = makeSheet();
      place.replaceChildren(...sheetPart(sheet));
      focusOn(/** @type {HTMLElement} */ (place.querySelector("h2")), { block: "start" });
    } catch (problem) {
      if (!(problem instanceof Refused)) throw problem;
      place.replaceChildren();
      error.replaceChildren(el("p", { class: "error" }, problem.message));
    }
  };
  return {
    title: "Print",
    contents: [
      el("h1", null, "Print"),
      el("p", { class: "lead" }, "Sheets with problems, key and worked solutions, as the program prints them."),
      el("form", { novalidate: true, onsubmit: make },
        el("fieldset", null, el("legend", null, "Objectives; all of them when none is chosen"),
          held.objectives.map((one) => tick(one.title, wishes.objectives, one.id))),
        templatesPart(held),
        el("div", { class: "two" },
          wishField("Number of problems", "count", "numeric"),
          wishField("Seed: the same seed gives the same sheet", "seed", "numeric")),
        el("fieldset", null, el("legend", null, "What is on the sheet"),
          tick("Questions", wishes.contents, "questions"),
          tick("Key", wishes.contents, "key"),
          tick("Worked solutions", wishes.contents, "solutions")),
        el("div", { class: "two" },
          wishSelect("Paper", "paper", [["a4", "A4"], ["letter", "US Letter"]]),
          wishSelect("Size of print", "size", [["normal", "normal"], ["clear", "clear"], ["large", "large"], ["largest", "largest"]])),
        error,
        actions(el("button", { type: "submit", class: "first" }, "Make the sheet"))),
      place,
    ],
  };
}

/** @returns {SheetMade} */
function makeSheet() {
  const whole = (/** @type {string} */ text, /** @type {string} */ what) => {
    if (text.trim() === "") return null;
    if (!/^\d{1,15}$/.test(text.trim())) {
      throw new Refused({ kind: "request", text: `The ${what} has to be a whole number, such as 6; you wrote ${shortened(text)}.` });
    }
    return Number(text);
  };
  return ask("sheet", {
    objectives: wishes.templates.size > 0 ? [] : [...wishes.objectives],
    topics: [],
    templates: [...wishes.templates],
    codes: null,
    count: whole(wishes.count, "number of problems"),
    seed: whole(wishes.seed, "seed"),
    questions: wishes.contents.has("questions"),
    key: wishes.contents.has("key"),
    solutions: wishes.contents.has("solutions"),
    paper: wishes.paper,
    size: wishes.size,
  });
}

/**
 * @param {SheetMade} sheet
 * @param {string} [again] the name of the way back to what it was made of
 */
function sheetPart(sheet, again = "Change the choices") {
  const frame = el("iframe", { title: `Sheet: ${sheet.title}`, sandbox: "allow-same-origin allow-modals", srcdoc: sheet.html });
  const print = () => {
    frame.contentWindow?.focus();
    frame.contentWindow?.print();
  };
  const change = () => {
    const first = byId("main").querySelector("form input");
    if (first instanceof HTMLElement) focusOn(first, { block: "center" });
  };
  return [
    el("h2", null, "The sheet"),
    el("p", null, sheet.sentence),
    sheet.note && el("p", null, sheet.note),
    actions(
      button("Print the sheet", print),
      button("Save as a file", () => saveFile(sheet.name, sheet.html, "text/html")),
      button(again, change, { class: "plain" })),
    frame,
  ].filter((node) => node instanceof Node);
}

/** Single kinds of problem, folded. @param {Held} held */
function templatesPart(held) {
  const topics = held.objectives.flatMap((objective) => objective.topics);
  return el("details", { open: wishes.templates.size > 0 },
    el("summary", null, "Choose single kinds of problem"),
    el("p", null, "When any of these is chosen, the objectives above are not used."),
    topics.map((topic) =>
      el("fieldset", null, el("legend", null, topic.title),
        topic.templates.map((template) => tick(template.title, wishes.templates, template.id)))));
}

/**
 * @param {string} words
 * @param {Set<string>} chosen
 * @param {string} value
 */
function tick(words, chosen, value) {
  const box = el("input", { type: "checkbox" });
  box.checked = chosen.has(value);
  box.addEventListener("change", () => {
    if (box.checked) chosen.add(value);
    else chosen.delete(value);
  });
  return el("label", { class: "pick" }, box, el("span", null, words));
}

/**
 * @param {string} words
 * @param {"count" | "seed"} name
 * @param {string} inputmode
 */
function wishField(words, name, inputmode) {
  const field = el("input", { type: "text", id: name, inputmode, autocomplete: "off" });
  field.value = wishes[name];
  field.addEventListener("input", () => { wishes[name] = field.value; });
  return el("div", { class: "field" }, el("label", { for: name }, words), field);
}

/**
 * @param {string} words
 * @param {"paper" | "size"} name
 * @param {[string, string][]} options
 */
function wishSelect(words, name, options) {
  const select = el("select", { id: name }, options.map(([value, text]) => el("option", { value }, text)));
  select.value = wishes[name];
  select.addEventListener("change", () => { wishes[name] = select.value; });
  return el("div", { class: "field" }, el("label", { for: name }, words), select);
}
