//! A verdict in plain sentences.

use crate::bank::Bank;
use crate::problem::Problem;
use crate::quantity::{Quantity, Typed, Unit};

use super::words::theory_sentence;
use super::{Fault, Reason, Verdict};

/// One reason in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Explanation {
    /// The name of the kind of reason, as [`Reason::kind`] gives it.
    pub kind: &'static str,
    /// One or two sentences for the person who answered.
    pub text: String,
}

/// The reasons of a verdict on an answer to the problem, in words.
///
/// The words tell what the answer shows, with the number as it was written, and never the right
/// answer, so that a second try is worth something.
pub fn explain(verdict: &Verdict, problem: &Problem, bank: &Bank) -> Vec<Explanation> {
    explain_with(verdict, &Told { problem, bank })
}

/// What sentences tell of the problem.
trait Known {
    /// What is said of a slip.
    fn slip(&self, slip: usize) -> String;

    /// The step with its number and its name: `step 2 of the working, base displaced`.
    fn step(&self, step: usize) -> String;

    /// The first step that slips change.
    fn first_wrong(&self, slips: &[usize]) -> Option<usize>;
}

struct Told<'a> {
    problem: &'a Problem,
    bank: &'a Bank,
}

impl Known for Told<'_> {
    fn slip(&self, slip: usize) -> String {
        self.problem.slip_says(self.bank, slip)
    }

    fn step(&self, step: usize) -> String {
        let template = &self.problem.template;
        let name = template.working.get(step).and_then(|step| template.names.get(step.slot));
        let label = name.map_or("", |name| name.label.as_str());
        format!("step {} of the working, {label}", step + 1)
    }

    fn first_wrong(&self, slips: &[usize]) -> Option<usize> {
        self.problem.first_wrong_step(slips)
    }
}

fn explain_with(verdict: &Verdict, known: &dyn Known) -> Vec<Explanation> {
    let several = verdict.reasons.iter().filter(|reason| is_cause(reason)).count() > 1;
    let first = verdict.reasons.iter().position(is_cause).filter(|_| several);
    let explain = |(place, reason): (usize, &Reason)| {
        let answer = verdict.typed.as_ref().map_or_else(|| "This answer".to_owned(), written);
        let mut text = sentence(reason, &answer, known);
        if first == Some(place) {
            text.insert_str(0, &format!("{answer} can come about in more than one way. "));
        } else if !several && !text.contains(&answer) && is_slip(reason) {
            text.insert_str(0, &format!("{answer} is what a usual slip leads to. "));
        }
        // What was typed comes back in the words: nothing of it may move a cursor.
        text.retain(|letter| !letter.is_control());
        Explanation { kind: reason.kind(), text }
    };
    verdict.reasons.iter().enumerate().map(explain).collect()
}

fn is_slip(reason: &Reason) -> bool {
    matches!(reason, Reason::Slip { power: 0, .. })
}

/// A slip in words, with the step in which it first shows.
fn slip_sentence(slip: usize, known: &dyn Known) -> String {
    let says = known.slip(slip);
    match known.first_wrong(&[slip]) {
        Some(step) => format!("{says} It first shows in {}.", known.step(step)),
        None => says,
    }
}

/// Two slips in words.
fn pair_sentence(answer: &str, slips: [usize; 2], known: &dyn Known) -> String {
    let [first, second] = slips.map(|slip| known.slip(slip));
    let shows = match known.first_wrong(&slips) {
        Some(step) => format!(" The first number that goes wrong is that of {}.", known.step(step)),
        None => String::new(),
    };
    format!("{answer} is what two slips together lead to. First: {first} Second: {second}{shows}")
}

/// Whether the reason is one way in which a wrong number can have come about.
fn is_cause(reason: &Reason) -> bool {
    matches!(
        reason,
        Reason::PowerOfTen(_)
            | Reason::Slip { .. }
            | Reason::TwoSlips { .. }
            | Reason::TooCoarse { .. }
            | Reason::CutShort { .. }
            | Reason::Sign
    )
}

fn sentence(reason: &Reason, answer: &str, known: &dyn Known) -> String {
    match reason {
        Reason::Exactly => format!("{answer} is the answer."),
        Reason::LegalRounding => {
            format!("{answer} is right: it comes out when results are rounded on the way.")
        }
        Reason::WithinTolerance => {
            format!("{answer} is right: it lies within what is allowed around the answer.")
        }
        Reason::Converted { number, to } => {
            format!("{answer} is {}.", quantity(Quantity::new(number.trimmed(), *to)))
        }
        Reason::UnitMissing { asked } => {
            format!("You wrote no unit; {answer} was taken as {answer} {}.", asked.symbol())
        }
        Reason::FewPlaces { asked } => {
            format!("The question asks for {asked}: write them all, even a nought at the end.")
        }
        Reason::WrongUnit { written, asked } => format!(
            "The number of {answer} is right but the unit is not: you gave {}, but {} is asked for.",
            in_unit(*written),
            in_unit(*asked)
        ),
        Reason::WrongDimension { written, asked } => {
            format!("You gave {}, but {} is asked for.", in_unit(*written), in_unit(*asked))
        }
        Reason::PowerOfTen(power) => format!(
            "The digits of {answer} are right but the decimal point is not: it is {}. {}",
            times(*power),
            point_hint(*power)
        ),
        Reason::TooCoarse { asked } => {
            format!("{answer} is rounded too far: the question asks for {asked}.")
        }
        Reason::CutShort { asked } => format!(
            "The last places of {answer} were cut off, not rounded: the question asks for {asked}."
        ),
        Reason::Sign => format!(
            "The size of {answer} is right but its sign is not. Look for a subtraction done the wrong way round."
        ),
        Reason::Follows => format!(
            "{answer} follows rightly from your own earlier answer, so the way is right; mend the earlier number."
        ),
        Reason::FollowsWorking => format!(
            "{answer} follows rightly from a wrong step that you wrote down, so the way from there is right and its marks for method are kept; mend the step."
        ),
        Reason::FollowsTrivially => format!(
            "{answer} follows from your own earlier number, but with that number nothing is left to work out, so it has no marks for that."
        ),
        Reason::FollowsSenselessly => format!(
            "{answer} follows from your own earlier number, but that number cannot be: it leaves an answer without sense, so it has no marks for that."
        ),
        Reason::CountedInQuestion(fault) => format!(
            "{} has cost marks in this question already; it is counted once, so it costs none here.",
            fault_name(*fault)
        ),
        Reason::CountedInPaper(fault) => format!(
            "{} has cost marks in this paper already; it is counted once, so it costs none here.",
            fault_name(*fault)
        ),
        Reason::Slip { slip, power: 0 } => slip_sentence(*slip, known),
        Reason::TwoSlips { slips } => pair_sentence(answer, *slips, known),
        Reason::WorkingWrong { step } => format!(
            "The answer rests on a number that is wrong, {}, so the way is not shown to be right.",
            known.step(*step)
        ),
        Reason::Slip { slip, power } => format!(
            "{} Besides, the decimal point has moved: {answer} is {} even so.",
            slip_sentence(*slip, known),
            times(*power)
        ),
        Reason::Unexplained { above, near } => {
            let side = if *above { "too large" } else { "too small" };
            if *near {
                format!(
                    "{answer} is close but {side}. Look for a slip of arithmetic, or for a result that was rounded too early."
                )
            } else {
                format!(
                    "{answer} is {side}, and none of the usual slips leads to it. Go through your working step by step."
                )
            }
        }
        Reason::OutOfRange { asked } => {
            format!("{answer} is too large or too small to be told as {}.", in_unit(*asked))
        }
        Reason::NotRead(problem) => format!("The answer could not be read: {problem}."),
        Reason::NoSuchPart => "The problem has no such part.".to_owned(),
        reason => theory_sentence(reason).unwrap_or_default(),
    }
}

/// The answer as it was understood, with a proper minus sign.
fn written(typed: &Typed) -> String {
    quantity(Quantity::new(typed.number, typed.unit.unwrap_or(Unit::NUMBER)))
}

fn quantity(quantity: Quantity) -> String {
    quantity.to_string().replace('-', "\u{2212}")
}

/// What an answer in the unit is: `an answer in g (mass)`, `a count of units`.
fn in_unit(unit: Unit) -> String {
    let dimension = unit.dimension().to_string();
    match unit.symbol() {
        symbol if symbol.is_empty() => dimension,
        symbol if symbol.starts_with('%') => format!("an answer in {symbol}"),
        symbol => format!("an answer in {symbol} ({dimension})"),
    }
}

/// `1000 times too large`.
fn times(power: i32) -> String {
    let noughts = usize::try_from(power.unsigned_abs()).unwrap_or_default();
    let side = if power > 0 { "large" } else { "small" };
    format!("1{} times too {side}", "0".repeat(noughts))
}

fn fault_name(fault: Fault) -> &'static str {
    match fault {
        Fault::Unit => "A unit that is wrong or missing",
        Fault::Rounding => "A wrong rounding",
    }
}

fn point_hint(power: i32) -> &'static str {
    match power.unsigned_abs() {
        2 => "Look for a percentage that was used as a plain number, or the other way round.",
        3 | 6 => "Look for two units mixed up, such as mg and g.",
        _ => "Look for a point or a nought that went astray.",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::marking::Standing;
    use crate::quantity::{Exact, Rounding};

    fn unit(text: &str) -> Unit {
        Unit::parse(text).unwrap()
    }

    fn typed(number: &str, written: Option<&str>) -> Typed {
        Typed { number: Exact::parse(number).unwrap(), unit: written.map(unit) }
    }

    struct Slips;

    impl Known for Slips {
        fn slip(&self, slip: usize) -> String {
            format!("Slip {slip} was made.")
        }

        fn step(&self, step: usize) -> String {
            format!("step {step}, name")
        }

        fn first_wrong(&self, slips: &[usize]) -> Option<usize> {
            slips.first().copied()
        }
    }

    fn texts(typed: Typed, reasons: Vec<Reason>) -> Vec<String> {
        let standing = Standing::Wrong;
        let verdict = Verdict { standing, marks: 0, of: 3, typed: Some(typed), reasons };
        explain_with(&verdict, &Slips).into_iter().map(|each| each.text).collect()
    }

    #[track_caller]
    fn check(number: &str, written: &str, reason: Reason, expected: &str) {
        let written = (!written.is_empty()).then_some(written);
        assert_eq!(texts(typed(number, written), vec![reason]), [expected]);
    }

    #[test]
    fn a_right_answer_is_told_how_it_is_right() {
        check("13.9", "g", Reason::Exactly, "13.9 g is the answer.");
        check(
            "13.8",
            "g",
            Reason::LegalRounding,
            "13.8 g is right: it comes out when results are rounded on the way.",
        );
        check(
            "13.87",
            "",
            Reason::WithinTolerance,
            "13.87 is right: it lies within what is allowed around the answer.",
        );
    }

    #[test]
    fn a_note_quotes_what_was_written() {
        let number = Exact::parse("13.900").unwrap();
        check("13900", "mg", Reason::Converted { number, to: unit("g") }, "13900 mg is 13.9 g.");
        check(
            "13.9",
            "",
            Reason::UnitMissing { asked: unit("g/unit") },
            "You wrote no unit; 13.9 was taken as 13.9 g.",
        );
        check(
            "14",
            "g",
            Reason::FewPlaces { asked: Rounding::Places(1) },
            "The question asks for 1 decimal place: write them all, even a nought at the end.",
        );
    }

    #[test]
    fn a_wrong_unit_names_both_units_and_what_they_measure() {
        check(
            "13.9",
            "mL",
            Reason::WrongUnit { written: unit("mL"), asked: unit("g") },
            "The number of 13.9 mL is right but the unit is not: you gave an answer in mL (volume), but an answer in g (mass) is asked for.",
        );
        check(
            "12",
            "g",
            Reason::WrongDimension { written: unit("g"), asked: unit("unit") },
            "You gave an answer in g (mass), but a count of units is asked for.",
        );
        check(
            "5",
            "% w/w",
            Reason::WrongDimension { written: unit("% w/w"), asked: unit("1") },
            "You gave an answer in % w/w, but a plain number is asked for.",
        );
    }

    #[test]
    fn a_moved_point_says_how_far_and_where_to_look() {
        check(
            "13900",
            "",
            Reason::PowerOfTen(3),
            "The digits of 13900 are right but the decimal point is not: it is 1000 times too large. Look for two units mixed up, such as mg and g.",
        );
        check(
            "1.39",
            "g",
            Reason::PowerOfTen(-1),
            "The digits of 1.39 g are right but the decimal point is not: it is 10 times too small. Look for a point or a nought that went astray.",
        );
    }

    #[test]
    fn several_slips_are_announced_once() {
        let slips = vec![Reason::Slip { slip: 2, power: 0 }, Reason::Slip { slip: 0, power: 0 }];
        assert_eq!(
            texts(typed("12.1", Some("g")), slips),
            [
                "12.1 g can come about in more than one way. Slip 2 was made. It first shows in step 2, name.",
                "Slip 0 was made. It first shows in step 0, name."
            ]
        );
    }

    #[test]
    fn a_slip_is_told_with_the_number_and_the_step_in_which_it_shows() {
        check(
            "12.1",
            "g",
            Reason::Slip { slip: 1, power: 0 },
            "12.1 g is what a usual slip leads to. Slip 1 was made. It first shows in step 1, name.",
        );
    }

    #[test]
    fn two_slips_are_both_told() {
        check(
            "12.1",
            "g",
            Reason::TwoSlips { slips: [0, 3] },
            "12.1 g is what two slips together lead to. First: Slip 0 was made. Second: Slip 3 was made. The first number that goes wrong is that of step 0, name.",
        );
    }

    #[test]
    fn a_slip_with_a_moved_point_tells_both() {
        check(
            "121",
            "g",
            Reason::Slip { slip: 1, power: 1 },
            "Slip 1 was made. It first shows in step 1, name. Besides, the decimal point has moved: 121 g is 10 times too large even so.",
        );
    }

    #[test]
    fn a_turned_sign_is_written_with_a_minus() {
        check(
            "-13.9",
            "g",
            Reason::Sign,
            "The size of \u{2212}13.9 g is right but its sign is not. Look for a subtraction done the wrong way round.",
        );
    }

    #[test]
    fn an_unexplained_number_is_told_which_side_it_lies() {
        check(
            "20",
            "g",
            Reason::Unexplained { above: true, near: false },
            "20 g is too large, and none of the usual slips leads to it. Go through your working step by step.",
        );
        check(
            "13.7",
            "g",
            Reason::Unexplained { above: false, near: true },
            "13.7 g is close but too small. Look for a slip of arithmetic, or for a result that was rounded too early.",
        );
    }
}
