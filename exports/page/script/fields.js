// What can be said of an order for the bench: the fields, and the ways to give one thing.

/** @typedef {{path: string, label: string, unit?: string, hint?: string, list?: string, lines?: boolean}} OrderField */
/** @typedef {{value: string, words: string, fields?: OrderField[]}} Way one of several ways to give something */

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
