// The parts of a problem: what was asked, tried, hinted and answered.

/** A part of which only the outcome is shown any more. @param {Part} part */
function answeredPart(part) {
  const last = part.tries.at(-1);
  const outcome = [last && answerOf(last), last?.heading, part.score].filter((words) => words).join(", ");
  const isRight = last?.standing === "correct";
  return el("li", null,
    el("b", null, part.letter ? `(${part.letter})` : ""),
    el("div", null,
      el("p", null, part.ask),
      el("p", { class: "label" }, outcome),
      !isRight && part.answer?.lines[0] && el("p", { class: "label" }, part.answer.lines[0])));
}

/** The answer alone, of `First try: 23.94 g`. @param {Try} one */
function answerOf(one) {
  return one.said.replace(/^[^:]*: /, "");
}

/** A part that has just ended, with all that was said of it. @param {Part} part */
function donePart(part) {
  return partSection(part, [
    (part.options.length > 0 || part.lines.length > 0) && doneLines(part),
    triesOf(part),
    part.answer && el("div", { class: "answer" },
      el("h3", null, part.answer.heading),
      part.answer.lines.map((line, at) => el("p", { class: at === 0 ? "words" : "" }, line))),
  ]);
}

/** The options or lines of a part that has ended, with what is said of each. @param {Part} part */
function doneLines(part) {
  const said = (/** @type {string} */ words) => words && el("span", { class: "why" }, words);
  const list = (/** @type {Contents} */ items) => el("ul", { class: "lettered" }, items);
  return [
    part.lines.length > 0 && list(part.lines.map((line) =>
      el("li", null, el("b", null, String(line.number)), el("span", null, line.text, said(line.words))))),
    part.options.length > 0 && list(part.options.map((option) =>
      el("li", null, el("b", null, option.letter), el("span", null, option.text, said(option.words))))),
  ];
}

/**
 * @param {Part} part
 * @param {Contents} contents
 */
function partSection(part, contents) {
  const heading = freshId("part");
  return el("section", { class: "part", "aria-labelledby": heading },
    el("h2", null, el("span", { id: heading }, part.heading), el("span", { class: "worth" }, part.worth)),
    el("p", { class: "ask" }, part.ask),
    contents);
}

/**
 * Hints and verdicts in the order in which they came.
 * @param {Part} part
 * @returns {Contents}
 */
function triesOf(part) {
  const hints = part.hints ?? [];
  const isSecond = /** @type {Question} */ (part).second && part.tries.length > 0;
  const hintsBefore = (/** @type {number} */ number) => hints.filter((hint) => hint.before === number).map(hintBox);
  const last = part.tries.length + 1;
  return [
    part.tries.map((one) => [hintsBefore(one.number), verdictBox(one, part, one === part.tries.at(-1))]),
    isSecond && el("h3", null, /** @type {Question} */ (part).second_heading),
    hintsBefore(last),
  ];
}

/** @param {Hint} hint */
function hintBox(hint) {
  return el("div", { class: "hint" }, el("h3", null, hint.name), el("p", null, hint.text));
}

/**
 * A verdict: a group that takes the focus, so that it is read whole and leads on to what comes next.
 * What it says of each option or line stands at these, and in the verdict only where a later try follows.
 * @param {Try} one
 * @param {Part} part
 * @param {boolean} isLast
 */
function verdictBox(one, part, isLast) {
  const heading = freshId("verdict");
  const why = freshId("why");
  const isSaid = isLast && [...part.options, ...part.lines].some((one) => one.words);
  const lines = isSaid ? [] : one.lines.map((line) => {
    const about = part.lines[line.place]?.text;
    return el("li", null, about && `${about}: `, line.words);
  });
  return el("div", { class: `verdict ${one.standing}`, role: "group", tabindex: "-1", "aria-labelledby": heading, "aria-describedby": why },
    el("h3", { id: heading }, one.heading, " ", el("span", { class: "worth" }, one.score)),
    el("div", { id: why },
      one.said && el("p", { class: "yours" }, one.said),
      paragraphs(one.sentences),
      lines.length > 0 && el("ul", null, lines),
      paragraphs(one.after)));
}
