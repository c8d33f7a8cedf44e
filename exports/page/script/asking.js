// The question that is open: its form, what cannot be read of an answer, points to be marked by oneself.

/** The inputs of the question on the screen. @type {Inputs | null} */
let asked = null;

/**
 * @param {Table} table
 * @param {Question} question
 * @param {News | null} news
 */
function openPart(table, question, news) {
  if (question.points) return partSection(question, pointsForm(question.points));
  const error = news && (news.kind === "unread" || news.kind === "same") ? news : null;
  const name = `${table.code}/${table.parts.length}/${question.tries.length}`;
  const draft = draftOf(name) ?? (news?.kind === "elsewhere" ? textOf(table) : null);
  const inputs = inputsOf(question, draft ?? keptOf(question), error !== null);
  asked = inputs;
  const check = (/** @type {Event} */ event) => {
    event.preventDefault();
    const answer = inputs.read();
    keepDraft(name, answer);
    act("answer", { answer });
  };
  const { hint } = table.can;
  const form = el("form", { novalidate: true, onsubmit: check },
    error && errorBox(error, inputs),
    inputs.contents,
    question.rule && el("p", { class: "label" }, question.rule),
    givenPart(table),
    actions(
      el("button", { type: "submit", class: "first" }, "Check answer"),
      hint && button(hint.name, () => {
        keepDraft(name, inputs.read());
        act("hint");
      }, { id: "hint" })));
  form.addEventListener("input", () => keepDraft(name, inputs.read()));
  form.addEventListener("click", () => keepDraft(name, inputs.read()));
  return partSection(question, [triesOf(question), form]);
}

/** The stem's values once more, beside the question. @param {Table} table */
function givenPart(table) {
  if (table.given.length === 0) return null;
  return el("details", { class: "again" },
    el("summary", null, "Given values"),
    el("dl", { class: "rows" }, table.given.map((value) =>
      el("div", null, el("dt", null, value.label), el("dd", null, value.value)))));
}

/**
 * Why an answer was not taken, at the field.
 * @param {News} news
 * @param {Inputs} inputs
 */
function errorBox(news, inputs) {
  const at = news.field ?? 0;
  const take = (/** @type {string} */ text) => () => {
    inputs.fill(at, text);
    byId("error").remove();
    inputs.accept();
    inputs.focus(at);
  };
  const readings = (news.readings ?? []).map((reading) => button(reading.text, take(reading.text)));
  return el("div", { class: "error", id: "error" },
    el("p", null, news.text),
    readings.length > 0 && actions(readings));
}

/**
 * A written answer above the points of the key, which its author ticks.
 * @param {Points} points
 */
function pointsForm(points) {
  const boxes = points.points.map(() => el("input", { type: "checkbox" }));
  const count = el("p", null, points.counts[0] ?? "");
  const recount = () => {
    const words = points.counts[boxes.filter((box) => box.checked).length] ?? "";
    count.textContent = words;
    say(words);
  };
  const done = (/** @type {Event} */ event) => {
    event.preventDefault();
    act("points", { made: boxes.map((box) => box.checked) });
  };
  return [
    el("h3", null, "Your answer"),
    el("p", { class: "hint" }, points.written),
    el("h3", { id: "points" }, points.heading),
    el("form", { onsubmit: done, onchange: recount },
      el("fieldset", null, el("legend", null, points.legend),
        points.points.map((point, at) => el("label", { class: "pick" }, boxes[at], el("span", null, point)))),
      count,
      actions(el("button", { type: "submit", class: "first" }, "Keep these marks"))),
  ];
}

/**
 * What was put in and not checked when the page was closed.
 * @param {string} name
 * @returns {Answer | null}
 */
function draftOf(name) {
  try {
    const draft = JSON.parse(remembered("draft") ?? "null");
    return draft?.name === name ? draft.answer : null;
  } catch {
    return null;
  }
}

/**
 * What was written here before the question was tried in another window.
 * @param {Table} table
 * @returns {Answer | null}
 */
function textOf(table) {
  const draft = draftOf(`${table.code}/${table.parts.length}/0`);
  return draft && "text" in draft ? draft : null;
}

/**
 * @param {string} name
 * @param {Answer} answer
 */
function keepDraft(name, answer) {
  remember("draft", JSON.stringify({ name, answer }));
}

/**
 * What the second try begins with. @param {Question} question
 * @returns {Answer | null}
 */
function keptOf(question) {
  const { kept } = question;
  if (!kept) return null;
  if (!Array.isArray(kept)) return { truth: kept.truth, chosen: [] };
  return question.kind === "ordering" ? { order: kept } : { pairs: kept };
}
