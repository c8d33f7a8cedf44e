//! The language of formulas, from outside: good and bad cases, and laws.

#[path = "formula/bench.rs"]
mod bench;
#[path = "formula/laws.rs"]
mod laws;

use std::fmt::Write as _;

use castmark::formula::{Formula, FormulaProblem, Shape, Slot};

use bench::{Bench, slots};

/// What every line of a file comes to.
fn each_line(text: &str, tell: fn(&str, &mut String)) -> String {
    let mut out = String::new();
    for line in text.lines().filter(|line| !line.is_empty()) {
        if !out.is_empty() {
            out.push('\n');
        }
        writeln!(out, "{line}").unwrap();
        tell(line, &mut out);
    }
    out
}

/// A problem below its formula, with marks under the part it blames.
fn problem(text: &str, problem: &FormulaProblem, out: &mut String) {
    marks(text, &problem.range, &problem.what, out);
    writeln!(out, "    label: {}", problem.label).unwrap();
    if let Some(help) = &problem.help {
        writeln!(out, "    help: {help}").unwrap();
    }
}

fn marks(text: &str, range: &std::ops::Range<usize>, what: &str, out: &mut String) {
    let before = text[..range.start].chars().count();
    let blamed = text[range.clone()].chars().count().max(1);
    writeln!(out, "{}{} {what}", " ".repeat(before), "^".repeat(blamed)).unwrap();
}

fn good(line: &str, out: &mut String) {
    let formula = Formula::parse(line).unwrap_or_else(|found| panic!("{line}: {found:?}"));
    let program = formula.compile(&Bench).unwrap_or_else(|found| panic!("{line}: {found:?}"));
    let slots = slots();
    let trimmed = |slot| match slot {
        Slot::Number(number) => number.trimmed().to_string(),
        other => format!("{other:?}"),
    };
    let value = match program.shape() {
        Shape::Truth => program.holds(&slots).unwrap().to_string(),
        Shape::Number(of) | Shape::List(of) => {
            format!("{} ({of})", trimmed(program.run_slot(&slots).unwrap()))
        }
    };
    let (named, numbered) = (formula.with_names(&Bench), formula.with_numbers(&Bench));
    writeln!(out, "    gives   {value}").unwrap();
    writeln!(out, "    names   {}", named.text()).unwrap();
    writeln!(out, "    numbers {}", numbered.text()).unwrap();
    writeln!(out, "    typst   {}", numbered.typst()).unwrap();
    writeln!(out, "    mathml  {}", body(&numbered.mathml())).unwrap();
}

/// The inside of a `math` element.
fn body(mathml: &str) -> &str {
    let inside = mathml.strip_suffix("</math>").unwrap();
    &inside[inside.find('>').unwrap() + 1..]
}

fn bad(line: &str, out: &mut String) {
    let problems = match Formula::parse(line) {
        Err(problems) => problems,
        Ok(formula) => match formula.compile(&Bench) {
            Err(problems) => problems,
            Ok(program) => {
                let fault = program.run(&slots()).expect_err(line);
                return marks(line, &fault.range, &fault.cause.to_string(), out);
            }
        },
    };
    for found in &problems {
        problem(line, found, out);
    }
}

#[test]
fn works_and_shows_what_is_right() {
    insta::glob!("../cases/formula/good", "*.txt", |path| {
        let text = std::fs::read_to_string(path).unwrap();
        insta::assert_snapshot!(each_line(&text, good));
    });
}

#[test]
fn says_what_is_wrong_and_where() {
    insta::glob!("../cases/formula/bad", "*.txt", |path| {
        let text = std::fs::read_to_string(path).unwrap();
        insta::assert_snapshot!(each_line(&text, bad));
    });
}

#[test]
fn long_and_deep_formulas_are_refused_and_no_more_than_a_dozen_problems_are_told() {
    let only = |text: &str| {
        let problems = Formula::parse(text).unwrap_err();
        assert_eq!(problems.len(), 1, "{problems:?}");
        problems[0].to_string()
    };
    let long = format!("1{}", "+1".repeat(500));
    assert_eq!(only(&long), "expected a formula of at most 1000 letters, found 1001");
    let deep = "(".repeat(41) + "1" + &")".repeat(41);
    assert_eq!(only(&deep), "expected at most 40 levels of brackets, found more");
    assert_eq!(only(&"-".repeat(900)), "expected at most 40 levels of brackets, found more");
    assert_eq!(only(&"(".repeat(900)), "expected at most 40 levels of brackets, found more");
    let nested = "(".repeat(40) + "1" + &")".repeat(40);
    assert!(Formula::parse(&nested).is_ok());
    assert_eq!(Formula::parse(&")".repeat(900)).unwrap_err().len(), 12);
    let wide = |signs| format!("1{}", "+1".repeat(signs));
    assert_eq!(only(&wide(101)), "expected at most 100 signs, found more");
    let program = Formula::parse(&wide(100)).unwrap().compile(&Bench).unwrap();
    assert_eq!(program.run(&[]).unwrap().to_string(), "101");
}

#[test]
fn an_empty_formula_is_refused() {
    for text in ["", "   ", "\t\n"] {
        let problems = Formula::parse(text).unwrap_err();
        let found: Vec<&str> = problems.iter().map(|problem| problem.what.as_str()).collect();
        let expected = "expected a number, a name or a bracket, found the end of the formula";
        assert_eq!(found, [expected]);
    }
}
