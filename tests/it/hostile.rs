//! Damaged files: every reader gives what it can use or says what is wrong, and never anything else.
//!
//! `CASTMARK_CASES` asks for more cases of each reader.

#[path = "hostile/bench.rs"]
mod bench;
#[path = "hostile/damage.rs"]
mod damage;
#[path = "hostile/page.rs"]
mod page;

use std::cell::Cell;
use std::collections::BTreeSet;
use std::fmt::Display;
use std::sync::LazyLock;
use std::thread;
use std::time::{Duration, Instant};

use castmark::analysis::{Marks, Report as Analysis, ReportSettings};
use castmark::bank::{Bank, Blueprint, Report, SourceText};
use castmark::draw::Code;
use castmark::export::{
    Contents, EXPORTERS, Exporter, Front, Json, Options, Sheet, exporter, head_questions,
    marks_lines, marks_table,
};
use castmark::marking::Settings;
use castmark::marks::MarksHead;
use castmark::paper::{
    Answers, Asked, ClassList, ClassMarking, HandMark, HandMarks, ListProblem, PaperCode, PaperSet,
    Secret,
};
use castmark::practice::read_settings;
use castmark::problem::Problem;
use proptest::test_runner::{Config, TestCaseError, TestRunner};

use damage::{damaged, wounds};

const CLASS: &str = include_str!("../../exports/papers/class.csv");
const MIDTERM: &str = include_str!("../../exports/papers/midterm.yaml");
const ANSWERS: &str = include_str!("../../exports/papers/answers.csv");

const RULES: &str = "\
castmark: 1
follow_through: all
unit_counts: always
rounding_costs: nothing
";

const PRACTICE: &str = "\
mastered_from: 0.95       # the chance of knowing
days: 0, 1, 3, 5, 14
lucky: 0.05
careless: 0.1
";

const HAND: &str = "candidate,question,part,marks,who,why,when\n\
    0101,1,a,1,AB,a reason,2027-03-20\n0102,2,a,0,AB,\"a, reason\",2027-03-20\n";

/// A class with its papers, as it was before anything was damaged.
struct Scene {
    bank: Bank,
    blueprint: Blueprint,
    set: PaperSet,
    asked: Asked,
}

static SCENE: LazyLock<Scene> = LazyLock::new(|| {
    let bank = Bank::bundled().unwrap();
    let source = SourceText::new("midterm.yaml", MIDTERM);
    let blueprint = Blueprint::read(source, &bank).unwrap_or_else(|report| panic!("{report}"));
    let class = ClassList::read(CLASS.as_bytes()).unwrap().candidates;
    let set =
        PaperSet::make(&bank, &blueprint, &Secret::new([7; 32]), &class, None, 0, None).unwrap();
    let asked = Asked::of(&set, &blueprint);
    Scene { bank, blueprint, set, asked }
});

impl Scene {
    fn answers(&self, text: &str) -> Answers {
        Answers::read(text.as_bytes(), &self.asked).unwrap_or_else(|all| panic!("{all:?}"))
    }

    /// The marks of the class for these answers, as they are written.
    fn marks(&self, answers: &Answers, hand: &HandMarks) -> String {
        let marking = ClassMarking {
            bank: &self.bank,
            blueprint: &self.blueprint,
            set: &self.set,
            settings: &Settings::default(),
            answers,
            hand,
        };
        let places: Vec<usize> = (0..self.set.papers.len()).collect();
        let papers: Vec<_> = marking.mark(&places).into_iter().map(Result::unwrap).collect();
        let (title, made_by) = (self.blueprint.title.clone(), self.set.made_by.clone());
        let head = MarksHead {
            questions: head_questions(&self.blueprint),
            ..MarksHead::new(title, self.set.fingerprint(), made_by, false)
        };
        assert!(marks_table(&papers, &head).lines().count() >= papers.len());
        head.write() + &marks_lines(&papers)
    }
}

/// What a reader made of a file: something, or what is wrong with it.
type Read = Result<(), Vec<String>>;

/// Gives a reader many damaged files. The good one must be read, so that damage is all that is wrong.
fn withstands(good: &str, usual: u32, read: impl Fn(&[u8]) -> Read) {
    let told = read(good.as_bytes());
    assert!(told.is_ok(), "{told:?}");
    let asked = std::env::var("CASTMARK_CASES").ok();
    let cases = asked.as_ref().map_or(usual, |text| text.parse().unwrap());
    let slowest = Cell::new((Duration::ZERO, 0));
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    let outcome = TestRunner::new(config).run(&wounds(), |wounds| {
        let bytes = damaged(good.as_bytes(), &wounds);
        let begun = Instant::now();
        if let Err(messages) = read(&bytes) {
            let empty = messages.is_empty() || messages.iter().any(|it| it.trim().is_empty());
            if empty {
                return Err(TestCaseError::fail(format!("no word of what is wrong: {messages:?}")));
            }
        }
        // Nothing hangs on a clock, but who asks for many cases wants to know.
        slowest.set(slowest.get().max((begun.elapsed(), bytes.len())));
        if begun.elapsed() > Duration::from_secs(1) {
            eprintln!("slow: {:?} for {} bytes, {wounds:?}", begun.elapsed(), bytes.len());
        }
        Ok(())
    });
    if asked.is_some() {
        let (time, bytes) = slowest.get();
        let name = thread::current().name().unwrap_or_default().to_owned();
        let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
        let most = status.lines().find(|line| line.starts_with("VmHWM")).unwrap_or_default();
        eprintln!("{name}: {cases} cases, the slowest {time:?} for {bytes} bytes; {most}");
    }
    outcome.unwrap_or_else(|failure| panic!("{failure}"));
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

fn source(path: &str, bytes: &[u8]) -> SourceText {
    SourceText::new(path, text(bytes))
}

fn all<T: Display>(problems: &[T]) -> Vec<String> {
    problems.iter().map(T::to_string).collect()
}

/// Every message of a list names its line.
fn lines(problems: &[ListProblem]) -> Vec<String> {
    assert!(problems.iter().all(|problem| problem.line > 0), "{problems:?}");
    all(problems)
}

/// Every complaint is about a place that is in its file.
fn report(report: &Report) -> Vec<String> {
    for complaint in &report.complaints {
        let (line, column) = complaint.location();
        assert!(line > 0 && column > 0, "{complaint:?}");
        assert!(complaint.range.end <= complaint.source.text.len(), "{complaint:?}");
        assert!(!complaint.what.trim().is_empty(), "{complaint:?}");
    }
    assert!(!report.complaints.is_empty());
    vec![report.plain()]
}

/// Reads a file with the other facts of the bundled bank, and with templates that draw on it.
fn in_the_bank(name: &'static str, drawing: &[&str], usual: u32) {
    let (mut facts, templates): (Vec<_>, Vec<_>) =
        Bank::bundled_files().into_iter().partition(|it| it.path.contains("facts/"));
    let good = facts.iter().chain(&templates).find(|it| it.path.ends_with(name)).cloned();
    let SourceText { path, text: good } = good.expect("a bundled file");
    facts.retain(|it| it.path != path);
    // Nothing is known of the tables where the sources are damaged.
    let there = if name == "/sources.yaml" { Vec::new() } else { std::mem::take(&mut facts) };
    let there = Bank::load(&there).unwrap();
    let is_drawing = |it: &SourceText| drawing.iter().any(|name| it.path.ends_with(name));
    facts.extend(templates.into_iter().filter(is_drawing));
    withstands(&good, usual, |bytes| {
        let mut files = facts.clone();
        files.push(source(&path, bytes));
        let bank = there.with(files).map_err(|found| report(&found))?;
        // What is taken can be drawn from, or says why not.
        for template in bank.templates() {
            for number in 0..3 {
                if let Err(problem) = Problem::from_code(&bank, &Code::new(&template.id, number)) {
                    assert!(!problem.to_string().is_empty());
                }
            }
        }
        Ok(())
    });
}

#[test]
fn a_damaged_template_of_numbers_is_told_or_draws() {
    in_the_bank("/base-one-drug.yaml", &[], 60);
}

#[test]
fn a_damaged_template_of_theory_is_told_or_draws() {
    in_the_bank("/lubricant-for-a-base.yaml", &[], 60);
}

#[test]
fn a_damaged_table_of_facts_is_told_or_taken() {
    in_the_bank("/drugs.yaml", &["/base-one-drug.yaml", "/value-from-dose.yaml"], 20);
}

#[test]
fn a_damaged_file_of_sources_is_told_or_taken() {
    in_the_bank("/sources.yaml", &[], 3);
}

#[test]
fn a_damaged_blueprint_is_told_or_planned() {
    withstands(MIDTERM, 40, |bytes| {
        let blueprint = Blueprint::read(source("midterm.yaml", bytes), &SCENE.bank);
        let blueprint = blueprint.map_err(|found| report(&found))?;
        assert!(!blueprint.questions.is_empty());
        Ok(())
    });
}

#[test]
fn a_damaged_class_list_is_told_or_has_every_candidate_once() {
    withstands(CLASS, 300, |bytes| {
        let class = ClassList::read(bytes).map_err(|found| lines(&found))?.candidates;
        let numbers: BTreeSet<&String> = class.iter().map(|it| &it.number).collect();
        assert_eq!(numbers.len(), class.len());
        assert!(class.iter().all(|it| !it.number.trim().is_empty()));
        assert!(class.iter().all(|it| !it.number.chars().any(char::is_control)));
        Ok(())
    });
}

#[test]
fn a_damaged_manifest_is_told_or_keeps_what_a_set_must_be() {
    withstands(&SCENE.set.write(), 60, |bytes| {
        let set = PaperSet::read(&text(bytes)).map_err(|problems| {
            assert!(problems.iter().all(|problem| problem.line > 0));
            all(&problems)
        })?;
        let numbers: BTreeSet<&String> = set.papers.iter().map(|it| &it.candidate.number).collect();
        assert_eq!(numbers.len(), set.papers.len());
        for paper in &set.papers {
            assert_eq!(PaperCode::parse(&paper.code.to_string()), Ok(paper.code));
            let asked: BTreeSet<usize> = paper.questions.iter().map(|it| it.planned).collect();
            assert!(asked.iter().copied().eq(0..set.templates.len()));
            // A problem comes out as it was made, or is refused.
            if let Err(problem) = paper.problems(&SCENE.bank, &SCENE.blueprint, &set.made_by) {
                assert!(!problem.to_string().is_empty());
            }
        }
        // What is read is written so that it is read again as it is.
        assert_eq!(PaperSet::read(&set.write()), Ok(set));
        Ok(())
    });
}

#[test]
fn a_damaged_table_of_answers_is_told_or_marked() {
    withstands(ANSWERS, 100, |bytes| {
        let answers = Answers::read(bytes, &SCENE.asked).map_err(|found| lines(&found))?;
        SCENE.marks(&answers, &HandMarks::default());
        Ok(())
    });
}

#[test]
fn a_damaged_file_of_answers_as_json_lines_is_told_or_marked() {
    let mut good = String::new();
    for record in csv::Reader::from_reader(ANSWERS.as_bytes()).records() {
        let record = record.unwrap();
        let line = serde_json::json!({
            "candidate": record[0],
            "question": record[1].parse::<u32>().unwrap(),
            "part": record[2],
            "answer": record[3],
        });
        good.push_str(&line.to_string());
        good.push('\n');
    }
    withstands(&good, 100, |bytes| {
        let answers = Answers::read(bytes, &SCENE.asked).map_err(|found| lines(&found))?;
        SCENE.marks(&answers, &HandMarks::default());
        Ok(())
    });
}

#[test]
fn rows_without_marks_by_hand_are_counted() {
    let answers = SCENE.answers(ANSWERS);
    let rows = "candidate,question,part,marks,who,why,when\n0101,1,a,,,,\n0101,2,a,,,,\n\
                0102,2,a,0,AB,a reason,2027-03-20\n";
    let mut hand = HandMarks::default();
    assert_eq!(hand.add_table(rows.as_bytes(), &SCENE.asked, &answers), Ok(2));
}

#[test]
fn damaged_answers_to_marks_by_hand_are_told_or_kept() {
    let answers = SCENE.answers(ANSWERS);
    withstands(HAND, 100, |bytes| {
        let mut hand = HandMarks::default();
        let added = hand.add_table(bytes, &SCENE.asked, &answers);
        added.map_err(|found| {
            assert!(hand.is_empty());
            lines(&found)
        })?;
        assert_eq!(HandMarks::read_record(&hand.write(), &SCENE.asked), Ok(hand));
        Ok(())
    });
}

#[test]
fn a_damaged_record_of_marks_by_hand_is_told_or_kept() {
    let answers = SCENE.answers(ANSWERS);
    let mut hand = HandMarks::default();
    hand.add_table(HAND.as_bytes(), &SCENE.asked, &answers).unwrap();
    let good = hand.write();
    let first: HandMark = serde_json::from_str(good.lines().next().unwrap()).unwrap();
    assert_eq!(first.why, "a reason");
    withstands(&good, 100, |bytes| {
        let read = HandMarks::read_record(&text(bytes), &SCENE.asked);
        let hand = read.map_err(|found| lines(&found))?;
        SCENE.marks(&answers, &hand);
        Ok(())
    });
}

#[test]
fn damaged_marks_are_told_or_analysed() {
    let good = SCENE.marks(&SCENE.answers(ANSWERS), &HandMarks::default());
    withstands(&good, 40, |bytes| {
        let marks = Marks::read(&text(bytes)).map_err(|problems| {
            assert!(problems.iter().all(|problem| problem.line > 0));
            all(&problems)
        })?;
        let analysis = Analysis::new(&marks, ReportSettings::default(), None);
        let analysis = analysis.map_err(|problems| all(&problems))?;
        let json = Json.export_report(&analysis, &Front::default(), &Options::default()).unwrap();
        let json: serde_json::Value = serde_json::from_slice(&json).unwrap();
        assert!(json.is_object());
        Ok(())
    });
}

#[test]
fn damaged_rules_of_marking_are_told_or_taken() {
    withstands(RULES, 200, |bytes| {
        let rules = Settings::read(source("rules.yaml", bytes));
        rules.map(|_| ()).map_err(|found| report(&found))
    });
}

#[test]
fn damaged_settings_of_practice_are_told_or_sound() {
    withstands(PRACTICE, 300, |bytes| {
        let settings = read_settings(&text(bytes)).map_err(|problems| all(&problems))?;
        assert_eq!(settings.problems(), []);
        Ok(())
    });
}

#[test]
fn a_damaged_layout_is_told_or_filled_in() {
    let html = exporter("html").unwrap();
    let (_, good) = html.bundled_layout().unwrap();
    let problem = Problem::from_code(&SCENE.bank, &Code::new("base-one-drug", 1)).unwrap();
    let sheet = Sheet::of(&SCENE.bank, [problem], "One", Contents::KEY).unwrap();
    withstands(good, 40, |bytes| {
        let layout = html.layout("mine", &text(bytes)).map_err(|problem| {
            assert!(!problem.what.is_empty() && !problem.help.is_empty());
            vec![problem.to_string()]
        })?;
        let options = Options { layout: Some(layout), ..Options::default() };
        html.export(&sheet, &options).map(|_| ()).map_err(|error| vec![error.to_string()])
    });
}

/// Tags that make the library of layouts call itself once for every link.
fn endless() -> Vec<String> {
    let links = ["+x", "~x", ".a", "|e", "[0]", "()", " or x", " if x else x", "**x", " is true"];
    let mut all: Vec<String> =
        links.iter().map(|link| format!("{{{{ x{} }}}}", link.repeat(20_000))).collect();
    all.extend(["not ", "-"].map(|sign| format!("{{{{ {}x }}}}", sign.repeat(20_000))));
    all.push(format!("{{% if x %}}{}{{% endif %}}", "{% elif x %}".repeat(20_000)));
    all
}

#[test]
fn a_layout_of_endless_links_is_refused_with_its_place() {
    for format in EXPORTERS.iter().filter(|format| format.bundled_layout().is_some()) {
        for text in endless() {
            let problem = format.layout("mine", &format!("\n{text}")).unwrap_err();
            assert_eq!(problem.location.map(|(line, _)| line), Some(2), "{problem}");
            assert!(problem.what.contains("at most"), "{problem}");
        }
    }
}

#[test]
fn a_text_of_endless_links_is_refused_with_its_place() {
    let mut files = Bank::bundled_files();
    files.retain(|it| it.path.contains("facts/") || it.path.ends_with("/base-one-drug.yaml"));
    let at = files.iter().position(|it| it.path.ends_with("/base-one-drug.yaml")).unwrap();
    let line = files[at].text.lines().position(|line| line == "stem:").unwrap() + 2;
    for text in endless() {
        let mut files = files.clone();
        let with = format!("stem:\n  - \"{text}\"\n");
        files[at].text = files[at].text.replace("stem:\n", &with).into();
        let found = Bank::load(&files).unwrap_err();
        let told = found.complaints.iter().find(|it| it.what.contains("at most"));
        assert_eq!(told.map(|it| it.location().0), Some(line), "{}", &text[..20]);
    }
}

/// Texts that make more and more of themselves.
fn growing() -> Vec<(String, &'static str)> {
    let doubled = |begin: &str, more: &str| begin.to_owned() + &more.repeat(40);
    let lists = doubled("{% set x = [1] %}", "{% set x = [x, x] %}") + "{{ 1 if x == x else 2 }}";
    let texts = doubled("{% set x = 'abcdefgh' %}", "{% set x = x ~ x %}") + "{{ x }}";
    let groups = doubled("{% set x = {} %}", "{% set x = {'a': x, 'b': x} %}");
    let rows = doubled("{% set x = 1 %}", "{% set x = (x, x) %}");
    let blocks = doubled("{% set x %}a{% endset %}", "{% set x %}{{ x }}{{ x }}{% endset %}");
    let calls = "{% macro f(x) %}{{ f(x ~ x) }}{% endmacro %}{{ f('abc') }}".to_owned();
    vec![
        (lists, "expected single values"),
        (groups, "expected single values"),
        (rows, "expected single values"),
        (texts, "fuel"),
        (blocks, "fuel"),
        (calls, ""),
        ("{{ 'x' * 99999999 }}".to_owned(), "fuel"),
        ("{% for x in range(9) %}{% endfor %}".to_owned(), ""),
    ]
}

#[test]
fn a_text_that_makes_more_and_more_of_itself_is_refused_at_its_place() {
    let mut files = Bank::bundled_files();
    files.retain(|it| it.path.contains("facts/") || it.path.ends_with("/base-one-drug.yaml"));
    let at = files.iter().position(|it| it.path.ends_with("/base-one-drug.yaml")).unwrap();
    let line = files[at].text.lines().position(|line| line == "stem:").unwrap() + 2;
    for (text, expected) in growing() {
        let mut files = files.clone();
        files[at].text =
            files[at].text.replace("stem:\n", &format!("stem:\n  - \"{text}\"\n")).into();
        let found = Bank::load(&files).unwrap_err();
        let told = found.complaints.iter().find(|it| it.location().0 == line);
        let told = told.unwrap_or_else(|| panic!("{text:.60}: {found}"));
        assert!(told.what.contains(expected), "{text:.60}: {}", told.what);
    }
}
