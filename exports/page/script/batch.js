// The room Work: an order for the bench, as `castmark batch` works it. The order travels in the address.

/** The values of an order under the keys that lead to them, such as `drugs.0.dose`. @type {Map<string, string>} */
const order = new Map();

/** What the facts have for an order. @type {Offered | null} */
let offeredOnce = null;

/** What the facts have for an order. @returns {Offered} */
function offered() {
  offeredOnce ??= /** @type {Offered} */ (ask("offered"));
  return offeredOnce;
}

/**
 * The form of an order, and the sheet below it.
 * @param {URLSearchParams} given
 * @returns {View}
 */
function batchScreen(given) {
  order.clear();
  for (const [path, text] of given) order.set(path, text);
  if (!order.has("how.capacity")) order.set("how.capacity", "capacity");
  const place = el("div", null);
  const errors = el("div", null);
  /** @type {Entry[]} */
  let entries = [];
  const form = el("form", { novalidate: true, onsubmit: (/** @type {Event} */ event) => {
    event.preventDefault();
    calculateBatch(entries, errors, place);
  } });
  const fill = (/** @type {string | null} */ focus) => {
    entries = [];
    form.replaceChildren();
    add(form, orderParts(entries, fill));
    if (focus) document.getElementById(focus)?.focus();
  };
  fill(null);
  return {
    title: "Work",
    contents: [
      el("h1", null, "Work"),
      el("p", { class: "lead" }, "Give the numbers of your order, and see what to weigh, the whole working and the sheet for the bench."),
      el("p", null, el("a", { href: "#/work/kinds" }, "Work a single calculation instead")),
      errors,
      form,
      place,
    ],
  };
}

/**
 * @param {Entry[]} entries
 * @param {(focus: string | null) => void} fill
 */
function orderParts(entries, fill) {
  const lists = Object.entries({
    bases: offered().bases,
    drugs: offered().drugs.map((drug) => drug.name),
    forms: ["suppository", "pessary", "bougie"],
  });
  const group = (/** @type {string} */ title, /** @type {Contents[]} */ ...parts) =>
    el("fieldset", { class: "group" }, el("legend", null, title), parts);
  const fields = (/** @type {OrderField[]} */ all) => all.map((field) => orderEntry(field, "", entries));
  const ways = (/** @type {string} */ name, /** @type {string} */ label, /** @type {Way[]} */ all, /** @type {string[]} */ covers) =>
    orderWays(name, label, all, { prefix: "", covers, entries, fill });
  return [
    lists.map(([name, words]) => el("datalist", { id: `list-${name}` }, words.map((word) => el("option", { value: word })))),
    group("Batch",
      fields([{ path: "units", label: "Units ordered" }]),
      ways("losses", "Extra for losses", LOSSES, [])),
    group("Mould",
      ways("capacity", "What a cavity holds", CAPACITIES, ["mould.capacity", "mould.total", "mould.masses"]),
      folded("More about the mould", fields(MOULD), MOULD)),
    group("Base",
      fields([{ path: "base.name", label: "Name of the base", list: "bases" }]),
      folded("More about the base", [ways("density", "How dense it is", DENSITIES, ["base.ratio"]), fields(BASE)], BASE)),
    ["drugs", "others"].map((kind) => ingredients(kind, entries, fill)),
    actions(
      button("Add a drug", () => addIngredient("drugs", fill), { class: "plain" }),
      button("Add another ingredient", () => addIngredient("others", fill), { class: "plain" })),
    folded("Balance, label and heading", fields(REST), REST),
    actions(el("button", { type: "submit", class: "first" }, "Calculate")),
  ];
}

/**
 * Fields that are seldom needed, open where one is filled in.
 * @param {string} words
 * @param {Contents} contents
 * @param {OrderField[]} fields
 */
function folded(words, contents, fields) {
  const isOpen = fields.some((field) => [...order.keys()].some((path) => path.endsWith(field.path)));
  return el("details", { open: isOpen }, el("summary", null, words), contents);
}

/** How many drugs or other ingredients there are. @param {string} kind */
function ingredientCount(kind) {
  const places = [...order.keys()].map((path) => new RegExp(`^${kind}\\.(\\d+)\\.`).exec(path)?.[1]);
  const last = Math.max(-1, ...places.filter((place) => place !== undefined).map(Number));
  return Math.min(Math.max(last + 1, kind === "drugs" ? 1 : 0), 20);
}

/**
 * @param {string} kind
 * @param {Entry[]} entries
 * @param {(focus: string | null) => void} fill
 */
function ingredients(kind, entries, fill) {
  const count = ingredientCount(kind);
  return Array.from({ length: count }, (_, at) => {
    const prefix = `${kind}.${at}.`;
    const fields = (/** @type {OrderField[]} */ all) => all.map((field) => orderEntry(field, prefix, entries));
    const ways = (/** @type {string} */ name, /** @type {string} */ label, /** @type {Way[]} */ all, /** @type {string[]} */ covers) =>
      orderWays(name, label, all, { prefix, covers: covers.map((one) => prefix + one), entries, fill });
    const name = kind === "drugs" ? "Drug" : "Other ingredient";
    // The form stays as it is while a name is typed; only the values of the facts below it change.
    const sources = el("div", null);
    const showSources = () => {
      const known = entries.findIndex((entry) => entry.name === `${prefix}source`);
      if (known >= 0) entries.splice(known, 1);
      sources.replaceChildren();
      if ((order.get(`${prefix}how.displacing`) ?? "source") === "source") add(sources, sourcesPart(prefix, entries));
    };
    showSources();
    return el("fieldset", { class: "group" },
      el("legend", null, count > 1 ? `${name} ${at + 1}` : name),
      orderEntry({ path: "name", label: "Its name", list: "drugs" }, prefix, entries, showSources),
      ways("amount", "How much of it", AMOUNTS, ["dose"]),
      ways("displacing", "What it displaces", DISPLACING, ["value", "source", "displaces", "casts"]),
      sources,
      folded("Salt, content and water", fields(SUBSTANCE), SUBSTANCE.map((field) => ({ ...field, path: prefix + field.path }))),
      (count > 1 || kind === "others") && button(`Remove ${name.toLowerCase()} ${at + 1}`, () => removeIngredient(kind, at, fill), { class: "plain" }));
  });
}

/**
 * The values that the facts have for a drug: which of them is used, is the reader's choice.
 * @param {string} prefix
 * @param {Entry[]} entries
 */
function sourcesPart(prefix, entries) {
  const name = (order.get(`${prefix}name`) ?? "").trim().toLowerCase();
  const known = offered().drugs.find((drug) => drug.name.toLowerCase() === name);
  if (!known) return el("p", { class: "label" }, name ? "The facts have no value for this name; say above what you know." : "Choose a name from the list to see the values of the facts.");
  const id = `order-${prefix}source`;
  const select = el("select", { id },
    el("option", { value: "" }, known.values.length > 1 ? "Choose one" : "The only one"),
    known.values.map((value) => el("option", { value: value.source }, value.words)));
  select.value = order.get(`${prefix}source`) ?? "";
  select.addEventListener("change", () => setOrder(`${prefix}source`, select.value));
  return added(entryOf({ name: `${prefix}source`, label: "Value and source", input: select, covers: [`${prefix}value`] }), entries);
}

/**
 * @param {string} path
 * @param {string} text
 */
function setOrder(path, text) {
  if (text.trim() === "") order.delete(path);
  else order.set(path, text);
}

/** @param {string} kind @param {(focus: string | null) => void} fill */
function addIngredient(kind, fill) {
  const at = ingredientCount(kind);
  order.set(`${kind}.${at}.how.amount`, "dose");
  fill(`order-${kind}.${at}.name`);
}

/** @param {string} kind @param {number} at @param {(focus: string | null) => void} fill */
function removeIngredient(kind, at, fill) {
  const count = ingredientCount(kind);
  for (const [path, text] of [...order]) {
    const found = new RegExp(`^${kind}\\.(\\d+)\\.(.*)$`).exec(path);
    if (!found || Number(found[1]) < at) continue;
    order.delete(path);
    if (Number(found[1]) > at) order.set(`${kind}.${Number(found[1]) - 1}.${found[2]}`, text);
  }
  fill(count > 1 ? `order-${kind}.${Math.max(0, at - 1)}.name` : "order-units");
}

/**
 * A choice between ways to give something, and the fields of the one that is chosen.
 * @param {string} name
 * @param {string} label
 * @param {Way[]} all
 * @param {{prefix: string, covers: string[], entries: Entry[], fill: (focus: string | null) => void}} where
 */
function orderWays(name, label, all, { prefix, covers, entries, fill }) {
  const path = `${prefix}how.${name}`;
  const id = `order-${path}`;
  const select = el("select", { id }, all.map((way) => el("option", { value: way.value }, way.words)));
  select.value = order.get(path) ?? all[0]?.value ?? "";
  const chosen = all.find((way) => way.value === select.value) ?? all[0];
  select.addEventListener("change", () => {
    for (const field of all.flatMap((way) => way.fields ?? [])) order.delete(prefix + field.path);
    order.delete(`${prefix}source`);
    setOrder(path, select.value);
    fill(id);
  });
  return [
    added(entryOf({ name: path, label, input: select, covers }), entries),
    (chosen?.fields ?? []).map((field) => orderEntry(field, prefix, entries)),
  ];
}

/**
 * @param {Entry} entry
 * @param {Entry[]} entries
 */
function added(entry, entries) {
  entries.push(entry);
  return entry.element;
}

/**
 * A field of the order.
 * @param {OrderField} field
 * @param {string} prefix
 * @param {Entry[]} entries
 * @param {() => void} [changed]
 */
function orderEntry(field, prefix, entries, changed) {
  const path = prefix + field.path;
  const id = `order-${path}`;
  const words = field.lines || field.list || field.hint || !field.unit && !/units|blanks|cavities|ratio|value|factor|salt|correction|spoilt/.test(field.path);
  const input = field.lines
    ? el("textarea", { id, rows: "4", autocapitalize: "off", spellcheck: "false" })
    : el("input", { type: "text", id, inputmode: words ? "text" : "decimal", class: words ? "words" : "", list: field.list ? `list-${field.list}` : false, autocomplete: "off", autocapitalize: "off", spellcheck: "false" });
  input.value = order.get(path) ?? "";
  input.addEventListener("input", () => setOrder(path, input.value));
  if (changed) input.addEventListener("change", changed);
  const label = [field.label, field.unit && `in ${field.unit}`, field.hint].filter((one) => one).join(", ");
  return added(entryOf({ name: path, label, input, covers: [], unit: field.unit }), entries);
}

/**
 * @param {Entry[]} entries
 * @param {HTMLElement} errors
 * @param {HTMLElement} place
 */
function calculateBatch(entries, errors, place) {
  entries.forEach((entry) => entry.accept());
  errors.replaceChildren();
  const address = `work?${new URLSearchParams([...order])}`;
  visit.address = decoded(address);
  history.replaceState(history.state, "", `#/${address}`);
  try {
    const worked = /** @type {Worked} */ (ask("batch", { order: orderData() }));
    place.replaceChildren(...sheetPart({ html: worked.html, name: worked.name, title: worked.title, codes: [], sentence: "For teaching: the caution on the sheet applies to these numbers.", note: null }, "Change the numbers"));
    focusOn(/** @type {HTMLElement} */ (place.querySelector("h2")), { block: "start" });
  } catch (problem) {
    if (!(problem instanceof Refused)) throw problem;
    place.replaceChildren();
    showErrors(errors, problem, entries);
  }
}

/** The values of the order as the engine takes them, by the keys that lead to them. */
function orderData() {
  /** @type {Record<string, string>} */
  const data = {};
  const units = new Map([...LOSSES, ...CAPACITIES, ...DENSITIES, ...AMOUNTS, ...DISPLACING].flatMap((way) => way.fields ?? [])
    .concat(MOULD, BASE, REST, SUBSTANCE).map((field) => [field.path, field.unit]));
  for (const [path, text] of order) {
    const own = path.replace(/^(drugs|others)\.\d+\./, "");
    const typed = text.split(/[\n;]/).map((line) => line.trim()).filter((line) => line);
    if (own === "how.displacing" && ["nothing", "its own mass"].includes(text)) data[path.replace("how.displacing", "displaces")] = text;
    else if (own === "mould.masses") typed.forEach((mass, at) => { data[`${path}.${at}`] = withUnit(mass, "g"); });
    else if (own === "base.parts") typed.forEach((line, at) => partOf(line, `${path}.${at}`, data));
    else if (!own.startsWith("how.")) data[path] = withUnit(text.trim(), units.get(own));
  }
  for (let at = 0; at < ingredientCount("drugs"); at += 1) data[`drugs.${at}.name`] ??= "";
  return data;
}

/**
 * @param {string} line a part of a base, such as `gelatin = 14`
 * @param {string} path
 * @param {Record<string, string>} data
 */
function partOf(line, path, data) {
  const [, name = line, share = ""] = /^(.*?)[=:]?\s*([\d.,]+\s*%?)$/.exec(line) ?? [];
  data[`${path}.name`] = name.trim();
  if (share) data[`${path}.share`] = withUnit(share.trim(), "%");
}

/**
 * A bare number in the unit that stands beside its field.
 * @param {string} text
 * @param {string | undefined} unit
 */
function withUnit(text, unit) {
  return unit && /^[\d.,\s]+$/.test(text) ? `${text} ${unit}` : text;
}
