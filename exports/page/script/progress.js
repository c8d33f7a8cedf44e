// How far the student is: readiness by objective and topic, the plot, reviews, slips.

/** @returns {View} */
function progressScreen() {
  const report = /** @type {Report} */ (ask("report", { record: recordData(), exam: exam() }));
  return {
    title: "Progress",
    contents: [
      el("h1", null, "Progress"),
      report.sentences.map((sentence, at) => el("p", { class: at === 0 ? "lead" : "" }, sentence)),
      report.week && el("p", null, report.week),
      readyPart(report),
      plotPart(report),
      duePart(report),
      slipsPart(report),
      topicsPart(report),
      report.gone_sentence && [el("h2", null, "No longer in this page"), el("p", null, report.gone_sentence)],
      actions(button("Continue today's practice", () => practise({}), { class: "first" })),
    ],
  };
}

/** @param {Report} report */
function readyPart(report) {
  const words = ["ready", "shaky", "not-yet"];
  return [
    el("h2", null, "Ready, by objective"),
    el("ul", { class: "legend" }, words.map((word) => el("li", null, cavity(word), word.replace("-", " ")))),
    el("ul", { class: "moulds" }, report.objectives.map((objective) =>
      el("li", null,
        el("h3", null, objective.title, " ", el("span", { class: "label" }, objective.words)),
        tray(objective.topics)))),
    el("details", null, el("summary", null, "What the words mean"), paragraphs([report.meaning].flat())),
  ];
}

/** @param {Report} report */
function plotPart(report) {
  if (!report.plot_svg) return null;
  const rows = report.days.map((day) =>
    el("tr", null, el("th", { scope: "row" }, dayInWords(day.date)),
      el("td", { class: "figure" }, String(day.problems)),
      el("td", { class: "figure" }, `${day.correct} of ${day.answers}`),
      el("td", { class: "figure" }, String(day.known))));
  const heads = ["Day", "Problems", "Correct answers", "Topics known"];
  return [
    el("h2", null, "Topics known, by day"),
    el("figure", { class: "plot" }, made(report.plot_svg)),
    report.plot_caption && el("p", { class: "label" }, report.plot_caption),
    el("details", null, el("summary", null, "The same as a table"),
      el("table", null,
        el("thead", null, el("tr", null, heads.map((head, at) => el("th", { scope: "col", class: at > 0 ? "figure" : "" }, head)))),
        el("tbody", null, rows))),
  ];
}

/** @param {Report} report */
function duePart(report) {
  if (report.due.length === 0) return null;
  const row = (/** @type {Report["due"][number]} */ due) =>
    el("li", null, practiseLink(due.topic, due.title), el("span", { class: "label" }, due.reason));
  return [el("h2", null, "Due today"), el("ul", { class: "rows" }, report.due.map(row))];
}

/**
 * @param {string} topic
 * @param {string} title
 */
function practiseLink(topic, title) {
  return button(title, () => practise({ topic }), { class: "plain" });
}

/** @param {Report} report */
function slipsPart(report) {
  if (report.slips.length === 0) return null;
  return [
    el("h2", null, "Your commonest slips"),
    el("ul", { class: "slips" }, report.slips.map((slip) =>
      el("li", null,
        el("p", null, slip.says),
        el("p", { class: "label" }, slip.words || slip.times),
        el("p", null, el("a", { href: `#/problem/${slip.code}` }, `Show the problem: ${slip.title}`))))),
  ];
}

/** @param {Report} report */
function topicsPart(report) {
  const row = (/** @type {Report["topics"][number]} */ topic) =>
    el("tr", null,
      el("th", { scope: "row" }, practiseLink(topic.id, topic.title)),
      el("td", null, topic.now),
      el("td", null, topic.next || "–"));
  return el("details", null,
    el("summary", null, `All ${inWords(report.topics.length)} topics`),
    el("table", null,
      el("caption", null, "Press a topic to practise it."),
      el("thead", null, el("tr", null, ["Topic", "Now", "Next review"].map((head) => el("th", { scope: "col" }, head)))),
      el("tbody", null, report.topics.map(row))));
}

/**
 * A tray of cavities, one a topic; the words beside it say the same.
 * @param {string[]} words
 */
function tray(words) {
  return el("div", { class: "tray", "aria-hidden": "true" }, words.map(cavity));
}

/** A cavity: filled, half filled or empty. @param {string} word */
function cavity(word) {
  const outline = "M1 1H16V14A7.5 9 0 0 1 1 14Z";
  const svg = svgElement("svg", { viewBox: "0 0 17 24", "aria-hidden": "true", focusable: "false" });
  if (word === "shaky") svg.append(svgElement("path", { d: "M1 12H16V14A7.5 9 0 0 1 1 14Z", fill: "currentColor" }));
  svg.append(svgElement("path", { d: outline, fill: word === "ready" ? "currentColor" : "none", stroke: "currentColor", "stroke-width": "1.5" }));
  return svg;
}

/**
 * @param {string} name
 * @param {Record<string, string>} attributes
 */
function svgElement(name, attributes) {
  const element = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

/** `2026-12-14` as `14 December`. @param {string} date */
function dayInWords(date) {
  const day = new Date(`${date}T00:00:00Z`);
  return day.toLocaleDateString("en-GB", { day: "numeric", month: "long", timeZone: "UTC" });
}
