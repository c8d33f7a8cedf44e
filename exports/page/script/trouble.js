// What stands above every screen while answers are not being stored, and news from other windows.

/** What each trouble is called and what it means. @type {Record<Trouble, [string, string]>} */
const TROUBLES = {
  refused: [
    "Your answers are not being stored",
    "This browser does not allow it here. You can go on, but your answers are lost when you close the page. Save the record to a file first.",
  ],
  full: [
    "Your answers are not being stored",
    "The storage of this browser is full. You can go on, but new answers are lost when you close the page. Save the record to a file first.",
  ],
  unreadable: [
    "The record here could not be read",
    "Nothing is written over it, and new answers are lost when you close the page. Save what is stored to a file, or start a new record.",
  ],
  newer: [
    "The record here was written by a newer page",
    "This page leaves it as it is, and new answers are lost when you close the page. Save what is stored to a file, or start a new record.",
  ],
};

/** The box, if there is any trouble. */
function troubleBox() {
  const { trouble } = record;
  if (!trouble) return null;
  const [heading, meaning] = TROUBLES[trouble];
  const isForeign = trouble === "unreadable" || trouble === "newer";
  return el("div", { class: "box", id: "trouble", role: "alert" },
    el("h2", null, heading),
    el("p", null, meaning),
    actions(
      isForeign
        ? button("Save what is stored to a file", () => saveFile("castmark-storage.json", storedText(), "application/json"))
        : button("Save the record to a file", () => saveRecord(say)),
      isForeign ? button("Start a new record", startNewRecord) : button("Try to store again", tryAgain)));
}

/** Shows the box on a screen that is there already. */
function showTrouble() {
  if (document.getElementById("trouble")) return;
  const box = troubleBox();
  if (box) byId("main").prepend(box);
}

function tryAgain() {
  storeAgain();
  if (record.trouble) {
    say("Your answers are still not being stored.");
    return;
  }
  byId("trouble").remove();
  begin();
  say("Your answers are stored now.");
  byId("main").focus();
}

function startNewRecord() {
  const held = { attempts: record.attempts, unfinished: record.unfinished };
  forget();
  record.attempts = held.attempts;
  record.unfinished = held.unfinished;
  storeAgain();
  begin();
  showScreen(true);
}

/** All that the storage holds of ours, as it is. */
function storedText() {
  const mine = Object.entries(localStorage).filter(([key]) => key.startsWith(STORAGE.mine));
  return `${JSON.stringify(Object.fromEntries(mine), null, 1)}\n`;
}

/**
 * Says that another window has written to the record. A problem that is being answered stays as it is on the
 * screen; the engine reads the record before it is asked anything.
 * @param {string | null} key
 */
function changedElsewhere(key) {
  if ((key !== null && key !== `${STORAGE.mine}turn`) || isCurrent()) return;
  catchUp();
  say("Your record has changed in another window.");
  if (["", "progress", "record"].includes(path())) showScreen(false);
}

/**
 * Hands a file to the browser to be saved.
 * @param {string} name
 * @param {string} text
 * @param {string} type
 */
function saveFile(name, text, type) {
  const address = URL.createObjectURL(new Blob([text], { type }));
  el("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
