// The room Work: an order for the bench, as `castmark batch` works it. The order travels in the address.

/** @typedef {{path: string, label: string, unit?: string, hint?: string, list?: string, lines?: boolean}} OrderField */
/** @typedef {{value: string, words: string, fields?: OrderField[]}} Way one of several ways to give something */

/** The values of an order under the keys that lead to them, such as `drugs.0.dose`. @type {Map<string, string>} */
const order = new Map();

/** What the facts have for an order. @type {Offered | null} */
let offeredOnce = null;

/** @type {Way[]} */
const LOSSES = [
  { value: "", words: "none" },
  { value: "extra", words: "as units", fields: [{ path: "extra", label: "Extra units" }] },
  { value: "excess", words: "as a percentage on top of every mass", fields: [{ path: "excess", label: "Excess", unit: "%" }] },
  { value: "loss", words: "as the percentage that is lost", fields: [{ path: "loss", label: "Loss", unit: "%" }] },
];

/** @type {OrderField[]} */
const DISH = [{ path: "mould.dish", label: "Mass of the dish, 0 if it was tared", unit: "g" }];

/** @type {Way[]} */
const CAPACITIES = [
  { value: "capacity", words: "I know the capacity", fields: [{ path: "mould.capacity", label: "Capacity of a cavity", unit: "g" }] },
  {
    value: "total",
    words: "I have weighed all blanks together",
    fields: [
      { path: "mould.total", label: "Mass of all blanks", unit: "g" },
      { path: "mould.blanks", label: "Number of blanks cast" },
      { path: "mould.spoilt", label: "Spoilt blanks, left out of the weighing" },
      ...DISH,
    ],
  },
  {
    value: "masses",
    words: "I have weighed each blank",
    fields: [{ path: "mould.masses", label: "Mass of each blank, in g, a line each", lines: true }, ...DISH],
  },
];

/** @type {OrderField[]} */
const MOULD = [
  { path: "mould.nominal", label: "Size marked on the mould", unit: "g" },
  { path: "mould.cavities", label: "Number of cavities" },
  { path: "mould.base", label: "Base of the blanks, if it is another", list: "bases" },
];

/** @type {Way[]} */
const DENSITIES = [
  { value: "", words: "as the facts have it" },
  {
    value: "ratio",
    words: "as a ratio",
    fields: [
      { path: "base.ratio", label: "Mass of it that fills the space of 1 g of the other base" },
      { path: "base.to", label: "The other base, if it is not theobroma oil", list: "bases" },
    ],
  },
  {
    value: "densities",
    words: "as densities",
    fields: [
      { path: "base.density", label: "Density of the base", unit: "g/mL" },
      { path: "base.to_density", label: "Density of the other base", unit: "g/mL" },
      { path: "base.to", label: "The other base, if it is not theobroma oil", list: "bases" },
    ],
  },
];

/** @type {OrderField[]} */
const BASE = [
  { path: "base.allowance", label: "Base added for each unit, without drug", unit: "g" },
  { path: "base.parts", label: "Its parts with their percentages, a line each", hint: "such as gelatin = 14", lines: true },
  { path: "base.made", label: "How much base is made, if more than the batch needs", unit: "g" },
];

/** @type {OrderField[]} */
const REST = [
  { path: "balance.drug", label: "Smallest step of the balance for drugs, 1 mg if you leave it out", hint: "with its unit" },
  { path: "balance.base", label: "Smallest step of the balance for the base, 0.01 g if you leave it out", hint: "with its unit" },
  { path: "balance.error", label: "Permitted error of a weighing, 5 % if you leave it out", unit: "%" },
  { path: "form", label: "What is cast, a suppository if you leave it out", list: "forms" },
  { path: "directions", label: "Direction for the label, in place of the usual one" },
  { path: "title", label: "Heading of the sheet" },
];

/** @type {Way[]} */
const AMOUNTS = [
  { value: "dose", words: "a dose in each unit", fields: [{ path: "dose", label: "Dose in each unit, with its unit", hint: "such as 200 mg" }] },
  { value: "strength", words: "a percentage by mass", fields: [{ path: "strength", label: "Strength", unit: "%" }] },
  { value: "total", words: "a mass in the whole batch", fields: [{ path: "total", label: "Mass in the batch, with its unit", hint: "such as 2.4 g" }] },
];

/** @type {OrderField} */
const FOR_BASE = { path: "base", label: "The base it holds for, if it is not that of the batch", list: "bases" };

/** @type {Way[]} */
const DISPLACING = [
  { value: "source", words: "as the facts have it" },
  { value: "value", words: "a displacement value", fields: [{ path: "value", label: "Displacement value: grams of it that displace 1 g of base" }, FOR_BASE] },
  { value: "factor", words: "a displacement factor", fields: [{ path: "factor", label: "Displacement factor: grams of base that 1 g of it displaces" }, FOR_BASE] },
  { value: "density", words: "its density", fields: [{ path: "density", label: "Its density", unit: "g/mL" }] },
  {
    value: "casts",
    words: "medicated units that were cast",
    fields: [
      { path: "casts.mass", label: "Mass of these units", unit: "g" },
      { path: "casts.units", label: "How many" },
      { path: "casts.dose", label: "Dose in each, with its unit; or:", hint: "such as 200 mg" },
      { path: "casts.strength", label: "Strength", unit: "%" },
    ],
  },
  { value: "nothing", words: "nothing" },
  { value: "its own mass", words: "its own mass" },
];

/** @type {OrderField[]} */
const SUBSTANCE = [
  { path: "assay", label: "Content", unit: "%" },
  { path: "water", label: "Water", unit: "%" },
  { path: "salt.ordered", label: "Molar mass of the form ordered" },
  { path: "salt.held", label: "Molar mass of the form weighed" },
  { path: "salt.holds", label: "Molecules ordered in one of the form weighed" },
  { path: "correction", label: "A factor of your own for the amount" },
];

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
  /** @type {OrderEntry[]} */
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

/** @typedef {{name: string, label: string, element: HTMLElement, input: HTMLElement, covers: string[], refuse: (text: string) => void, accept: () => void}} OrderEntry */

/**
 * @param {OrderEntry[]} entries
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
 * @param {OrderEntry[]} entries
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
 * @param {OrderEntry[]} entries
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
  return entryOf({ name: `${prefix}source`, label: "Value and source", input: select, covers: [`${prefix}value`] }, entries);
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
 * @param {{prefix: string, covers: string[], entries: OrderEntry[], fill: (focus: string | null) => void}} where
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
    entryOf({ name: path, label, input: select, covers }, entries),
    (chosen?.fields ?? []).map((field) => orderEntry(field, prefix, entries)),
  ];
}

/**
 * A field of the order.
 * @param {OrderField} field
 * @param {string} prefix
 * @param {OrderEntry[]} entries
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
  return entryOf({ name: path, label, input, covers: [], unit: field.unit }, entries);
}

/**
 * @param {{name: string, label: string, input: HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement, covers: string[], unit?: string | undefined}} parts
 * @param {OrderEntry[]} entries
 */
function entryOf({ name, label, input, covers, unit }, entries) {
  const message = el("p", { class: "error", id: `${input.id}-error`, hidden: true });
  const element = el("div", { class: "field" },
    el("label", { for: input.id }, label),
    message,
    unit ? el("div", { class: "amount" }, input, el("span", { class: "unit", "aria-hidden": "true" }, unit)) : input);
  const refuse = (/** @type {string} */ text) => {
    message.textContent = text;
    message.hidden = false;
    input.setAttribute("aria-invalid", "true");
    input.setAttribute("aria-describedby", message.id);
  };
  const accept = () => {
    message.hidden = true;
    accepted([input]);
  };
  entries.push({ name, label, element, input, covers, refuse, accept });
  return element;
}

/**
 * @param {OrderEntry[]} entries
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
    place.replaceChildren(...sheetPart({ html: worked.html, name: worked.name, title: worked.title, codes: [], sentence: "For teaching: the caution on the sheet applies to these numbers.", note: null }));
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
