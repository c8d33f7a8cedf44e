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
  if (reply.table?.ended) rehearse("act", { event: "go-on" });
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
      el("p", { class: "lead" }, refused.message),
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
  if (news?.kind === "verdict" && table.question?.tries.length === 0) remember("pause", pauseOf(table));
  const pauses = table.question !== null && remembered("pause") === pauseOf(table);
  const isOver = pauses || table.phase === "reading" || table.phase === "ended";
  const last = isOver ? table.parts.at(-1) : undefined;
  const before = table.parts.filter((part) => part !== last);
  return {
    title: table.title,
    contents: [
      news?.kind === "elsewhere" && el("p", { class: "box", id: "elsewhere" }, news.text),
      el("p", { class: "place" }, table.place),
      el("header", { class: "title" }, el("h1", null, table.title), el("p", { class: "worth" }, table.worth)),
      el("div", { class: "sides" },
        el("div", { class: "told" }, made(table.stem_html), marksTray(table)),
        el("div", { class: "asking" },
          examplePart(table),
          before.length > 0 && el("ol", { class: "answered", "aria-label": "Parts answered" }, before.map(answeredPart)),
          last && donePart(last),
          table.question && !pauses && openPart(table, table.question, news),
          pauses && actions(button("Next part", () => goOn(table), { class: "first" })),
          table.phase === "reading" && actions(button("Next part", () => act("go-on"), { class: "first" })),
          table.ended && endPart(table, table.ended),
          morePart(table))),
    ],
    focus: () => focusOnNews(news),
  };
}

/**
 * The engine asks on after a correct answer; its verdict stays on the screen until the student goes on.
 * @param {Table} table
 */
function pauseOf(table) {
  return `${table.code}/${table.parts.length}`;
}

/** Shows the question that is open already. @param {Table} table */
function goOn(table) {
  remember("pause", null);
  draw(tableScreen(table, { kind: "question", text: "" }), false);
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
  return el("ol", { class: "marker", "aria-label": "Marks so far" },
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
    fitFormulas(solution);
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
