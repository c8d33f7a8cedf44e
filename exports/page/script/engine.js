// The engine: the program's own library, compiled to WebAssembly and carried in this file.

/** @typedef {{memory: WebAssembly.Memory, alloc: (size: number) => number, free: (at: number, size: number) => void, open: (at: number, size: number) => number, reply: (at: number, size: number) => number}} Exports */

const PROTOCOL = 1;

const engine = {
  /** @type {Exports | null} */
  exports: null,
  /** What the engine knows of the student, in its own form. @type {string | null} */
  state: null,
};

/** What the engine says instead of a reply, in a sentence for the reader. */
class Refused extends Error {
  /** @param {Refusal} refusal */
  constructor(refusal) {
    super(asSentence(refusal.text));
    this.kind = refusal.kind;
    this.problems = refusal.problems ?? [];
  }
}

/** What is said of the page before anything is loaded. @returns {About} */
function aboutPage() {
  return JSON.parse(byId("about").textContent ?? "{}");
}

/** Unpacks the engine and gives it what the page holds. */
async function startEngine() {
  const [code, contents] = await Promise.all([unpacked("engine"), unpacked("contents")]);
  const { instance } = await WebAssembly.instantiate(code);
  engine.exports = /** @type {Exports} */ (/** @type {unknown} */ (instance.exports));
  const opened = JSON.parse(call("open", contents));
  if (opened.error) throw new Refused(opened.error);
}

/**
 * The bytes in a data element, which is emptied.
 * @param {string} id
 */
async function unpacked(id) {
  const element = byId(id);
  const text = atob((element.textContent ?? "").trim());
  element.textContent = "";
  const bytes = new Uint8Array(text.length);
  for (let at = 0; at < text.length; at += 1) bytes[at] = text.charCodeAt(at);
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

/**
 * Calls one function of the engine with a text and returns the text that it gives.
 * @param {"open" | "reply"} name
 * @param {Uint8Array} bytes
 */
function call(name, bytes) {
  const wasm = /** @type {Exports} */ (engine.exports);
  const at = wasm.alloc(bytes.length);
  new Uint8Array(wasm.memory.buffer, at, bytes.length).set(bytes);
  const result = wasm[name](at, bytes.length);
  wasm.free(at, bytes.length);
  const length = new DataView(wasm.memory.buffer).getUint32(result, true);
  const text = new TextDecoder().decode(new Uint8Array(wasm.memory.buffer, result + 4, length));
  wasm.free(result, length + 4);
  return text;
}

/**
 * Asks the engine. What it adds to the record is stored before this returns, so that nothing is shown
 * that could be lost.
 * @template T
 * @param {string} name
 * @param {Record<string, unknown>} [body]
 * @returns {T}
 */
function ask(name, body = {}) {
  if (name !== "begin") catchUp();
  return told(name, body);
}

/**
 * Has the engine read the record again when another window has written to it, before anything is done with
 * what it knew.
 */
function catchUp() {
  if (isCurrent()) return;
  // All that is in memory is in the storage as well, unless it was deleted there.
  record.attempts = [];
  openRecord();
  if (engine.state) told("reread", { record: recordData() });
}

/**
 * @template T
 * @param {string} name
 * @param {Record<string, unknown>} body
 * @returns {T}
 */
function told(name, body) {
  const reply = JSON.parse(call("reply", requestFor(name, body)));
  if (reply.error) throw new Refused(reply.error);
  const said = /** @type {Reply<T>} */ (reply);
  const added = said.added ?? [];
  const begun = said.unfinished ?? record.unfinished;
  // What is the same already is not written: every write calls the other windows.
  if (added.length > 0 || JSON.stringify(begun) !== JSON.stringify(record.unfinished)) keep(added, begun);
  if (said.state && said.state !== engine.state) {
    engine.state = said.state;
    remember(stateName(), said.state);
  }
  return said.with;
}

/**
 * @param {string} name
 * @param {Record<string, unknown>} body
 */
function requestFor(name, body) {
  const request = { version: PROTOCOL, ask: name, with: body, at: Math.floor(Date.now() / 1000), state: engine.state };
  return new TextEncoder().encode(JSON.stringify(request));
}

/**
 * Asks, while the student reads, what will probably be asked next, and forgets the reply: the engine changes
 * nothing by itself. It has then read the template, and the browser has compiled what it takes.
 * @param {string} name
 * @param {Record<string, unknown>} [body]
 */
function rehearse(name, body = {}) {
  whenIdle(() => call("reply", requestFor(name, body)));
}

/**
 * Does something when there is nothing else to do.
 * @param {() => unknown} work
 */
function whenIdle(work) {
  if ("requestIdleCallback" in window) requestIdleCallback(() => work());
  else setTimeout(work, 100);
}

/** A page with other contents keeps a state of its own. */
function stateName() {
  return `state.${aboutPage().contents}`;
}

/**
 * Has the engine read the record: at the beginning, and when the record or the exam has changed.
 * @returns {Today}
 */
function begin() {
  const stored = engine.state ? null : remembered(stateName());
  try {
    engine.state ??= stored;
    return ask("begin", { record: recordData(), exam: exam(), keep: true });
  } catch (problem) {
    if (!(problem instanceof Refused)) throw problem;
    engine.state = null;
    return ask("begin", { record: recordData(), exam: exam(), keep: false });
  }
}

/** @returns {RecordData} */
function recordData() {
  return { attempts: record.attempts, unfinished: record.unfinished };
}

/** The day of the exam: the student's own, or the one the page was made with. @returns {string | null} */
function exam() {
  return (remembered("exam") ?? aboutPage().exam) || null;
}
