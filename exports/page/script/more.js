// What is needed seldom at a problem: skipping it, its answer, its link.

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
