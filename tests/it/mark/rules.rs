//! A class marked by the paper's own rules, with steps of the working among the answers, by a bank
//! that has changed a little, and with candidates who are absent.

use castmark::problem::{Problem, Response};
use castmark::quantity::{Exact, Quantity};

use super::{BLUEPRINT, CLASS, ClassFolder, good_answers, right};

use crate::program::Ran;

/// The blueprint of the other tests with rules of its own.
fn with_rules(rules: &str) -> String {
    BLUEPRINT.replace("sections:", &format!("marking:\n{rules}sections:"))
}

/// The right answer to a number with its point moved by one place.
fn tenfold(problem: &Problem, part: usize) -> String {
    let Response::Number(key) = &problem.parts[part].response else { panic!("a number") };
    Quantity::new(key.shown.mul(Exact::whole(10)).unwrap(), key.unit).to_string()
}

fn castmark(desk: &ClassFolder, arguments: &str) -> Ran {
    Ran::of(desk.command(arguments).env("COLUMNS", "80"))
}

#[test]
fn the_rules_of_the_blueprint_are_followed_unless_a_file_takes_their_place() {
    let desk = ClassFolder::with(&with_rules("  moved_point_costs: all\n"), CLASS);
    let answer = tenfold(&desk.papers[0][0], 2);
    desk.put("answers.csv", &format!("candidate,1c\n0101,{answer}\n"));
    let said = desk.mark("answers.csv --to marks");
    assert!(!said.contains("rules"), "{said}");
    assert_eq!(desk.line("0101", 1, "c")["marks"], 0);
    assert!(desk.read("marks/marks.jsonl").lines().next().unwrap().contains("\"rules\":\"own\""));
    let page = desk.read("marks/feedback/0001-0101.html");
    assert!(
        page.contains("Marking rule: A decimal point in the wrong place costs all marks."),
        "{page}"
    );
    desk.put("rules.yaml", "castmark: 1\nmoved_point_costs: nothing\n");
    let said = desk.mark("answers.csv --to marks --rules rules.yaml");
    assert!(said.contains("the rules in the file replace those in the blueprint"), "{said}");
    assert_eq!(desk.line("0101", 1, "c")["marks"], desk.line("0101", 1, "c")["of"]);
}

#[test]
fn the_plan_and_the_scheme_tell_the_rules_and_promise_nothing_against_them() {
    let desk = ClassFolder::new();
    desk.put("plain.yaml", BLUEPRINT);
    desk.put("strict.yaml", &with_rules("  follow_through: never\n  unit_costs: 1\n"));
    desk.put("class.csv", "candidate\n1\n");
    let told = "A result that follows from an earlier error earns no marks.";
    let plan = castmark(&desk, "paper plan strict.yaml").out;
    assert!(plan.contains(told) && plan.contains("A wrong unit costs 1 mark, once"), "{plan}");
    let plan = castmark(&desk, "paper plan plain.yaml").out;
    assert!(!plan.contains("Rules of marking"), "{plan}");
    let also = "also from an earlier wrong answer";
    for (name, strict) in [("strict", true), ("plain", false)] {
        let made = format!("paper make {name}.yaml --class class.csv --to {name} --format text");
        let made = castmark(&desk, &made);
        assert_eq!(made.code, 0, "{made:?}");
        for (document, tells) in [("schemes", true), ("papers", false)] {
            let text = desk.read(&format!("{name}/{document}/0001-1.txt"));
            let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            assert_eq!(text.contains(told), strict && tells, "{text}");
            assert_eq!(text.contains(also), !strict && tells, "{text}");
        }
    }
}

#[test]
fn rules_that_are_not_known_are_told_before_any_paper_is_made() {
    let desk = ClassFolder::new();
    let rules = "  unit_costs: dear\n  follow_trough: all\n";
    desk.put("bad.yaml", &with_rules(rules).replace("minutes: 30", "minutes: 0"));
    desk.put("class.csv", "candidate\n1\n");
    for command in ["paper plan bad.yaml", "paper make bad.yaml --class class.csv --to bad"] {
        let output = castmark(&desk, command);
        assert_eq!(output.code, 2, "{command}");
        let said = output.err;
        assert!(said.contains("did you mean `follow_through`?"), "{said}");
    }
    desk.put("bad.yaml", &with_rules("  unit_costs: dear\n").replace("minutes: 30", "minutes: 0"));
    let output = castmark(&desk, "paper plan bad.yaml");
    let said = output.err;
    assert!(said.contains("expected a word that `unit_costs` knows, found `dear`"), "{said}");
    assert!(said.contains("known are: nothing, accuracy, 1, 2, 3, all"), "{said}");
    assert!(said.contains("bad.yaml:6:") && said.contains("from 1 to 600, found `0`"), "{said}");
}

#[test]
fn a_wrong_step_that_is_carried_on_rightly_keeps_the_marks_for_method() {
    let desk = ClassFolder::new();
    let problem = &desk.papers[0][0];
    let Response::Number(base) = &problem.parts[2].response else { panic!("a number") };
    let total = problem.step_key(2).unwrap();
    let Response::Number(displaced) = &problem.parts[1].response else { panic!("a number") };
    // The candidate has found a total that nothing explains, and gone on with it.
    let wrong = total.shown.mul(Exact::whole(3)).unwrap();
    let after = wrong.sub(displaced.shown).unwrap();
    let row = |part: &str, answer: &str| format!("0101,1,{part},{answer}\n");
    let head = "candidate,question,part,answer\n";
    let (b, base_after) = (right(problem, 1), Quantity::new(after, base.unit).to_string());
    desk.put("alone.csv", &format!("{head}{}{}", row("b", &b), row("c", &base_after)));
    desk.mark("alone.csv --to marks");
    let alone = desk.line("0101", 1, "c");
    assert_eq!((&alone["marks"], &alone["steps"]), (&0.into(), &serde_json::json!([])));
    let step = Quantity::new(wrong, total.unit).to_string();
    for name in ["total", "total capacity", " Total_Capacity "] {
        let step = row(name, &step);
        let rows = format!("{head}{}{}{step}", row("b", &b), row("c", &base_after));
        desk.put("answers.csv", &rows);
        desk.mark("answers.csv --to marks");
        let line = desk.line("0101", 1, "c");
        assert_eq!(line["marks"], base.method_marks, "{name}: {line}");
        assert_eq!(line["follows"], true);
        assert_eq!(line["steps"][0]["step"], "total");
        assert_eq!(line["steps"][0]["standing"], "not-correct");
        assert_eq!(desk.line("0101", 1, "b")["steps"], serde_json::json!([]));
    }
    let page = desk.read("marks/feedback/0001-0101.html");
    assert!(page.contains("total capacity: ") && page.contains(", not correct."), "{page}");
    // In a row for the whole candidate, too; and a step that a part asks for is that part.
    desk.put(
        "wide.csv",
        &format!("candidate,1base_displaced,1c,1total\n0101,{b},{base_after},{step}\n"),
    );
    desk.mark("wide.csv --to marks");
    assert_eq!(desk.line("0101", 1, "c")["marks"], base.method_marks);
    assert_eq!(desk.line("0101", 1, "b")["standing"], "correct");
}

#[test]
fn a_step_entered_twice_or_under_a_name_that_is_none_is_refused() {
    let desk = ClassFolder::new();
    desk.put(
        "answers.csv",
        "candidate,question,part,answer\n0101,1,total,5 g\n0101,1,total capacity,6 g\n\
         0101,1,totals,6 g\n0101,3,total,6 g\n",
    );
    let said = desk.refused("answers.csv --to marks");
    for expected in [
        "line 3, column `answer`: question 1 (step 3) of candidate 0101 is answered already on line 2",
        "line 4, column `part`: question 1 of candidate 0101 has the parts a, b and c, found `totals`",
        "line 5, column `part`: question 3 of candidate 0101 has the parts a and b, found `total`",
    ] {
        assert!(said.contains(expected), "{said}");
    }
    // A step has no marks that could be given by hand.
    desk.put("good.csv", "candidate,1a\n0101,5 g\n");
    desk.put(
        "hand.csv",
        "candidate,question,part,marks,who,why,when\n0101,1,total,1,A,b,2026-05-20\n",
    );
    let said = desk.refused("good.csv --to marks --hand hand.csv");
    assert!(said.contains("found `total`; look at the part"), "{said}");
}

#[test]
fn a_candidate_who_is_absent_has_a_line_that_analysis_counts_apart() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    desk.mark("answers.csv --to marks");
    let absent: Vec<_> = desk.lines().into_iter().filter(|it| it["absent"] == true).collect();
    assert_eq!(absent.len(), 1);
    assert_eq!(absent[0]["candidate"], "-7/..");
    let output = castmark(&desk, "analyse marks/marks.jsonl");
    let text = output.out;
    assert!(text.contains("3 candidates, 6 items"), "{text}");
    assert!(text.contains("1 candidate was absent and is in none of the numbers."), "{text}");
}

#[test]
fn a_template_that_has_changed_without_another_problem_is_told_and_marked() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    desk.mark("answers.csv --to before");
    let bank = format!("{}/question-templates", env!("CARGO_MANIFEST_DIR"));
    let mut copy = std::process::Command::new("cp");
    let copied = copy.args(["-r", &bank, "bank"]).current_dir(desk.root()).status();
    assert!(copied.unwrap().success());
    let said = desk.mark("answers.csv --to marks --bank bank");
    assert!(!said.contains("changed"), "{said}");
    let template = "bank/base-quantity/base-one-drug.yaml";
    desk.put(template, &format!("{}# Looked through again.\n", desk.read(template)));
    let said = desk.mark("answers.csv --to marks --bank bank");
    assert!(said.contains("changed") && said.contains("base-one-drug"), "{said}");
    assert_eq!(desk.read("marks/marks.csv"), desk.read("before/marks.csv"));
}

#[test]
fn a_question_beyond_the_last_is_told_with_how_many_there_are() {
    let desk = ClassFolder::new();
    let last = desk.papers[0].len();
    let beyond = last + 1;
    let head = "candidate,question,part,answer\n";
    desk.put("answers.csv", &format!("{head}0101,{beyond},a,5 g\n0101,0,a,5 g\n"));
    let said = desk.refused("answers.csv --to marks");
    for number in [beyond, 0] {
        let told = format!("expected a question from 1 to {last}, found `{number}`");
        assert!(said.contains(&told), "{said}");
    }
}
