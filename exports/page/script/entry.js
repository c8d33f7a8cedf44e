// A field of the room Work, and what is wrong with it.

/** @typedef {{name: string, label: string, element: HTMLElement, input: HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement, covers: string[], refuse: (text: string) => void, accept: () => void}} Entry names and covers are those of values in a refusal */

/**
 * A field with its label, its unit and room for what is wrong with it.
 * @param {{name: string, label: string, listed?: string, input: HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement, covers: string[], unit?: string | undefined}} parts
 * @returns {Entry}
 */
function entryOf({ name, label, listed = label, input, covers, unit }) {
  const message = el("p", { class: "error", id: `${input.id}-error`, hidden: true });
  const element = el("div", { class: "field" },
    el("label", { for: input.id }, label),
    message,
    unit ? el("div", { class: "amount" }, input, el("span", { class: "unit", "aria-hidden": "true" }, unit)) : input);
  const refuse = (/** @type {string} */ text) => {
    message.textContent = input.value.trim() ? asSentence(text) : "This is missing.";
    message.hidden = false;
    input.setAttribute("aria-invalid", "true");
    input.setAttribute("aria-describedby", message.id);
  };
  const accept = () => {
    message.hidden = true;
    accepted([input]);
  };
  return { name, label: listed, element, input, covers, refuse, accept };
}

/**
 * Everything wrong together, each with a link to its field.
 * @param {HTMLElement} place
 * @param {Refused} refused
 * @param {Entry[]} fields
 */
function showErrors(place, refused, fields) {
  const seen = fields.filter((field) => !field.element.hidden);
  const line = (/** @type {{name: string, text: string}} */ problem) => {
    const field = seen.find((one) => one.name === problem.name)
      ?? seen.find((one) => one.covers.includes(problem.name))
      ?? seen.find((one) => problem.name.startsWith(`${one.name}.`));
    if (!field) return el("li", null, asSentence(problem.text));
    field.refuse(problem.text);
    const to = (/** @type {Event} */ event) => {
      event.preventDefault();
      field.element.closest("details")?.setAttribute("open", "");
      focusOn(field.input);
    };
    return el("li", null, el("a", { href: `#${field.input.id}`, onclick: to }, field.label));
  };
  const problems = refused.problems.map(line);
  const heading = problems.length > 0
    ? `${capital(counted(problems.length, "entry needs", "entries need"))} a correction`
    : refused.message;
  const box = el("div", { class: "box" }, el("h2", null, heading), problems.length > 0 && el("ul", null, problems));
  place.replaceChildren(box);
  focusOn(box, { block: "start" });
}
