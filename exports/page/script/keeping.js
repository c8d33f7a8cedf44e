// The record: saved to a file, taken back, deleted.

/** @returns {View} */
function recordScreen() {
  const today = /** @type {Today} */ (ask("today"));
  const said = el("p", { id: "said" });
  const tell = (/** @type {string} */ words) => {
    said.textContent = words;
    said.className = words ? "box" : "";
    say(words);
  };
  const file = el("input", { type: "file", id: "file", accept: ".json,application/json", class: "unseen", tabindex: "-1", "aria-hidden": "true" });
  file.addEventListener("change", async () => {
    const [chosen] = file.files ?? [];
    if (chosen) loadRecord(await chosen.text(), tell);
    file.value = "";
  });
  return {
    title: "Your record",
    contents: [
      el("h1", null, "Your record"),
      el("p", { class: "lead", id: "kept" }, keptSentence(today)),
      said,
      el("h2", null, "Save"),
      el("p", null, "The file holds every answer, for another device or for ", el("code", null, "castmark practise --join"), "."),
      actions(button("Save the record to a file", () => saveRecord(tell), { class: "first" })),
      el("h2", null, "Load"),
      el("p", null, "The answers of a file are added to those here; none is taken twice."),
      actions(button("Load a record from a file", () => file.click()), file),
      el("h2", null, "Delete"),
      el("div", { id: "delete" }, deletePart(tell)),
    ],
  };
}

/** @param {(words: string) => void} tell */
function saveRecord(tell) {
  const { name, text, sentence } = /** @type {{name: string, text: string, sentence: string}} */ (
    ask("export", { record: recordData() }));
  saveFile(name, text, "application/json");
  record.unsaved = false;
  tell(sentence);
}

/**
 * @param {string} text
 * @param {(words: string) => void} tell
 */
function loadRecord(text, tell) {
  try {
    const loaded = /** @type {{record: RecordData, sentence: string}} */ (ask("import", { record: recordData(), text }));
    join(loaded.record.attempts);
    byId("kept").textContent = keptSentence(begin());
    tell(loaded.sentence);
  } catch (problem) {
    if (!(problem instanceof Refused)) throw problem;
    tell(problem.message);
  }
}

/** @param {(words: string) => void} tell */
function deletePart(tell) {
  const count = record.attempts.length;
  if (count === 0) return el("p", null, "There is nothing to delete.");
  const name = `Delete ${counted(count, "answer")}`;
  const place = () => byId("delete");
  const back = () => place().replaceChildren(/** @type {Node} */ (actions(button(name, warn))));
  const surely = () => {
    const { sentence } = /** @type {{sentence: string}} */ (ask("delete", { record: recordData() }));
    forget();
    engine.state = null;
    byId("kept").textContent = keptSentence(begin());
    place().replaceChildren(el("p", null, "There is nothing to delete."));
    tell(sentence);
    byId("main").focus();
  };
  const warn = () => {
    const warning = el("p", null, "Every answer, the progress and the date of the exam go for good. Save the record first if you may want it again.");
    place().replaceChildren(warning, actions(button("Keep the answers", back), button(name, surely)));
    focusOn(warning);
  };
  return actions(button(name, warn));
}
