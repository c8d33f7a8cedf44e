// What each kind of question is answered with: native fields, radios, boxes, selects, and the lines of an order.

/**
 * @typedef {object} Inputs
 * @property {Contents} contents
 * @property {() => Answer} read what was put in so far
 * @property {(field: number) => void} focus goes to an input
 * @property {(field: number, text: string) => void} fill puts a text into a field
 * @property {() => void} accept takes the marks of an error away
 */

/**
 * @param {Question} question
 * @param {Answer | null} given what is in the inputs at first
 * @param {boolean} isWrong whether what is in them could not be read
 * @returns {Inputs}
 */
function inputsOf(question, given, isWrong) {
  const makers = {
    number: fieldInput, step: fieldInput, text: fieldInput, written: fieldInput, range: rangeInputs,
    one: choiceInputs, error: choiceInputs, several: choiceInputs, truth: truthInputs,
    matching: pairInputs, grouping: pairInputs, ordering: orderInputs,
  };
  const make = makers[/** @type {keyof typeof makers} */ (question.kind)] ?? fieldInput;
  return make(question, /** @type {any} */ (given), isWrong);
}

/** What ties an input to the error above it. @param {boolean} isWrong */
function wrongly(isWrong) {
  return isWrong ? { "aria-invalid": "true", "aria-describedby": "error" } : {};
}

/** @param {Iterable<Element>} elements */
function accepted(elements) {
  for (const element of elements) {
    element.removeAttribute("aria-invalid");
    element.removeAttribute("aria-describedby");
  }
}

/** What a field for a number brings up on a phone. @param {Question} question */
function keypad(question) {
  const isNumber = question.kind === "number" || question.kind === "step" || question.kind === "range";
  return {
    inputmode: isNumber && !question.negative ? "decimal" : "text",
    autocomplete: "off", autocapitalize: "off", autocorrect: "off", spellcheck: "false", enterkeyhint: "done",
  };
}

/**
 * One field.
 * @param {Question} question
 * @param {{text: string} | null} given
 * @param {boolean} isWrong
 * @returns {Inputs}
 */
function fieldInput(question, given, isWrong) {
  const isNumber = question.kind === "number" || question.kind === "step";
  const attributes = { id: "answer", ...wrongly(isWrong) };
  const field = question.kind === "written"
    ? el("textarea", { ...attributes, rows: "6" })
    : el("input", { type: "text", class: isNumber ? "" : "words", ...keypad(question), ...attributes });
  field.value = given?.text ?? "";
  return {
    contents: el("div", { class: "field" },
      el("label", { for: "answer" }, question.label),
      isNumber ? el("div", { class: "amount" }, field, question.unit && el("span", { class: "unit", "aria-hidden": "true" }, question.unit)) : field),
    read: () => ({ text: field.value }),
    focus: () => focusOn(field),
    fill: (_, text) => { field.value = text; },
    accept: () => accepted([field]),
  };
}

/**
 * The two ends of a range.
 * @param {Question} question
 * @param {{ends: string[]} | null} given
 * @param {boolean} isWrong
 * @returns {Inputs}
 */
function rangeInputs(question, given, isWrong) {
  const fields = [0, 1].map((at) => {
    const field = el("input", { type: "text", id: `answer-${at}`, ...keypad(question), ...wrongly(isWrong) });
    field.value = given?.ends[at] ?? "";
    return field;
  });
  return {
    contents: el("fieldset", null,
      el("legend", null, question.label),
      el("div", { class: "beside" }, fields.map((field, at) =>
        el("div", { class: "field" },
          el("label", { for: `answer-${at}` }, question.fields[at]),
          el("div", { class: "amount" }, field, question.unit && el("span", { class: "unit", "aria-hidden": "true" }, question.unit)))))),
    read: () => ({ ends: fields.map((field) => field.value) }),
    focus: (at) => focusOn(fields[at] ?? /** @type {HTMLElement} */ (fields[0])),
    fill: (at, text) => { if (fields[at]) fields[at].value = text; },
    accept: () => accepted(fields),
  };
}

/**
 * Options as radios or check boxes; what is ruled out stays as text.
 * @param {Question} question
 * @param {string} type
 * @param {number[]} chosen
 * @param {string} legend
 * @param {boolean} isWrong
 */
function optionGroup(question, type, chosen, legend, isWrong) {
  const name = freshId("option");
  const boxes = question.options.map((option, at) => {
    const box = el("input", { type, name });
    box.checked = chosen.includes(at) && !option.ruled_out;
    return box;
  });
  const row = (/** @type {Option} */ option, /** @type {number} */ at) => {
    const words = option.words && el("span", { class: "why" }, option.words);
    const text = el("span", null, el("b", null, option.letter), " ", option.ruled_out ? el("s", null, option.text) : option.text, words);
    return option.ruled_out
      ? el("p", { class: "pick out" }, el("span", null), text)
      : el("label", { class: "pick" }, boxes[at], text);
  };
  const group = el("fieldset", wrongly(isWrong), el("legend", null, legend), question.options.map(row));
  const open = boxes.filter((_, at) => !question.options[at]?.ruled_out);
  return {
    group,
    chosen: () => boxes.flatMap((box, at) => (box.checked ? [at] : [])),
    focus: () => focusOn(open.find((box) => box.checked) ?? /** @type {HTMLElement} */ (open[0] ?? group)),
  };
}

/**
 * One option or several.
 * @param {Question} question
 * @param {{chosen: number[]} | null} given
 * @param {boolean} isWrong
 * @returns {Inputs}
 */
function choiceInputs(question, given, isWrong) {
  const type = question.kind === "several" ? "checkbox" : "radio";
  const options = optionGroup(question, type, given?.chosen ?? [], question.label, isWrong);
  return {
    contents: options.group,
    read: () => ({ chosen: options.chosen() }),
    focus: options.focus,
    fill: () => {},
    accept: () => accepted([options.group]),
  };
}

/**
 * A statement to judge, with its reason.
 * @param {Question} question
 * @param {{truth: boolean | null, chosen: number[]} | null} given
 * @param {boolean} isWrong
 * @returns {Inputs}
 */
function truthInputs(question, given, isWrong) {
  const kept = question.kept && !Array.isArray(question.kept) ? question.kept.truth : null;
  const name = freshId("truth");
  const truths = [true, false].map((truth) => {
    const box = el("input", { type: "radio", name });
    box.checked = given?.truth === truth;
    return box;
  });
  const judge = el("fieldset", wrongly(isWrong),
    el("legend", null, question.fields[0]),
    el("div", { class: "beside" }, ["True", "False"].map((word, at) =>
      el("label", { class: "pick" }, truths[at], el("span", null, word)))));
  const reasons = question.with_reason
    ? optionGroup(question, "radio", given?.chosen ?? [], question.fields[1] ?? "", isWrong)
    : null;
  const truth = () => {
    if (kept !== null) return kept;
    return truths[0]?.checked ? true : truths[1]?.checked ? false : null;
  };
  return {
    contents: [
      kept === null ? judge : el("p", null, `Your choice of ${kept} is kept. Choose the reason again.`),
      reasons?.group,
    ],
    read: () => ({ truth: truth(), chosen: reasons?.chosen() ?? [] }),
    focus: () => {
      if (truth() !== null && reasons) reasons.focus();
      else focusOn(/** @type {HTMLElement} */ (truths[0]));
    },
    fill: () => {},
    accept: () => accepted(reasons ? [judge, reasons.group] : [judge]),
  };
}

/**
 * Lines to be matched or sorted: a select under each line, or a row of radios for two or three groups.
 * @param {Question} question
 * @param {{pairs: (number | null)[]} | null} given
 * @param {boolean} isWrong
 * @returns {Inputs}
 */
function pairInputs(question, given, isWrong) {
  const kept = Array.isArray(question.kept) ? question.kept : [];
  const isShort = question.kind === "grouping" && question.options.length <= 3;
  const rows = question.lines.map((line, at) => {
    const place = kept[at] ?? null;
    if (place !== null) return keptRow(line, place, question);
    const chosen = given?.pairs[at] ?? null;
    return isShort ? radioRow(line, chosen, question, isWrong) : selectRow(line, chosen, question, isWrong);
  });
  const isOpen = (/** @type {Row} */ row) => row.read() === null;
  return {
    contents: [
      !isShort && el("ul", { class: "lettered", "aria-label": question.label }, question.options.map((option) =>
        el("li", null, el("b", null, option.letter), el("span", null, option.text)))),
      el("ul", { class: "pairs" }, rows.map((row) => row.item)),
    ],
    read: () => ({ pairs: rows.map((row) => row.read()) }),
    focus: (at) => (rows.find(isOpen) ?? rows[at] ?? rows[0])?.focus(),
    fill: () => {},
    accept: () => accepted(byId("main").querySelectorAll(".pairs [aria-invalid]")),
  };
}

/** @param {Line} line */
function numbered(line) {
  return [el("b", null, `${line.number}`), ` ${line.text}`];
}

/** @typedef {{item: HTMLElement, read: () => number | null, focus: () => void}} Row */

/**
 * @param {Line} line
 * @param {number} place
 * @param {Question} question
 * @returns {Row}
 */
function keptRow(line, place, question) {
  const words = line.words || `${question.options[place]?.letter}: ${question.options[place]?.text}`;
  return {
    item: el("li", null, el("p", { class: "kept" }, numbered(line)), el("p", { class: "label" }, words)),
    read: () => place,
    focus: () => {},
  };
}

/**
 * @param {Line} line
 * @param {number | null} chosen
 * @param {Question} question
 * @param {boolean} isWrong
 * @returns {Row}
 */
function selectRow(line, chosen, question, isWrong) {
  const id = freshId("line");
  const select = el("select", { id, ...wrongly(isWrong && chosen === null) },
    el("option", { value: "" }, "Choose a letter"),
    question.options.map((option, at) => el("option", { value: String(at) }, `${option.letter}: ${option.text}`)));
  select.value = chosen === null ? "" : String(chosen);
  return {
    item: el("li", null, el("label", { for: id }, numbered(line)), line.words && el("p", { class: "label" }, line.words), select),
    read: () => (select.value === "" ? null : Number(select.value)),
    focus: () => focusOn(select),
  };
}

/**
 * @param {Line} line
 * @param {number | null} chosen
 * @param {Question} question
 * @param {boolean} isWrong
 * @returns {Row}
 */
function radioRow(line, chosen, question, isWrong) {
  const name = freshId("group");
  const boxes = question.options.map((_, at) => {
    const box = el("input", { type: "radio", name });
    box.checked = at === chosen;
    return box;
  });
  const group = el("fieldset", wrongly(isWrong && chosen === null),
    el("legend", null, numbered(line)),
    line.words && el("p", { class: "label" }, line.words),
    el("div", { class: "beside" }, question.options.map((option, at) =>
      el("label", { class: "pick" }, boxes[at], el("span", null, option.text)))));
  const read = () => {
    const at = boxes.findIndex((box) => box.checked);
    return at < 0 ? null : at;
  };
  return { item: el("li", null, group), read, focus: () => focusOn(/** @type {HTMLElement} */ (boxes[0])) };
}

/**
 * Lines to be put in order: a press gives a line the lowest free number, a second one takes it away.
 * Nothing moves.
 * @param {Question} question
 * @param {{order: (number | null)[]} | null} given
 * @param {boolean} isWrong
 * @returns {Inputs}
 */
function orderInputs(question, given, isWrong) {
  /** The place of the line that has each number. @type {(number | null)[]} */
  const order = question.options.map((_, at) => given?.order[at] ?? null);
  const how = freshId("how");
  const next = el("p", { class: "label" });
  const lines = question.options.map((line, place) => {
    const cavity = el("span", { class: "cavity" });
    return { line, cavity, button: el("button", { type: "button", class: "line", onclick: () => press(place), "aria-describedby": isWrong ? "error" : how }, cavity, el("span", null, el("b", null, line.letter), " ", line.text)) };
  });
  const free = () => order.indexOf(null) + 1;
  const comes = () => (free() === 0 ? "Every line has a number." : `The next line you press gets number ${free()}.`);
  const show = () => {
    lines.forEach(({ cavity, button: line }, place) => {
      const number = order.indexOf(place) + 1;
      line.classList.toggle("placed", number > 0);
      const unseen = (/** @type {string} */ words) => el("span", { class: "unseen" }, words);
      if (number > 0) cavity.replaceChildren(unseen("Number "), String(number), unseen(": "));
      else cavity.replaceChildren(unseen("No number yet: "));
    });
    next.textContent = comes();
  };
  const press = (/** @type {number} */ place) => {
    const at = order.indexOf(place);
    const number = at < 0 ? order.indexOf(null) : at;
    if (number < 0) return;
    order[number] = at < 0 ? place : null;
    show();
    const { letter, text } = /** @type {Option} */ (lines[place]?.line);
    const line = `${letter}, ${shortened(text, 80)}`;
    say(`${at < 0 ? `Number ${number + 1}` : "No number any more"}: ${line} ${comes()}`);
  };
  const clear = () => {
    order.fill(null);
    show();
    say("No line has a number any more. The next line you press gets number 1.");
  };
  show();
  return {
    contents: [
      el("p", { id: how }, "Press the lines in the order in which they come. Press a line again to remove its number."),
      el("ol", { class: "lines" }, lines.map((line) => el("li", null, line.button))),
      next,
      el("p", null, button("Clear the numbers", clear, { class: "plain" })),
    ],
    read: () => ({ order: [...order] }),
    focus: () => {
      const open = lines.find((_, place) => !order.includes(place)) ?? lines[0];
      if (open) focusOn(open.button);
    },
    fill: () => {},
    accept: () => {},
  };
}
