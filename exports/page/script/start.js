// The start of the room Practise: what is due, the exam, the progress, the topics.

/** @returns {View} */
function startScreen() {
  const today = /** @type {Today} */ (ask("today"));
  const held = heldContents();
  rehearse("practise");
  whenIdle(offered);
  const isSmall = held.count.topics === 1;
  const side = [
    !isSmall && examPart(today),
    !today.first && !isSmall && progressPart(today),
  ];
  return {
    title: "Practise",
    contents: [
      el("h1", null, "Practise"),
      el("div", { class: today.first ? "" : "duo" },
        el("div", null, leadPart(today), !today.first && !isSmall && todayPart(today)),
        el("div", null, side)),
      !isSmall && choosePart(held),
      el("h2", null, "Your record"),
      el("p", null, keptSentence(today)),
      el("p", null, el("a", { href: "#/record" }, "Save, load or delete the record")),
    ],
  };
}

/** @type {Held | null} */
let heldOnce = null;

/** What the page holds. @returns {Held} */
function heldContents() {
  heldOnce ??= /** @type {Held} */ (ask("contents"));
  return heldOnce;
}

/** @param {Today} today */
function leadPart(today) {
  const [first, ...rest] = [...today.sentences, ...(today.left ? [today.left.sentence] : [])];
  return [
    el("p", { class: "lead" }, first),
    paragraphs(rest),
    today.first && el("p", null, "A new kind of calculation begins with a worked example, of which less is shown each time, until you solve the whole problem alone. You have two tries at each question, and hints if you want them."),
    actions(button(today.start, () => practise({}), { class: "first" })),
  ];
}

/** @param {Today} today */
function todayPart(today) {
  if (today.list.length === 0) return null;
  const row = (/** @type {Today["list"][number]} */ entry) =>
    el("li", null, el("span", null, entry.title), el("span", { class: "label" }, entry.words));
  return [el("h2", null, "Today"), el("ol", { class: "rows" }, today.list.map(row))];
}

/** @param {Today} today */
function examPart(today) {
  const sentences = paragraphs(today.exam?.sentences ?? []);
  const field = el("input", { type: "date", id: "exam", value: today.exam?.date ?? "", min: dayText(Date.now()) });
  const set = (/** @type {Event} */ event) => {
    event.preventDefault();
    changeExam(field.value);
  };
  const form = el("form", { class: "inline", onsubmit: set },
    el("div", { class: "field" }, el("label", { for: "exam" }, "Date of your exam, if you have one"), field),
    el("button", { type: "submit" }, "Set the date"),
    today.exam && button("Remove the date", () => changeExam("")));
  const folded = today.exam && !today.exam.past;
  return [
    el("h2", null, "Exam"),
    sentences,
    folded ? el("details", null, el("summary", null, "Change the date"), form) : form,
  ];
}

/** @param {string} date */
function changeExam(date) {
  remember("exam", date);
  const today = begin();
  showScreen(false);
  say(today.exam?.sentences[0] ?? "The page plans for no exam.");
}

/** @param {Today} today */
function progressPart(today) {
  const { ready, shaky, not_yet: notYet, sentence } = today.ready;
  const words = [
    ...Array(ready).fill("ready"),
    ...Array(shaky).fill("shaky"),
    ...Array(notYet).fill("not-yet"),
  ];
  return [
    el("h2", null, "Progress"),
    el("p", null, sentence),
    tray(words),
    el("p", null, el("a", { href: "#/progress" }, "Show the progress")),
  ];
}

/** @param {Held} held */
function choosePart(held) {
  const topic = topicSelect(held);
  const code = el("input", { type: "text", id: "code", autocapitalize: "off", autocomplete: "off", spellcheck: "false" });
  const practiseTopic = (/** @type {Event} */ event) => {
    event.preventDefault();
    practise({ topic: topic.value });
  };
  const openCode = (/** @type {Event} */ event) => {
    event.preventDefault();
    go(`problem/${code.value.trim()}`);
  };
  return [
    el("h2", null, "Choose for yourself"),
    el("div", { class: "two" },
      el("form", { class: "inline", onsubmit: practiseTopic },
        el("div", { class: "field" }, el("label", { for: "topic" }, "Topic"), topic),
        el("button", { type: "submit" }, "Practise this topic")),
      el("form", { class: "inline", onsubmit: openCode },
        el("div", { class: "field" }, el("label", { for: "code" }, "Code of a problem"), code),
        el("button", { type: "submit" }, "Open the problem"))),
  ];
}

/** @param {Held} held */
function topicSelect(held) {
  const option = (/** @type {TopicEntry} */ topic) => el("option", { value: topic.id }, topic.title);
  const group = (/** @type {ObjectiveEntry} */ objective) =>
    el("optgroup", { label: objective.title }, objective.topics.map(option));
  return el("select", { id: "topic" }, held.objectives.map(group));
}

/** @param {Today} today */
function keptSentence(today) {
  if (record.trouble) {
    return `The page holds ${counted(today.answers, "answer")} until you close it. Nothing is sent.`;
  }
  if (today.answers === 0) return "Your answers stay in this browser, on this device. Nothing is sent.";
  const all = ["", "Your one answer is", "Both your answers are"][today.answers] ?? `All ${inWords(today.answers)} answers are`;
  return `${all} kept in this browser, on this device. Nothing is sent.`;
}

/** A moment as a date for a field. @param {number} moment */
function dayText(moment) {
  return new Date(moment).toISOString().slice(0, 10);
}
