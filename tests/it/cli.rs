//! The program as a person meets it: exact output, exact errors, exit codes.
//!
//! The program runs with an empty environment, 80 columns and the templates of `tests/cases/cli`,
//! so that nothing here changes with the machine or with the bundled bank.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use castmark::draw::Code;

use super::program::{Ran, castmark};

/// A problem of the test template: 10 units of 200 mg, 2.00 g a cavity, displacement value 1.5.
const CODE: &str = "plain-batch.mfd7-2v5aq";

const OWN_BANK: [&str; 2] = ["--bank", "tests/cases/cli/bank"];

fn program(arguments: &[&str]) -> Command {
    let mut command = castmark(arguments);
    command.env("COLUMNS", "80");
    command
}

fn run(arguments: &[&str]) -> Ran {
    Ran::of(&mut program(arguments))
}

fn with_own_bank(arguments: &[&str]) -> Ran {
    run(&[arguments, &OWN_BANK].concat())
}

#[test]
fn without_a_command_it_says_where_to_begin() {
    let ran = run(&[]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    assert!(ran.out.contains("castmark problem  "), "{}", ran.out);
}

#[test]
fn help_fits_the_width_and_looks_as_it_did() {
    for (name, arguments) in [
        ("help", vec!["--help"]),
        ("help_problem", vec!["help", "problem"]),
        ("help_work", vec!["work", "--help"]),
        ("help_check", vec!["check", "--help"]),
        ("help_bank_check", vec!["bank", "check", "--help"]),
    ] {
        let ran = run(&arguments);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{arguments:?}");
        assert!(ran.out.lines().all(|line| line.chars().count() <= 80), "{}", ran.out);
        // A build with PDF has one format more.
        let lines = ran.out.lines().filter(|line| !line.trim_start().starts_with("- pdf:"));
        let mut shown: String = lines.map(|line| format!("{line}\n")).collect();
        if name == "help" && cfg!(not(feature = "record")) {
            // One without a record has no practice at the prompt.
            let practise = "  practise     Practise at the prompt, with hints and feedback\n";
            shown = shown.replacen("  page  ", &format!("{practise}  page  "), 1);
        }
        insta::assert_snapshot!(name, shown);
    }
}

#[test]
fn a_sheet_has_questions_then_key_then_worked_solutions() {
    let ran = with_own_bank(&["problem", "--template", "plain-batch", "--seed", "1"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    insta::assert_snapshot!("problem", ran.out);
    let again = with_own_bank(&["problem", "--code", CODE]);
    again.check_printed(&ran.out);
}

#[test]
fn a_sheet_without_options_has_one_problem_of_each_objective_and_tells_its_seed() {
    let ran = run(&["problem"]);
    assert_eq!(ran.code, 0);
    assert!(ran.out.contains("\nQuestion 3."), "{}", ran.out);
    let seed = ran.err.strip_prefix("castmark: drawn with --seed ").unwrap();
    let seed = seed.strip_suffix(", which gives the same sheet again\n").unwrap();
    run(&["problem", "--seed", seed]).check_printed(&ran.out);
}

#[test]
fn only_what_was_asked_for_is_shown() {
    let ran = with_own_bank(&["problem", "--code", CODE, "--show", "key"]);
    assert!(ran.out.contains("18.7 g") && !ran.out.contains("You cast"), "{}", ran.out);
    let ran = with_own_bank(&["problem", "--code", CODE, "--show", "questions"]);
    assert!(!ran.out.contains("18.7 g"), "{}", ran.out);
    assert!(ran.out.contains("not for preparing or supplying medicines"), "{}", ran.out);
}

#[test]
fn the_ending_of_a_file_decides_its_format() {
    let folder = tempfile::tempdir().unwrap();
    for (name, begins) in [("a.html", "<!doctype html>"), ("a.json", "{"), ("a.md", "# ")] {
        let path = folder.path().join(name);
        let ran = with_own_bank(&["problem", "--code", CODE, "-o", path.to_str().unwrap()]);
        ran.check_printed("");
        let text = fs::read_to_string(&path).unwrap().to_lowercase();
        assert!(text.starts_with(begins), "{name}: {text}");
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 3);
}

#[test]
fn nothing_is_written_when_a_run_cannot_finish() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sheet.txt");
    fs::write(&path, "old").unwrap();
    let ran = run(&["problem", "--template", "none", "--output", path.to_str().unwrap()]);
    ran.check_refused("there is no template `none`; `castmark bank list` shows all of them");
    assert_eq!(fs::read_to_string(&path).unwrap(), "old");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn a_format_can_be_asked_for_by_the_usual_ending_of_its_files() {
    let sheet = |format| run(&["problem", "--seed", "3", "--format", format]).out;
    assert_eq!(sheet("md"), sheet("markdown"));
    assert_eq!(sheet("txt"), sheet("text"));
}

#[cfg(not(feature = "pdf"))]
#[test]
fn the_refusal_of_pdf_names_the_command_that_builds_it() {
    let remedy = "this castmark was built without PDF; build it anew with `cargo install --path . \
                  --features pdf`, or choose html, which prints from a browser";
    run(&["problem", "--output", "sheet.pdf"]).check_refused(remedy);
    let ran = run(&["problem", "--format", "pdf"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains(remedy), "{}", ran.err);
}

#[test]
fn refuses_a_file_whose_format_cannot_be_told() {
    run(&["problem", "--output", "sheet.xyz"]).check_refused(&format!(
        "a file ending in .xyz could hold anything; end its name in .txt, .md, .html, {}.json, \
             .qti3.zip, .qti2.zip, or say which format with --format",
        if cfg!(feature = "pdf") { ".pdf, " } else { "" }
    ));
}

#[test]
fn refuses_options_that_make_no_sense() {
    run(&["problem", "--level", "7"]).check_refused(
        "invalid value '7' for '--level <N>'\n  [possible values: 1, 2, 3]\n\n\
         For more information, try '--help'.",
    );
    run(&["problem", "--count", "0"]).check_refused(
        "invalid value '0' for '--count <N>': expected a whole number from 1 to 500\n\n\
         For more information, try '--help'.",
    );
    run(&["problem", "--seed", "-1"]).check_refused(
        "unexpected argument '-1' found\n\n\
         Usage: castmark problem [OPTIONS]\n\n\
         For more information, try '--help'.",
    );
    run(&["problem", "--template", "base-one-drug", "--level", "1"]).check_refused(
        "the argument '--template <ID>' cannot be used with '--level <N>'\n\n\
         Usage: castmark problem --template <ID>\n\n\
         For more information, try '--help'.",
    );
    run(&["probelm"]).check_refused(
        "unrecognized subcommand 'probelm'\n\n  tip: a similar subcommand exists: 'problem'\n\n\
         Usage: castmark [COMMAND]\n\nFor more information, try '--help'.",
    );
}

#[test]
fn refuses_codes_that_cannot_be_used_and_names_all_of_them() {
    with_own_bank(&["problem", "--code", "plain-batch.mfd7-2v5aa", "plain-btch.mfd7-2v5aq"]).check_refused(
        "the code `plain-batch.mfd7-2v5aa`: the check letter does not fit: one letter is wrong or \
         two are swapped; look at the code again\n\
         there is no template `plain-btch`; did you mean `plain-batch`?",
    );
}

#[test]
fn a_layout_with_a_mistake_is_refused_with_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("own.jinja");
    fs::write(&path, "{{ title }\n").unwrap();
    let ran = with_own_bank(&["problem", "--code", CODE, "--layout", path.to_str().unwrap()]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.starts_with("castmark: ") && ran.err.contains("own.jinja"), "{}", ran.err);
}

/// What `check` prints, with the caution that it ends with.
fn cautioned(verdicts: &str) -> String {
    format!(
        "{verdicts}\n\
         For teaching and self-assessment only, not for preparing or supplying medicines.\n\
         In practice the pharmacopoeia and the rules in force where you are decide, and a\n\
         licensed pharmacist answers for the work.\n"
    )
}

#[test]
fn right_answers_end_with_nought() {
    with_own_bank(&["check", CODE, "2 g", "18.7"]).check_printed(&cautioned(
        "\
plain-batch.mfd7-2v5aq: A plain batch

(a) 2 g is correct, 1 of 1 mark
    The question asks for 2 decimal places. Write every place, including a final
    zero.

(b) 18.7 is correct, 3 of 3 marks

Together 4 of 4 marks.
",
    ));
}

#[test]
fn wrong_answers_end_with_one_and_say_what_they_show() {
    let ran = with_own_bank(&["check", CODE, "2000 g", "b=18 g"]);
    assert_eq!((ran.code, ran.err.as_str()), (1, ""));
    assert_eq!(
        ran.out,
        cautioned(
            "\
plain-batch.mfd7-2v5aq: A plain batch

(a) 2000 g is not correct, 0 of 1 mark
    The digits of 2000 g are correct, but the decimal point is in the wrong
    place: your answer is 1000 times too large. Check whether two units were
    mixed up, such as mg and g.
    Marking rule: A decimal point in the wrong place costs the accuracy marks.

(b) 18 g is not correct, 0 of 3 marks
    18 g can come about in more than one way. You took off the whole drug, 2.00
    g. Check step 2, mass of base.
    18 g has been cut off instead of rounded. The question asks for 1 decimal
    place.
    Marking rule: A wrong number earns no marks unless it shows a correct
    method.

Together 0 of 4 marks.
"
        )
    );
}

#[test]
fn one_part_can_be_answered_by_its_letter_or_its_name() {
    for answer in ["b=187 g", "base=187 g"] {
        let ran = with_own_bank(&["check", CODE, answer]);
        assert_eq!(
            (ran.code, ran.out),
            (
                1,
                cautioned(
                    "\
plain-batch.mfd7-2v5aq: A plain batch

(b) 187 g is partly correct, 2 of 3 marks
    The digits of 187 g are correct, but the decimal point is in the wrong
    place: your answer is 10 times too large. Check where you wrote the decimal
    point and how many zeros there are.
    Marking rule: A decimal point in the wrong place costs the accuracy marks.
"
                )
            )
        );
    }
}

#[test]
fn an_answer_that_cannot_be_read_ends_with_two() {
    let ran = with_own_bank(&["check", CODE, "2 g", "about nineteen\u{1b}[2J"]);
    assert_eq!(ran.code, 2);
    assert!(ran.out.contains("(b) about nineteen[2J is not read, 0 of 3 marks"), "{}", ran.out);
}

#[test]
fn verdicts_are_printed_as_a_web_page_as_markdown_and_as_json_too() {
    let ran = with_own_bank(&["check", CODE, "b=187 g", "--format", "json"]);
    assert_eq!((ran.code, ran.err.as_str()), (1, ""));
    let json: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(json["castmark_verdict"], 1);
    let entry = &json["entries"][0];
    assert_eq!((&entry["id"], &entry["standing"]), (&"base".into(), &"partly-correct".into()));
    assert_eq!((&entry["marks"], &entry["of"]), (&2.into(), &3.into()));
    assert_eq!(entry["rule"]["name"], "moved-point");
    assert_eq!(entry["reasons"][0]["kind"], "power-of-ten");
    let ran = with_own_bank(&["check", CODE, "b=187 g <b>", "--format", "html"]);
    assert_eq!((ran.code, ran.err.as_str()), (2, ""));
    assert!(ran.out.starts_with("<!DOCTYPE html>") && !ran.out.contains("<b>"), "{}", ran.out);
    let ran = with_own_bank(&["check", CODE, "b=187 g", "--format", "markdown"]);
    assert_eq!((ran.code, ran.err.as_str()), (1, ""));
    insta::assert_snapshot!("check_markdown", ran.out);
    with_own_bank(&["check", CODE, "b=1 g", "--format", "json", "--solution"]).check_refused(
        "JSON has no worked solution; leave out --solution, or choose --format text, markdown or html",
    );
}

#[test]
fn verdicts_and_solution_are_written_to_a_file_whose_name_says_what_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let [page, json, text] = ["marked.html", "marked.json", "marked.txt"].map(path);
    let ran = with_own_bank(&["check", CODE, "b=187 g", "--solution", "--output", &page]);
    assert_eq!((ran.code, ran.out.as_str(), ran.err.as_str()), (1, "", ""));
    // A unit stays with its number.
    let page = fs::read_to_string(&page).unwrap().replace('\u{a0}', " ").replace("&nbsp;", " ");
    for words in ["187 g", "2 of 3 marks", "Step 2", "not for preparing or supplying medicines"] {
        assert!(page.contains(words), "{words}: {page}");
    }
    assert_eq!(with_own_bank(&["check", CODE, "b=187 g", "-o", &json]).code, 1);
    assert!(fs::read_to_string(&json).unwrap().starts_with('{'));
    assert_eq!(with_own_bank(&["check", CODE, "b=187 g", "-o", &text, "--solution"]).code, 1);
    assert!(fs::read_to_string(&text).unwrap().contains("Step 2."));
    with_own_bank(&["check", CODE, "b=1 g", "-o", "marked.xyz"]).check_refused(
        "a file ending in .xyz could hold anything; end its name in .txt, .md, .html, .json, or say which \
         format with --format",
    );
}

#[test]
fn an_equals_sign_in_words_names_no_part_and_before_a_number_it_does() {
    let code = Code::new("displacement-explained", 1).to_string();
    let ran = run(&["check", &code, "displaced base = drug / its value"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{}", ran.out);
    assert!(ran.out.contains("marked by hand"), "{}", ran.out);
    let code = Code::new("name-of-the-thing", 1).to_string();
    let ran = run(&["check", &code, "the thing = a spoon"]);
    assert!(ran.code != 2 && ran.out.contains("the thing = a spoon"), "{}{}", ran.out, ran.err);
    let said = with_own_bank(&["check", CODE, "base of all = 3 g"]).refused();
    assert!(said.contains("the problem has no part or step `base of all`"), "{said}");
}

#[test]
fn a_unit_may_be_typed_apart_from_its_number() {
    for answers in [
        &["2.00", "g", "18.7", "g"][..],
        &["2.00 g", "18.7", "g"],
        &["2.00", "g", "18.7"],
        &["a=2.00", "g", "b=18.7", "g"],
        &["2.00", "18.7"],
    ] {
        let ran = with_own_bank(&[&["check", CODE], answers].concat());
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{answers:?}: {}", ran.out);
    }
}

#[test]
fn an_answer_below_zero_is_an_answer_and_no_option() {
    for answer in ["-3.6 g", "-3,6g", "-.5 g", "-1", "-1e3"] {
        let ran = with_own_bank(&["check", CODE, answer]);
        assert_eq!((ran.code, ran.err.as_str()), (1, ""), "{answer}: {}", ran.out);
        assert!(ran.out.contains(&format!("(a) {answer} ")), "{}", ran.out);
    }
    // What is no number is still taken for an option.
    for option in ["-g", "--ban", "-x3"] {
        let ran = with_own_bank(&["check", CODE, option]);
        assert_eq!(ran.code, 2, "{option}");
        assert!(ran.err.contains("unexpected argument"), "{}", ran.err);
    }
}

#[test]
fn rules_of_ones_own_are_marked_by_and_refused_with_their_place() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("rules.yaml");
    let rules = path.to_str().unwrap();
    fs::write(&path, "castmark: 1\nmoved_point_costs: 1\n").unwrap();
    let ran = with_own_bank(&["check", CODE, "a=2000 g", "b=187 g", "--rules", rules]);
    assert!(
        ran.out.contains("Marking rule: A decimal point in the wrong place costs 1 mark."),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("Together 2 of 4 marks."), "{}", ran.out);
    fs::write(&path, "castmark: 1\nmoved_point_costs: dear\n").unwrap();
    let ran = with_own_bank(&["check", CODE, "b=187 g", "--rules", rules]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(
        ran.err.contains("expected a word that `moved_point_costs` knows, found `dear`"),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("rules.yaml:2"), "{}", ran.err);
}

#[test]
fn a_worked_solution_carries_the_caution() {
    let ran = with_own_bank(&["check", CODE, "b=18.7 g", "--solution"]);
    assert_eq!(ran.code, 0);
    assert!(ran.out.contains("Step 2."), "{}", ran.out);
    assert!(ran.out.contains("not for preparing or supplying medicines"), "{}", ran.out);
}

#[test]
fn refuses_answers_that_belong_to_no_part() {
    let asked = "  a or drug_mass: What mass of drug is needed?\n  \
                 b or base: What mass of base is needed?\n\
                 as in: castmark check plain-batch.mfd7-2v5aq \"a=1.23 g\"";
    with_own_bank(&["check", CODE])
        .check_refused(&format!("expected an answer, found none; the problem asks for:\n{asked}"));
    with_own_bank(&["check", CODE, "1", "2", "3"]).check_refused(&format!(
        "expected 2 answers, found more; put quotation marks around every answer with a space in \
             it. The problem asks for:\n{asked}"
    ));
    with_own_bank(&["check", CODE, "c=1"])
        .check_refused(&format!("the problem has no part or step `c`; it asks for:\n{asked}"));
    with_own_bank(&["check", CODE, "b=1", "base=2"])
        .check_refused("part (b) base is answered twice; keep one of the two");
    with_own_bank(&["check", "k7m2"]).check_refused(
        "the code `k7m2`: expected a template, a point and nine letters, as in \
         `base-one-drug.k7m2-9qfxt`, found no point; copy the whole code from the sheet",
    );
}

#[test]
fn ones_own_numbers_are_worked_with() {
    let values = ["number=12", "capacity=2050 mg", "dose=0.3g", "value=1.5"];
    let ran = with_own_bank(&[&["work", "plain-batch"][..], &values].concat());
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    insta::assert_snapshot!("work", ran.out);
}

#[test]
fn without_numbers_of_ones_own_it_lists_what_is_wanted() {
    with_own_bank(&["work", "plain-batch"]).check_printed(
        "\
To work `plain-batch`, give these values:

  number: number cast, a count
  capacity: capacity of a cavity, in g
  dose: dose in each unit, in mg
  value: displacement value

As in:
  castmark work plain-batch number=12 \"capacity=2.00 g\" \"dose=200 mg\" value=1.5
",
    );
}

#[test]
fn refuses_numbers_that_cannot_be_worked_with_and_names_all_of_them() {
    with_own_bank(&["work", "plain-batch", "nmber=12", "capacity=2 mL", "dose=200"]).check_refused(
        "the values cannot be worked with:\n  \
         expected a value of the template, found `nmber`; did you mean `number`?\n  \
         expected mass per unit for `capacity`, found volume; give it in g/unit\n  \
         expected `number` (number cast), found nothing; give it, as in `number=12`\n  \
         expected `value` (displacement value), found nothing; give it, as in `value=1.5`",
    );
    with_own_bank(&["work", "plain-batch", "twelve", "dose=some"]).check_refused(
        "the values cannot be read:\n  \
         expected name=number, found `twelve`; put an equals sign between the two\n  \
         `dose`: expected a number, found `some`; type it in digits, such as `3.2 g`",
    );
}

#[test]
fn a_bank_is_listed_and_its_templates_shown() {
    let ran = with_own_bank(&["bank", "list", "--level", "1", "--objective", "base-quantity"]);
    assert_eq!(ran.code, 0);
    let line = ran.out.lines().find(|line| line.starts_with("plain-batch ")).unwrap();
    let cells: Vec<&str> = line.split_whitespace().collect();
    assert_eq!(cells, ["plain-batch", "base-quantity", "1", "4", "A", "plain", "batch"]);
    let ran = with_own_bank(&["bank", "show", "plain-batch"]);
    insta::assert_snapshot!("bank_show", ran.out);
    let ran = with_own_bank(&["bank", "show", "plain-batch", "--file"]);
    ran.check_printed(&fs::read_to_string("tests/cases/cli/bank/plain-batch.yaml").unwrap());
}

#[test]
fn a_sound_template_is_proved() {
    with_own_bank(&["bank", "check", "plain-batch", "--whole"]).check_printed(
        "\
template     objective      level  problems   fair  slips  tried  faults
plain-batch  base-quantity      1         8  100 %      1      8       0

template     widest  in part    nearest  wrong method                   verdicts
plain-batch   0.5 %  drug_mass      5.7  whole-drug-subtracted in base

Widest is how far the range that is marked right reaches from the answer, to one
side of it, in per cent of the answer; over 2 % the part has to say why. Nearest
is the smallest distance between that range and what a known wrong method leads
to by any permitted rounding, in units of the last place asked for; it is at
least 0.5. Verdicts are the shares of the draws in which each is right, in their
order.
1 template checked: no fault
",
    );
}

#[test]
fn a_wide_range_needs_a_reason() {
    let folder = tempfile::tempdir().unwrap();
    let text = fs::read_to_string("tests/cases/cli/bank/plain-batch.yaml").unwrap();
    let bank = folder.path().to_str().unwrap();
    let proved = |tolerance: &str| {
        let text = text.replace("tolerance: 0.05", tolerance);
        fs::write(folder.path().join("plain-batch.yaml"), text).unwrap();
        run(&["bank", "check", "plain-batch", "--bank", bank, "--whole"])
    };
    let ran = proved("tolerance: 0.5");
    assert_eq!(ran.code, 1);
    let fault = "part `base` accepts answers up to 2.8 % from the right one";
    assert!(ran.out.contains(fault), "{}", ran.out);
    let ran = proved("tolerance: 0.5\n    wide: the balance shows 1 g");
    assert_eq!((ran.code, ran.out.contains("2.8 %  base")), (0, true), "{}", ran.out);
}

#[test]
fn a_template_that_does_not_hold_ends_with_one() {
    let folder = tempfile::tempdir().unwrap();
    let text = fs::read_to_string("tests/cases/cli/bank/plain-batch.yaml").unwrap();
    // With one number for each value all draws are the same.
    let text = text
        .replace("choose: [10, 12]", "choose: [10]")
        .replace("choose: [2.00, 2.05]", "choose: [2.00]")
        .replace("choose: [200, 300]", "choose: [200]");
    fs::write(folder.path().join("plain-batch.yaml"), text).unwrap();
    let bank = folder.path().to_str().unwrap();
    let ran = run(&["bank", "check", "plain-batch", "--bank", bank, "--draws", "3"]);
    assert_eq!(
        (ran.code, ran.err.as_str(), ran.out.as_str()),
        (
            1,
            "",
            "\
template     objective      level  problems   fair  slips  tried  faults
plain-batch  base-quantity      1         1  100 %      1      3       1

template     widest  in part    nearest  wrong method                   verdicts
plain-batch   0.5 %  drug_mass      5.7  whole-drug-subtracted in base

Widest is how far the range that is marked right reaches from the answer, to one
side of it, in per cent of the answer; over 2 % the part has to say why. Nearest
is the smallest distance between that range and what a known wrong method leads
to by any permitted rounding, in units of the last place asked for; it is at
least 0.5. Verdicts are the shares of the draws in which each is right, in their
order.
plain-batch: every draw is the same
1 template checked: 1 fault
"
        )
    );
}

#[test]
fn a_bank_with_mistakes_is_met_with_their_places() {
    let ran = run(&["bank", "list", "--bank", "tests/cases/cli/broken"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.starts_with("castmark: the bank cannot be used\n\nerror: "), "{}", ran.err);
    assert!(ran.err.contains("tests/cases/cli/broken/broken-batch.yaml:"), "{}", ran.err);
    assert!(ran.err.contains("did you mean `number`?"), "{}", ran.err);
}

#[test]
fn refuses_a_folder_that_is_no_bank() {
    run(&["bank", "check", "--bank", "tests/cases/cli/none"]).check_refused(
        "the folder `tests/cases/cli/none` cannot be read: there is no such file or folder; check the \
         name",
    );
}

#[test]
fn completions_and_manual_pages_are_made() {
    for shell in ["bash", "fish", "zsh", "powershell", "elvish"] {
        let ran = run(&["completions", shell]);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""));
        assert!(ran.out.contains("castmark"), "{shell}");
        // The others complete names of options alone.
        for name in ["base-one-unit", "product-checks", "mean-capacity"] {
            let completes = ["bash", "fish", "zsh"].contains(&shell);
            assert!(!completes || ran.out.contains(name), "{shell}: {name}");
        }
    }
    let ran = run(&["manual"]);
    assert!(ran.out.contains(".TH castmark 1"), "{}", ran.out);
    let ran = run(&["manual", "check"]);
    assert!(ran.out.contains(".TH castmark-check 1"), "{}", ran.out);
    for section in ["EXAMPLES", "EXIT STATUS", "ENVIRONMENT", "FILES"] {
        assert!(ran.out.contains(section), "{section}: {}", ran.out);
    }
    let practise = if cfg!(feature = "record") { "practise, " } else { "" };
    run(&["manual", "chek"]).check_refused(&format!(
        "there is no command `chek`; the commands are problem, work, batch, check, {practise}page, paper, \
         mark, analyse, begin, bank, sources, completions, manual, help"
    ));
}

#[test]
fn a_reader_who_has_gone_is_no_fault() {
    let mut child = program(&["completions", "bash"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!((output.status.code(), output.stderr.as_slice()), (Some(0), &b""[..]));
}

#[test]
fn an_output_that_cannot_be_written_is_told_once() {
    if !Path::new("/dev/full").exists() {
        return;
    }
    let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = program(&["bank", "list"]).stdout(full).output().unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(err.starts_with("castmark: the output could not be written: "), "{err}");
    assert_eq!(err.lines().count(), 1, "{err}");
}
