// What the engine is asked and answers (src/page/ of the program), as far as the page looks into it.

interface Reply<T> {
  with: T;
  state: string | null;
  added: Attempt[];
  unfinished: Unfinished[] | null;
}

interface Refusal {
  kind: string;
  text: string;
  problems?: { name: string; text: string }[];
}

interface AttemptFields {
  at: string;
  code: string;
  part: string;
  answer: string;
}
type Attempt = AttemptFields & Record<string, unknown>;
type Unfinished = { code: string; attempts: Attempt[] } & Record<string, unknown>;
type RecordData = { attempts: Attempt[]; unfinished: Unfinished[] };

interface About {
  title: string;
  made: string;
  version: string;
  exam: string | null;
  contents: string;
  caution: string;
  /** Whether the files for the home screen lie beside the page. */
  home: boolean;
}

interface TemplateEntry { id: string; title: string; minutes: number; marks: number; level: string; works: boolean }
interface TopicEntry { id: string; title: string; templates: TemplateEntry[] }
interface ObjectiveEntry { id: string; title: string; topics: TopicEntry[] }
interface Held {
  title: string;
  version: string;
  exam: string | null;
  caution: string;
  meaning: string | string[];
  objectives: ObjectiveEntry[];
  count: { objectives: number; topics: number; templates: number };
  sources: { short: string; full: string }[];
}

interface Today {
  answers: number;
  first: boolean;
  sentences: string[];
  start: string;
  list: { topic: string; title: string; objective_title: string; kind: string; words: string }[];
  minutes: number;
  left: null | { code: string; title: string; sentence: string };
  exam: null | { date: string; days: number; sentences: string[]; past: boolean };
  ready: { ready: number; shaky: number; not_yet: number; all: number; sentence: string };
  table: boolean;
}

type Answer =
  | { text: string }
  | { chosen: number[] }
  | { truth: boolean | null; chosen: number[] }
  | { pairs: (number | null)[] }
  | { order: (number | null)[] }
  | { ends: string[] };

interface Option { letter: string; text: string; words: string; ruled_out: boolean; chosen: boolean }
interface Line { number: number; text: string; words: string }
interface Try {
  number: number;
  heading: string;
  standing: string;
  said: string;
  score: string;
  sentences: string[];
  lines: { place: number; words: string; correct: boolean }[];
  after: string[];
}
interface Hint { name: string; text: string; helps: boolean; before: number }
interface Points {
  written: string;
  heading: string;
  legend: string;
  points: string[];
  model: boolean;
  counts: string[];
}

interface Part {
  letter: string;
  heading: string;
  ask: string;
  marks: number;
  worth: string;
  earned: number | null;
  score: string;
  kind: string;
  label: string;
  options: Option[];
  lines: Line[];
  tries: Try[];
  answer?: null | { heading: string; lines: string[] };
  hints?: Hint[];
}

interface Question extends Part {
  unit: string;
  rounding: string;
  negative: boolean;
  fields: string[];
  rule: string;
  again: boolean;
  with_reason: boolean;
  second: boolean;
  second_heading: string;
  tries_left: number;
  hints: Hint[];
  points: Points | null;
  kept: null | (number | null)[] | { truth: boolean };
}

interface Ended {
  ending: string;
  heading: string;
  sentences: string[];
  marks: number;
  of: number;
  rest_html: string | null;
  theory: boolean;
}

interface Table {
  code: string;
  title: string;
  topic: { id: string; title: string };
  objective: { id: string; title: string };
  marks: number;
  worth: string;
  place: string;
  phase: "asking" | "points" | "reading" | "ended";
  stem_html: string;
  given: { label: string; value: string }[];
  example: null | { kind: string; heading: string; sentence: string; steps_html: string };
  tray: { letter: string; marks: number; earned: number | null; asked: boolean }[];
  parts: Part[];
  question: Question | null;
  ended: Ended | null;
  can: { hint: null | { name: string; helps: boolean }; pass: boolean; skip: boolean; new_numbers: boolean; give_up: boolean };
}

interface News {
  kind: string;
  text: string;
  field?: number;
  readings?: { text: string }[];
  sentences?: string[];
}

interface TableReply { news: News | null; table: Table | null }

interface Report {
  sentences: string[];
  week: string;
  meaning: string | string[];
  objectives: { id: string; title: string; words: string; topics: string[] }[];
  topics: { id: string; title: string; objective: string; readiness: string; now: string; next: string; words: string }[];
  due: { topic: string; title: string; reason: string }[];
  days: { date: string; problems: number; answers: number; correct: number; known: number }[];
  plot_svg: string | null;
  plot_caption: string;
  slips: { says: string; times: string; code: string; title: string; answer: string; words: string }[];
  gone: number;
  gone_sentence: string;
}

interface SheetMade {
  html: string;
  name: string;
  title: string;
  codes: string[];
  sentence: string;
  note: string | null;
}

interface ValuesAsked {
  template: string;
  title: string;
  about: string;
  values: { name: string; label: string; unit: string; several: boolean; count: boolean; row: string | null; example: string }[];
  rows: { name: string; label: string; rows: { id: string; title: string }[] }[];
}

interface Offered {
  bases: string[];
  drugs: { name: string; values: { source: string; words: string }[] }[];
}

interface Worked { title: string; html: string; name: string }
