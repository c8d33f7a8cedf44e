// The record: every answer, in the storage of the browser and in memory.
//
// The attempts of one day lie together under one key, so that an answer rewrites a few kilobytes however
// long the record is. Every write reads first: what another window has added stays. Whoever writes leaves a
// mark, so that a window knows when another was there since.

/** @typedef {"refused" | "full" | "unreadable" | "newer"} Trouble why nothing is stored */

const STORAGE = {
  /** What the names of all keys begin with. */
  mine: "castmark.",
  /** The form of what is stored; a page that finds a higher number leaves all as it is. */
  form: 1,
};

const record = {
  /** @type {Attempt[]} oldest first */
  attempts: [],
  /** @type {Unfinished[]} */
  unfinished: [],
  /** @type {Trouble | null} */
  trouble: null,
  /** Whether answers were given that are in memory only. */
  unsaved: false,
  /** The mark that this window has seen last. @type {string | null} */
  turn: null,
};

/** Reads what is stored. */
function openRecord() {
  record.trouble = null;
  record.turn = remembered("turn");
  const stored = readStored();
  if (!stored) return;
  record.attempts = joined(stored.attempts, record.attempts);
  record.unfinished = stored.unfinished;
  try {
    localStorage.setItem(`${STORAGE.mine}form`, String(STORAGE.form));
  } catch (problem) {
    record.trouble = troubleOf(problem);
  }
}

/** Whether no other window has written since; one that does not store is by itself. */
function isCurrent() {
  return record.trouble !== null || remembered("turn") === record.turn;
}

/** Leaves a mark for other windows. */
function leaveMark() {
  record.turn = `${Date.now()}.${Math.random()}`;
  localStorage.setItem(`${STORAGE.mine}turn`, record.turn);
}

/**
 * What is stored; `null` if it cannot be read, which is then the trouble.
 * @returns {{attempts: Attempt[], unfinished: Unfinished[]} | null}
 */
function readStored() {
  try {
    const form = Number(localStorage.getItem(`${STORAGE.mine}form`) ?? STORAGE.form);
    if (form > STORAGE.form) {
      record.trouble = "newer";
      return null;
    }
    const attempts = dayKeys().flatMap((key) => readList(key));
    return { attempts: attempts.filter(isAttempt), unfinished: readList(`${STORAGE.mine}unfinished`) };
  } catch (problem) {
    record.trouble = troubleOf(problem);
    return null;
  }
}

/** The keys of the days, oldest first. */
function dayKeys() {
  const days = `${STORAGE.mine}day.`;
  return Object.keys(localStorage).filter((key) => key.startsWith(days)).sort();
}

/**
 * @param {string} key
 * @returns {any[]}
 */
function readList(key) {
  const list = JSON.parse(localStorage.getItem(key) ?? "[]");
  if (!Array.isArray(list)) throw new SyntaxError(`${key} is not a list`);
  return list;
}

/**
 * @param {unknown} value
 * @returns {value is Attempt}
 */
function isAttempt(value) {
  const attempt = /** @type {Attempt | null} */ (value);
  return typeof attempt?.at === "string" && typeof attempt.code === "string"
    && typeof attempt.part === "string" && typeof attempt.answer === "string";
}

/**
 * Keeps new answers and what has become of the problem they belong to. They are in the storage, if it
 * lets them in, before this returns.
 * @param {Attempt[]} attempts
 * @param {Unfinished[]} unfinished all problems begun and not ended
 */
function keep(attempts, unfinished) {
  const ended = record.unfinished.filter((one) => !unfinished.some((other) => other.code === one.code));
  record.attempts = record.attempts.concat(attempts);
  record.unfinished = unfinished;
  store(() => {
    for (const day of new Set(attempts.map(dayOf))) {
      storeDay(day, attempts.filter((attempt) => dayOf(attempt) === day));
    }
    const known = new Set([...ended, ...unfinished].map((one) => one.code));
    const others = readList(`${STORAGE.mine}unfinished`).filter((one) => !known.has(one.code));
    localStorage.setItem(`${STORAGE.mine}unfinished`, JSON.stringify([...others, ...unfinished]));
    leaveMark();
  });
}

/**
 * Adds answers to those of a day.
 * @param {string} day
 * @param {Attempt[]} attempts
 */
function storeDay(day, attempts) {
  const key = `${STORAGE.mine}day.${day}`;
  const before = readList(key);
  const all = joined(before, attempts);
  if (all.length > before.length) localStorage.setItem(key, JSON.stringify(all));
}

/** @param {Attempt} attempt */
function dayOf(attempt) {
  return attempt.at.slice(0, 10);
}

/**
 * Does something with the storage, unless that is out of order.
 * @param {() => void} write
 */
function store(write) {
  if (!record.trouble) {
    try {
      write();
      return;
    } catch (problem) {
      record.trouble = troubleOf(problem);
    }
  }
  record.unsaved = true;
  showTrouble();
}

/** Tries to store everything again. */
function storeAgain() {
  const held = { attempts: record.attempts, unfinished: record.unfinished };
  openRecord();
  if (record.trouble) return;
  // What was ended here in the meantime is not begun any more.
  const stored = new Set((readStored()?.attempts ?? []).map(nameOf));
  const ended = held.attempts.filter((attempt) => attempt.ended && !stored.has(nameOf(attempt)));
  const mine = new Set([...held.unfinished, ...ended].map((one) => one.code));
  const others = record.unfinished.filter((one) => !mine.has(one.code));
  record.attempts = joined(record.attempts, held.attempts);
  record.unsaved = false;
  store(() => storeAll([...others, ...held.unfinished]));
}

/** @param {Unfinished[]} unfinished */
function storeAll(unfinished) {
  for (const day of new Set(record.attempts.map(dayOf))) {
    storeDay(day, record.attempts.filter((attempt) => dayOf(attempt) === day));
  }
  record.unfinished = unfinished;
  localStorage.setItem(`${STORAGE.mine}unfinished`, JSON.stringify(unfinished));
  leaveMark();
}

/**
 * Takes in the answers of a file, and returns how many are new.
 * @param {Attempt[]} attempts
 */
function join(attempts) {
  const before = record.attempts.length;
  record.attempts = joined(record.attempts, attempts);
  store(() => storeAll(record.unfinished));
  return record.attempts.length - before;
}

/** Deletes every answer. */
function forget() {
  record.attempts = [];
  record.unfinished = [];
  record.unsaved = false;
  record.turn = null;
  try {
    const mark = `${STORAGE.mine}turn`;
    const all = Object.keys(localStorage).filter((key) => key.startsWith(STORAGE.mine) && key !== mark);
    // The mark goes last: another window reads the record as soon as it is gone.
    for (const key of [...all, mark]) localStorage.removeItem(key);
  } catch {
    // A storage that is refused holds nothing.
  }
}

/**
 * The answers of two records in the order of their moments, each once.
 * @param {Attempt[]} one
 * @param {Attempt[]} other
 */
function joined(one, other) {
  /** @type {Map<string, number>} */
  const here = new Map();
  for (const attempt of one) here.set(nameOf(attempt), (here.get(nameOf(attempt)) ?? 0) + 1);
  const fresh = other.filter((attempt) => {
    const left = here.get(nameOf(attempt)) ?? 0;
    if (left > 0) here.set(nameOf(attempt), left - 1);
    return left === 0;
  });
  const at = (/** @type {Attempt} */ attempt) => Date.parse(attempt.at);
  return fresh.length === 0 ? one : [...one, ...fresh].sort((a, b) => at(a) - at(b));
}

/**
 * An answer is known by its moment, problem, part and words.
 * @param {Attempt} attempt
 */
function nameOf(attempt) {
  return JSON.stringify([attempt.at, attempt.code, attempt.part, attempt.answer]);
}

/**
 * @param {unknown} problem
 * @returns {Trouble}
 */
function troubleOf(problem) {
  if (problem instanceof SyntaxError) return "unreadable";
  return problem instanceof DOMException && problem.name === "QuotaExceededError" ? "full" : "refused";
}

/** The record as a file, in the form of `castmark practise --export json`. */
function recordFile() {
  return `[${record.attempts.map((attempt) => `\n${JSON.stringify(attempt)}`).join(",")}\n]\n`;
}

/**
 * A small thing that is kept beside the record: the date of the exam, what was typed and not checked.
 * @param {string} name
 * @returns {string | null}
 */
function remembered(name) {
  try {
    return localStorage.getItem(STORAGE.mine + name);
  } catch {
    return memory.get(name) ?? null;
  }
}

/** What is remembered where nothing can be stored. @type {Map<string, string>} */
const memory = new Map();

/**
 * @param {string} name
 * @param {string | null} value
 */
function remember(name, value) {
  if (value === null) memory.delete(name);
  else memory.set(name, value);
  try {
    if (value === null) localStorage.removeItem(STORAGE.mine + name);
    else localStorage.setItem(STORAGE.mine + name, value);
  } catch {
    // What is remembered is a convenience; the record tells of the storage.
  }
}
