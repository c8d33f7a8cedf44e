// The room Work: an order for the bench (batch.js), or one's own numbers for a single kind of problem, with
// the working. The numbers travel in the address.

/**
 * @param {string} rest the template, and the numbers behind it
 * @returns {View}
 */
function workScreen(rest) {
  const [template = "", query = ""] = workAddress(rest);
  if (template === "") return batchScreen(new URLSearchParams(query));
  return template === "kinds" ? kindsScreen() : numbersScreen(template, new URLSearchParams(query));
}

/** @param {string} rest */
function workAddress(rest) {
  const hash = location.hash.replace(/^#\/work\/?/, "");
  const at = hash.indexOf("?");
  return at < 0 ? [rest, ""] : [decoded(hash.slice(0, at)), hash.slice(at + 1)];
}

/** Which kind of problem it is to be. @returns {View} */
function kindsScreen() {
  const held = heldContents();
  const kinds = held.objectives
    .map((objective) => ({
      title: objective.title,
      templates: objective.topics.flatMap((topic) => topic.templates).filter((template) => template.works),
    }))
    .filter((objective) => objective.templates.length > 0);
  return {
    title: "Single calculations",
    contents: [
      el("p", { class: "place" }, el("a", { href: "#/work" }, "Work")),
      el("h1", null, "Single calculations"),
      el("p", { class: "lead" }, "Choose a kind of problem, give your own numbers, and see the working step by step."),
      kinds.length === 0 && el("p", null, "This page holds no calculations."),
      kinds.map((kind) => [
        el("h2", null, kind.title),
        el("ul", { class: "rows" }, kind.templates.map((template) =>
          el("li", null, el("a", { class: "button plain", href: `#/work/${template.id}` }, template.title)))),
      ]),
    ],
  };
}

/**
 * @param {string} template
 * @param {URLSearchParams} given
 * @returns {View}
 */
function numbersScreen(template, given) {
  /** @type {ValuesAsked} */
  let wanted;
  try {
    wanted = ask("values", { template });
  } catch (problem) {
    if (!(problem instanceof Refused)) throw problem;
    return { title: "Work", contents: [el("h1", null, "Work"), el("p", null, problem.message), el("p", null, el("a", { href: "#/work/kinds" }, "Choose another kind of problem"))] };
  }
  const place = el("div", null);
  const errors = el("div", null);
  const rows = wanted.rows.map((row) => rowField(row, given));
  const isFilled = (/** @type {ValuesAsked["values"][number]} */ value) => rows.some((row) => row.name === value.row && row.read());
  const fields = wanted.values.map((value) => valueField(value, given));
  const showFilled = () => {
    wanted.values.forEach((value, at) => { if (fields[at]) fields[at].element.hidden = isFilled(value); });
  };
  rows.forEach((row) => row.select.addEventListener("change", showFilled));
  const calculate = (/** @type {Event} */ event) => {
    event.preventDefault();
    const values = Object.fromEntries(fields
      .filter((field) => field.input.value.trim() !== "" && !field.element.hidden)
      .map((field) => [field.name, field.input.value.trim()]));
    const chosen = Object.fromEntries(rows.map((row) => [row.name, row.read()]).filter(([, id]) => id));
    fields.forEach((field) => field.accept());
    errors.replaceChildren();
    const query = new URLSearchParams({ .../** @type {Record<string, string>} */ (chosen), ...values });
    const address = `work/${template}?${query}`;
    visit.address = decoded(address);
    history.replaceState(history.state, "", `#/${address}`);
    try {
      const worked = /** @type {Worked} */ (ask("work", { template, values, rows: chosen }));
      place.replaceChildren(...sheetPart({ html: worked.html, name: worked.name, title: worked.title, codes: [], sentence: "For teaching: the caution on the sheet applies to these numbers.", note: null }, "Change the numbers"));
      focusOn(/** @type {HTMLElement} */ (place.querySelector("h2")), { block: "start" });
    } catch (problem) {
      if (!(problem instanceof Refused)) throw problem;
      place.replaceChildren();
      showErrors(errors, problem, fields);
    }
  };
  showFilled();
  return {
    title: wanted.title,
    contents: [
      el("p", { class: "place" }, el("a", { href: "#/work/kinds" }, "Single calculations")),
      el("h1", null, wanted.title),
      el("p", null, wanted.about),
      errors,
      el("form", { novalidate: true, onsubmit: calculate },
        rows.map((row) => row.element),
        fields.map((field) => field.element),
        actions(el("button", { type: "submit", class: "first" }, "Calculate"))),
      place,
    ],
  };
}

/**
 * A row of the facts that can be chosen instead of giving its numbers.
 * @param {ValuesAsked["rows"][number]} row
 * @param {URLSearchParams} given
 */
function rowField(row, given) {
  const id = freshId("row");
  const select = el("select", { id },
    el("option", { value: "" }, "none: I give the numbers"),
    row.rows.map((one) => el("option", { value: one.id }, one.title)));
  select.value = given.get(row.name) ?? "";
  return {
    name: row.name,
    select,
    element: el("div", { class: "field" }, el("label", { for: id }, capital(row.label)), select),
    read: () => select.value,
  };
}

/**
 * @param {ValuesAsked["values"][number]} value
 * @param {URLSearchParams} given
 */
function valueField(value, given) {
  const id = freshId("value");
  const input = el("input", { type: "text", id, inputmode: value.several ? "text" : "decimal", class: value.several ? "words" : "", autocomplete: "off", autocapitalize: "off", spellcheck: "false" });
  input.value = given.get(value.name) ?? "";
  const words = [value.unit && `in ${value.unit}`, value.several ? "several, apart by blanks" : "", value.example ? `such as ${value.example}` : ""].filter((word) => word);
  const label = `${capital(value.label)}${words.length > 0 ? `, ${words.join(", ")}` : ""}`;
  return entryOf({ name: value.name, label, listed: capital(value.label), input, covers: [], unit: value.unit });
}
