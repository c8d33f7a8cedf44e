// The problem on the table: drawn whole from what the engine says, after every event.

const desk = {
  /** @type {Table | null} */
  table: null,
  /** What happened last. @type {News | null} */
  news: null,
  /** The code of a problem that was opened from a link. */
  linked: "",
  /** Problems of this visit as they were left, to be read again. @type {Map<string, DocumentFragment>} */
  left: new Map(),
};

/** So many problems can be read again. */
const MOST_LEFT = 12;

/**
 * Puts the next problem of a wish on the table.
 * @param {{topic?: string, template?: string}} wish
 */
function practise(wish) {
  attempt(() => take(ask("practise", wish)));
}

/**
 * Tells the engine what the student does.
 * @param {string} event
 * @param {Record<string, unknown>} [more]
 */
function act(event, more = {}) {
  attempt(() => take(ask("act", { event, ...more })));
}

/**
 * Does something that the engine may refuse; then its sentence is shown.
 * @param {() => void} doing
 */
function attempt(doing) {
  try {
    doing();
  } catch (problem) {
    if (!(problem instanceof Refused)) throw problem;
    draw(refusedScreen(problem), true);
  }
}

/** @param {TableReply} reply */
function take(reply) {
  const before = desk.table;
  if (before?.ended && before.code !== reply.table?.code) leave(before.code);
  desk.table = reply.table;
  desk.news = reply.news;
  if (!reply.table) {
    rename("");
    draw(overScreen(reply.news), true);
    return;
  }
  if (desk.linked !== reply.table.code) desk.linked = "";
  const isNew = before?.code !== reply.table.code || path() !== `problem/${reply.table.code}`;
  rename(`problem/${reply.table.code}`);
  draw(tableScreen(reply.table, reply.news), isNew);
}

/**
 * The screen of an address `problem/CODE`.
 * @param {string} code
 * @returns {View}
 */
function problemScreen(code) {
  if (!code) return startScreen();
  desk.table = /** @type {TableReply} */ (ask("table")).table;
  if (desk.table?.code === code) return tableScreen(desk.table, null);
  const left = desk.left.get(code);
  if (left) return leftScreen(code, left);
  return openScreen(code);
}

/**
 * Opens the problem of a code and shows it.
 * @param {string} code
 * @returns {View}
 */
function openScreen(code) {
  try {
    const reply = /** @type {TableReply} */ (ask("open", { code }));
    const table = /** @type {Table} */ (reply.table);
    desk.table = table;
    desk.linked = table.code;
    if (table.code !== code) {
      visit.address = `problem/${table.code}`;
      location.replace(`#/problem/${table.code}`);
    }
    return tableScreen(table, null);
  } catch (problem) {
    if (!(problem instanceof Refused)) throw problem;
    return refusedScreen(problem, code);
  }
}

/**
 * @param {Refused} refused
 * @param {string} [code]
 * @returns {View}
 */
function refusedScreen(refused, code) {
  const field = el("input", { type: "text", id: "code", value: code ?? "", autocapitalize: "off", autocomplete: "off", spellcheck: "false" });
  const open = (/** @type {Event} */ event) => {
    event.preventDefault();
    go(`problem/${field.value.trim()}`);
  };
  const title = code === undefined ? "This cannot be done" : "This problem cannot be opened";
  return {
    title,
    contents: [
      el("h1", null, title),
      el("p", null, refused.message),
      code !== undefined && el("form", { class: "inline", onsubmit: open },
        el("div", { class: "field" }, el("label", { for: "code" }, "Code of a problem"), field),
        el("button", { type: "submit" }, "Open the problem")),
      actions(el("a", { class: "button first", href: "#/" }, "Go to today's practice")),
    ],
  };
}

/**
 * What was done, after the student has stopped.
 * @param {News | null} news
 * @returns {View}
 */
function overScreen(news) {
  const screen = startScreen();
  const done = news?.sentences ?? (news?.text ? [news.text] : []);
  if (done.length === 0) return screen;
  return { ...screen, contents: [el("div", { class: "box" }, paragraphs(done)), screen.contents] };
}

/** Keeps the problem on the screen as it is, without its controls. @param {string} code */
function leave(code) {
  const kept = document.createDocumentFragment();
  for (const child of byId("main").children) kept.append(child.cloneNode(true));
  for (const control of kept.querySelectorAll("form, .actions, .more, #trouble")) control.remove();
  for (const focusable of kept.querySelectorAll(".verdict")) focusable.removeAttribute("tabindex");
  desk.left.set(code, kept);
  const [oldest] = desk.left.keys();
  if (desk.left.size > MOST_LEFT && oldest) desk.left.delete(oldest);
}

/**
 * A problem of this visit, to be read and not to be answered.
 * @param {string} code
 * @param {DocumentFragment} left
 * @returns {View}
 */
function leftScreen(code, left) {
  const again = () => draw(openScreen(code), true);
  return {
    title: left.querySelector("h1")?.textContent ?? code,
    contents: [
      ...[...left.children].map((child) => child.cloneNode(true)),
      el("p", { class: "end" }, "You have answered this problem."),
      actions(
        el("a", { class: "button first", href: desk.table ? `#/problem/${desk.table.code}` : "#/" }, desk.table ? "Go to the problem on the table" : "Go to today's practice"),
        button("Answer it again", again)),
    ],
  };
}

/**
 * @param {Table} table
 * @param {News | null} news
 * @returns {View}
 */
function tableScreen(table, news) {
  const isOver = table.phase === "reading" || table.phase === "ended";
  const last = isOver ? table.parts.at(-1) : undefined;
  const before = table.parts.filter((part) => part !== last);
  return {
    title: table.title,
    contents: [
      el("p", { class: "place" }, table.place),
      el("header", { class: "title" }, el("h1", null, table.title), el("p", { class: "worth" }, table.worth)),
      el("div", { class: "sides" },
        el("div", { class: "told" }, made(table.stem_html), marksTray(table)),
        el("div", { class: "asking" },
          examplePart(table),
          before.length > 0 && el("ol", { class: "answered", "aria-label": "Parts answered" }, before.map(answeredPart)),
          last && donePart(last),
          table.question && openPart(table, table.question, news),
          table.phase === "reading" && actions(button("Next part", () => act("go-on"), { class: "first" })),
          table.ended && endPart(table, table.ended),
          morePart(table))),
    ],
    focus: () => focusOnNews(news),
  };
}

/** The tray of marks, for two or more parts. @param {Table} table */
function marksTray(table) {
  const asked = table.tray.filter((part) => part.asked);
  if (asked.length < 2) return null;
  const now = table.question?.letter;
  const cavity = (/** @type {number | null} */ earned, /** @type {number} */ of) => {
    const element = el("span", { class: "cavity" }, earned === null ? `/ ${of}` : `${earned} / ${of}`);
    element.style.setProperty("--filled", String((earned ?? 0) / Math.max(of, 1)));
    return element;
  };
  const sum = (/** @type {(part: Table["tray"][number]) => number} */ of) => asked.reduce((all, part) => all + of(part), 0);
  return el("ol", { class: "marks", "aria-label": "Marks so far" },
    asked.map((part) => el("li", { class: part.letter === now ? "now" : "" }, `(${part.letter})`, cavity(part.earned, part.marks))),
    el("li", { class: "sum" }, "all", cavity(sum((part) => part.earned ?? 0), sum((part) => part.marks))));
}

/** @param {Table} table */
function examplePart(table) {
  const { example } = table;
  if (!example) return null;
  return el("section", { class: "part" },
    el("h2", null, example.heading), el("p", null, example.sentence), made(example.steps_html));
}

/** A part of which only the outcome is shown any more. @param {Part} part */
function answeredPart(part) {
  const last = part.tries.at(-1);
  const outcome = last ? `${answerOf(last)}: ${last.heading.toLowerCase()}, ${part.score}` : part.score;
  const isRight = last?.standing === "correct";
  return el("li", null,
    el("b", null, part.letter ? `(${part.letter})` : ""),
    el("div", null,
      el("p", null, made(part.ask_html)),
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
    part.carry && el("p", null, part.carry),
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
    el("p", { class: "ask" }, made(part.ask_html)),
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
    part.tries.map((one) => [hintsBefore(one.number), verdictBox(one, part)]),
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
 * @param {Try} one
 * @param {Part} part
 */
function verdictBox(one, part) {
  const heading = freshId("verdict");
  const why = freshId("why");
  const lines = one.lines.map((line) => {
    const about = part.lines[line.place]?.text;
    return el("li", null, about && `${about}: `, line.words);
  });
  return el("div", { class: `verdict ${one.standing}`, role: "group", tabindex: "-1", "aria-labelledby": heading, "aria-describedby": why },
    el("h3", { id: heading }, one.heading, " ", el("span", { class: "worth" }, one.score)),
    el("div", { id: why },
      el("p", { class: "yours" }, one.said),
      paragraphs(one.sentences),
      lines.length > 0 && el("ul", null, lines),
      paragraphs(one.after)));
}

/**
 * The end of the problem.
 * @param {Table} table
 * @param {Ended} ended
 */
function endPart(table, ended) {
  const solution = el("div", null);
  const showSolution = (/** @type {Event} */ event) => {
    const { heading, html } = /** @type {{heading: string, html: string}} */ (ask("solution", { code: table.code }));
    const title = el("h2", null, heading);
    solution.replaceChildren(title, made(html));
    /** @type {HTMLElement} */ (event.currentTarget).hidden = true;
    focusOn(title, { block: "start" });
  };
  const next = desk.linked === table.code
    ? button("Go to today's practice", () => go(""), { class: "first" })
    : button("Next problem", () => act("go-on"), { class: "first" });
  return [
    ended.rest_html && el("section", { class: "part" }, el("h2", null, "The rest of the example"), made(ended.rest_html)),
    el("section", { class: "end" }, el("h2", null, ended.heading), paragraphs(ended.sentences),
      actions(next, button(ended.theory ? "Show the sources" : "Show the worked solution", showSolution))),
    solution,
  ];
}

/** What is needed seldom, folded. @param {Table} table */
function morePart(table) {
  const { can } = table;
  const row = actions();
  const surely = (/** @type {string} */ event) => () => {
    const kept = [...row.childNodes];
    const back = () => row.replaceChildren(...kept);
    const warning = el("p", null, "The problem then counts as not solved.");
    row.replaceChildren(warning, button("Show it", () => act(event)), button("Go on trying", back));
    focusOn(warning);
  };
  const plain = { class: "plain" };
  add(row,
    can.skip && button("Skip this problem", () => act("skip"), plain),
    can.new_numbers && button(anotherOf(table), () => act("new-numbers"), plain),
    can.pass && button("Show the answer", surely("pass"), plain),
    can.give_up && table.tray.filter((part) => part.asked).length > 1 && button("Show the whole solution", surely("give-up"), plain),
    button("Copy the link", copyLink, plain),
    button("Stop for today", () => act("stop"), plain));
  return el("details", { class: "more" }, el("summary", null, "More"), row, el("p", { class: "code" }, `Code ${table.code}`));
}

/** @param {Table} table */
function anotherOf(table) {
  const kind = (table.question ?? table.parts.at(-1))?.kind;
  if (kind === "number" || kind === "step") return "Same kind, new numbers";
  return kind === "truth" ? "Same kind, new statement" : "Same kind, another question";
}

/** @param {Event} event */
function copyLink(event) {
  const pressed = /** @type {HTMLElement} */ (event.currentTarget);
  const told = (/** @type {Content} */ content) => {
    pressed.parentElement?.querySelector(".told-link")?.remove();
    pressed.after(el("span", { class: "told-link label" }, content));
  };
  const byHand = () => {
    const field = el("input", { type: "text", class: "words", readonly: true, value: location.href, "aria-label": "The link" });
    told(field);
    field.select();
    say("The link is shown, to be copied.");
  };
  if (!navigator.clipboard) {
    byHand();
    return;
  }
  navigator.clipboard.writeText(location.href).then(() => {
    told("The link is copied.");
    say("The link is copied.");
  }, byHand);
}

/**
 * Moves the focus to what has just happened.
 * @param {News | null} news
 */
function focusOnNews(news) {
  const main = byId("main");
  const last = (/** @type {string} */ selector) => /** @type {HTMLElement | undefined} */ ([...main.querySelectorAll(selector)].at(-1));
  const heading = last("h1");
  switch (news?.kind) {
    case "verdict": {
      const verdict = last(".verdict");
      if (verdict) showVerdict(verdict);
      break;
    }
    case "unread":
    case "same":
      asked?.focus(news.field ?? 0);
      break;
    case "hint": {
      say(news.text);
      const more = last("#hint");
      if (more) more.focus({ preventScroll: true });
      else focusOn(/** @type {HTMLElement} */ (last(".hint")));
      break;
    }
    case "question":
      focusOn(/** @type {HTMLElement} */ (last(".part > h2")), { block: "start" });
      break;
    case "points":
      focusOn(/** @type {HTMLElement} */ (last("#points") ?? heading), { block: "nearest" });
      break;
    case "answer":
      focusOn(/** @type {HTMLElement} */ (last(".answer h3") ?? heading), { block: "start" });
      break;
    case "ended":
      focusOn(/** @type {HTMLElement} */ (last(".answer h3") ?? last(".end h2") ?? heading), { block: "start" });
      break;
    default:
      if (heading && visit.entries > 1) focusOn(heading, null);
  }
}

/**
 * Shows a verdict wholly, and the question above it where both fit.
 * @param {HTMLElement} verdict
 */
function showVerdict(verdict) {
  focusOn(verdict, null);
  const part = verdict.closest(".part") ?? verdict;
  const bottom = verdict.getBoundingClientRect().bottom;
  const fits = (/** @type {Element} */ from) => bottom - from.getBoundingClientRect().top <= innerHeight - 16;
  const from = fits(part) ? part : verdict;
  const { top } = from.getBoundingClientRect();
  // Nothing moves when all of it is in view already.
  if (top < 0 || bottom > innerHeight) from.scrollIntoView({ block: "start" });
}
