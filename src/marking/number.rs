//! Reading and comparing the answer to a numeric part.

use crate::problem::NumberKey;
use crate::quantity::{Exact, Typed, read_quantity};

use super::award::{Faults, Situation, award};
use super::diagnosis::{Suspect, accepted, diagnose};
use super::unit::{Fit, fit_at};
use super::{Cause, Finding, How, Note, Settings, Understood, Verdict, Why};

/// A numeric answer as it was understood, and what its number shows by itself.
#[derive(Clone, Debug)]
pub(super) struct NumberFound {
    /// What was understood.
    pub understood: Understood,
    /// What was found by the true values.
    pub finding: Finding,
    /// What else is true of it.
    pub notes: Vec<Note>,
}

/// Marks an answer against the key of a numeric part that is worth `of` marks, by the default rules.
pub fn mark_number(key: &NumberKey, of: u32, answer: &str) -> Verdict {
    let NumberFound { understood, finding, notes } = find_number(key, answer);
    let situation = Situation {
        of,
        method: key.method_marks,
        is_step: false,
        settings: &Settings::default(),
        forgiven: Faults::default(),
    };
    let award = award(&finding, &notes, &situation);
    Verdict { understood, finding, notes, award }
}

/// What an answer shows against a key.
pub(super) fn find_number(key: &NumberKey, answer: &str) -> NumberFound {
    let typed = match read_quantity(answer) {
        Ok(typed) => typed,
        Err(problem) => {
            let finding = Finding::Unread(Why::Number(problem));
            return NumberFound { understood: Understood::Nothing, finding, notes: Vec::new() };
        }
    };
    let Ok(fit) = fit_at(&typed, key.unit, key.density) else {
        let finding = Finding::Known(vec![Cause::OutOfRange { asked: key.unit }]);
        let understood = Understood::Number { typed, number: None };
        return NumberFound { understood, finding, notes: Vec::new() };
    };
    let number = match fit {
        Fit::Converted(number) => Some(number),
        Fit::Same | Fit::Missing => Some(typed.number),
        Fit::Other => None,
    };
    let finding = match number {
        Some(number) if accepted(key, number) || says_more(key, number, fit) => {
            Finding::Accepted(how_accepted(key, number))
        }
        _ => diagnose(key, &Suspect { number, typed, fit }),
    };
    NumberFound {
        understood: Understood::Number { typed, number },
        finding,
        notes: notes(key, typed, fit),
    }
}

/// Whether the number is the exact answer to few places, while still fewer of its places are accepted.
///
/// A working that rounds on the way may let 12 in where 11.93 is exact; 11.9 says more and is no worse.
fn says_more(key: &NumberKey, number: Exact, fit: Fit) -> bool {
    let is_as_written = matches!(fit, Fit::Same | Fit::Missing);
    let rounded = |places: u32| key.exact.to_places(places);
    is_as_written
        && number == rounded(number.places())
        && (0..number.places()).any(|fewer| accepted(key, rounded(fewer)))
}

/// What is true of the answer besides its number.
fn notes(key: &NumberKey, typed: Typed, fit: Fit) -> Vec<Note> {
    let mut notes = Vec::new();
    match fit {
        Fit::Converted(number) => notes.push(Note::Converted { number, to: key.unit }),
        Fit::Missing => notes.push(Note::UnitMissing { asked: key.unit }),
        Fit::Same | Fit::Other => {}
    }
    if !matches!(fit, Fit::Converted(_)) && typed.number.places() < key.shown.places() {
        notes.push(Note::FewPlaces { asked: key.rounding });
    }
    notes
}

/// How an accepted number came about.
fn how_accepted(key: &NumberKey, number: Exact) -> How {
    if number == key.shown || number == key.exact {
        return How::Exactly;
    }
    // Rounding keeps the order of numbers, so the rounded ends bound all rounded legal answers.
    let low = key.rounding.of_result(key.legal_low);
    let high = key.rounding.of_result(key.legal_high);
    if number.places() > key.shown.places() && number == key.exact.to_places(number.places()) {
        How::Exactly
    } else if low <= number && number <= high {
        How::LegalRounding
    } else {
        How::WithinTolerance
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::marking::Standing;
    use crate::problem::SlipValue;
    use crate::quantity::{Rounding, Unit};

    fn exact(text: &str) -> Exact {
        Exact::parse(text).unwrap()
    }

    fn slip(slip: usize, value: &str, half_step: &str) -> SlipValue {
        let (value, half) = (exact(value), exact(half_step));
        SlipValue {
            slip,
            value,
            legal_low: value,
            legal_high: value,
            low: value.sub(half).unwrap(),
            high: value.add(half).unwrap(),
        }
    }

    /// 15 suppositories of 1 g with 0.75 g of menthol, displacement value 0.7: 13.929 g of base,
    /// or the printed 13.9 g when the base displaced is rounded to 1.1 g first. Introduction to
    /// Pharmaceutical Calculations, 4th edition, chapter 9, page 154. The slips are made up.
    fn base() -> NumberKey {
        NumberKey {
            exact: exact("13.92857142857142857142857143"),
            shown: exact("13.9"),
            unit: Unit::parse("g").unwrap(),
            density: None,
            rounding: Rounding::Places(1),
            low: exact("13.85"),
            high: exact("13.98"),
            legal_low: exact("13.9"),
            legal_high: exact("13.93"),
            slips: vec![slip(0, "12.0", "0.05"), slip(1, "12.06", "0.05"), slip(2, "14.4", "0.05")],
            method_marks: 2,
        }
    }

    fn key_in(unit: &str) -> NumberKey {
        NumberKey { unit: Unit::parse(unit).unwrap(), ..base() }
    }

    fn kinds(verdict: &Verdict) -> Vec<&'static str> {
        let found: Vec<&str> = match &verdict.finding {
            Finding::Accepted(how) => vec![how.kind()],
            Finding::Known(causes) => causes.iter().map(Cause::kind).collect(),
            Finding::Unexplained(_) => vec!["unexplained"],
            Finding::Unread(_) => vec!["not-read"],
            other => panic!("{other:?}"),
        };
        found.into_iter().chain(verdict.notes.iter().map(Note::kind)).collect()
    }

    #[track_caller]
    fn check(key: &NumberKey, answer: &str, marks: u32, expected: &[&str]) {
        let verdict = mark_number(key, 3, answer);
        let mut found = kinds(&verdict);
        // A note on what a wrong number has besides is another matter.
        if !verdict.is_right() {
            found.retain(|kind| !["converted", "unit-missing", "few-places"].contains(kind));
        }
        assert_eq!((verdict.marks(), found.as_slice()), (marks, expected), "{answer}: {verdict:?}");
        let standing = match marks {
            3 => Standing::Correct,
            1 | 2 => Standing::PartlyCorrect,
            _ if verdict.understood == Understood::Nothing => Standing::NotRead,
            _ => Standing::NotCorrect,
        };
        assert_eq!(verdict.standing(), standing);
    }

    #[test]
    fn right_answers_say_how_they_are_right() {
        check(&base(), "13.9 g", 3, &["exactly"]);
        check(&base(), "13.929g", 3, &["exactly"]);
        check(&base(), "13.86 g", 3, &["within-tolerance"]);
        check(&base(), "13.87 g", 3, &["within-tolerance"]);
        let early = NumberKey { legal_low: exact("13.84"), low: exact("13.79"), ..base() };
        check(&early, "13.8 g", 3, &["legal-rounding"]);
        let late = NumberKey { legal_high: exact("13.96"), high: exact("14.05"), ..base() };
        check(&late, "14.0 g", 3, &["legal-rounding"]);
        check(&late, "14.01 g", 3, &["within-tolerance"]);
    }

    #[test]
    fn both_ends_of_the_accepted_range_are_right() {
        check(&base(), "13.85 g", 3, &["within-tolerance"]);
        check(&base(), "13.98 g", 3, &["within-tolerance"]);
        check(&base(), "13.80 g", 0, &["unexplained"]);
        check(&base(), "13.99 g", 0, &["unexplained"]);
    }

    #[test]
    fn a_missing_unit_costs_nothing_and_is_mentioned() {
        check(&base(), "13.9", 3, &["exactly", "unit-missing"]);
        check(&key_in("1"), "13.9", 3, &["exactly"]);
    }

    #[test]
    fn another_unit_of_the_same_kind_is_converted() {
        check(&base(), "13900 mg", 3, &["exactly", "converted"]);
        check(&base(), "0.0139 kg", 3, &["exactly", "converted"]);
        check(&key_in("g/unit"), "13.9 g", 3, &["exactly"]);
    }

    #[test]
    fn few_places_are_mentioned_when_the_number_is_right() {
        let fourteen = NumberKey {
            exact: exact("14.02"),
            shown: exact("14.0"),
            low: exact("13.95"),
            high: exact("14.05"),
            legal_low: exact("14"),
            legal_high: exact("14.02"),
            ..base()
        };
        check(&fourteen, "14 g", 3, &["exactly", "few-places"]);
        check(&fourteen, "14.0 g", 3, &["exactly"]);
    }

    #[test]
    fn a_right_number_in_a_wrong_unit_keeps_the_method() {
        // GCE physics, June 2010: a wrong unit loses the final answer mark and no other.
        check(&base(), "13.9 mg", 2, &["wrong-unit"]);
        check(&base(), "13.9 mL", 2, &["wrong-unit"]);
        check(&key_in("g"), "13.9 g/unit", 2, &["wrong-unit"]);
    }

    #[test]
    fn a_wrong_number_in_a_unit_of_another_kind_has_no_marks() {
        check(&base(), "20 mL", 0, &["wrong-dimension"]);
        check(&base(), "14.4 mL", 0, &["wrong-dimension", "slip"]);
    }

    #[test]
    fn a_moved_point_keeps_the_method() {
        // GCE physics, June 2015: power-of-ten errors are coded apart from errors of method.
        for (answer, power) in [
            ("139", 1),
            ("1.39", -1),
            ("1390", 2),
            ("0.139", -2),
            ("13900 g", 3),
            ("0.0139", -3),
            ("13900000", 6),
            ("0.0000139", -6),
        ] {
            check(&base(), answer, 2, &["power-of-ten"]);
            assert_eq!(
                mark_number(&base(), 3, answer).finding.causes(),
                [Cause::PowerOfTen(power)]
            );
        }
        check(&base(), "139000000", 0, &["unexplained"]);
    }

    #[test]
    fn too_coarse_a_rounding_keeps_the_method() {
        check(&base(), "14", 2, &["too-coarse"]);
        check(&base(), "14 g", 2, &["too-coarse"]);
        check(&base(), "14000 mg", 2, &["too-coarse"]);
        check(&base(), "0.014 kg", 2, &["too-coarse"]);
        // Written to the place asked for, 14.0 is another number, not a coarse one.
        check(&base(), "14.0 g", 0, &["unexplained"]);
    }

    #[test]
    fn digits_cut_off_keep_the_method() {
        check(&base(), "13 g", 2, &["cut-short"]);
        let key = NumberKey { legal_low: exact("13.89"), low: exact("13.87"), ..base() };
        check(&key, "13.8 g", 2, &["cut-short"]);
    }

    #[test]
    fn a_slip_is_named_from_its_own_value_and_no_other() {
        check(&base(), "14.4 g", 0, &["slip"]);
        let slip = |slip| Cause::Slip { slip, power: 0, keeps_method: false };
        assert_eq!(mark_number(&base(), 3, "12.0").finding.causes(), [slip(0)]);
        assert_eq!(mark_number(&base(), 3, "12.1").finding.causes(), [slip(1)]);
        // Near to both, and what neither leads to.
        assert_eq!(mark_number(&base(), 3, "12.04").finding.causes(), []);
    }

    #[test]
    fn a_slip_off_by_a_power_of_ten_is_named_with_it() {
        check(&base(), "144 g", 0, &["slip"]);
        let slip = Cause::Slip { slip: 2, power: 2, keeps_method: false };
        assert_eq!(mark_number(&base(), 3, "1440").finding.causes(), [slip]);
        for too_far in ["0.0144 g", "14400", "14400000"] {
            check(&base(), too_far, 0, &["unexplained"]);
        }
    }

    #[test]
    fn a_coarse_number_that_a_slip_explains_too_has_no_marks() {
        let key = NumberKey { slips: vec![slip(0, "14.01", "0.05")], ..base() };
        check(&key, "14", 0, &["slip", "too-coarse"]);
    }

    #[test]
    fn a_slip_that_is_a_moved_point_keeps_the_method() {
        let key = NumberKey { slips: vec![slip(0, "13929", "50")], ..base() };
        check(&key, "13900 g", 2, &["power-of-ten"]);
    }

    #[test]
    fn a_turned_sign_has_no_marks() {
        check(&base(), "-13.9 g", 0, &["sign"]);
    }

    #[test]
    fn nought_is_explained_by_nothing() {
        check(&base(), "0", 0, &["unexplained"]);
        check(&base(), "0.0 g", 0, &["unexplained"]);
    }

    #[test]
    fn a_number_beyond_reach_is_out_of_range() {
        let key = key_in("mg");
        check(&key, "79000000000000000000000000000 kg", 0, &["out-of-range"]);
    }

    #[test]
    fn what_cannot_be_read_is_not_marked() {
        for answer in ["", "about fourteen", "13.9 furlongs", "1e", "--13.9", "NaN"] {
            check(&base(), answer, 0, &["not-read"]);
        }
    }

    #[test]
    fn method_marks_never_exceed_the_marks_of_the_part() {
        let verdict = mark_number(&base(), 1, "139");
        assert_eq!((verdict.marks(), verdict.of()), (1, 1));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(128))]

        #[test]
        fn an_answer_is_right_exactly_when_it_is_in_the_range(hundredths in -3000_i128..3000) {
            let number = Exact::new(hundredths, 2).unwrap();
            let inside = base().low <= number && number <= base().high;
            prop_assert_eq!(mark_number(&base(), 3, &number.to_string()).is_right(), inside);
        }

        #[test]
        fn the_unit_it_is_told_in_does_not_change_the_marks(hundredths in 1_i128..3000) {
            let grams = Exact::new(hundredths, 2).unwrap();
            let key = base();
            // A number that is right in the wrong unit is another matter.
            let milligrams = grams.times_ten_to(3).unwrap().trimmed();
            prop_assume!(!accepted(&key, milligrams) && grams.places() == grams.trimmed().places());
            let told = mark_number(&key, 3, &format!("{grams} g")).is_right();
            prop_assert_eq!(mark_number(&key, 3, &format!("{milligrams} mg")).is_right(), told);
        }

        #[test]
        fn no_text_is_too_odd_to_be_marked(answer in "\\PC{0,90}") {
            let verdict = mark_number(&base(), 3, &answer);
            prop_assert!(verdict.marks() <= verdict.of());
        }
    }
}
