// What the page is, what it stores, and where its values come from.

/** @returns {View} */
function aboutScreen() {
  const held = heldContents();
  const { count } = held;
  return {
    title: "About this page",
    contents: [
      el("h1", null, "About this page"),
      el("p", null, `This page holds ${counted(count.templates, "kind")} of problem on ${counted(count.topics, "topic")}. It draws them with numbers of its own each time, marks what you answer, explains it, and chooses what comes next. All of it happens in this file.`),
      el("h2", null, "What is stored"),
      el("p", null, "Every answer, the problems you have begun, what you have typed and not checked, and the date of your exam. They stay in the storage of this browser, on this device. Nothing is sent, and nothing is fetched. Whoever uses this browser can read them."),
      el("p", null, el("a", { href: "#/record" }, "Save, load or delete the record")),
      el("h2", null, "What comes next, and why"),
      el("p", null, "Reviews that are due come first, then topics you have begun, and every few problems a new topic. A new kind of calculation begins with a worked example, of which less is shown each time."),
      paragraphs([held.meaning].flat()),
      el("h2", null, "Caution"),
      el("p", { class: "caution" }, held.caution),
      el("h2", null, "Sources"),
      el("dl", { class: "sources" }, held.sources.map((source) =>
        el("div", null, el("dt", null, source.short), el("dd", null, source.full)))),
      el("p", { class: "label" }, `Made with Castmark ${held.version}.`),
    ],
  };
}
