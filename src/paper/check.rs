//! The check by which it is seen that a problem is the one it was when its paper was made.
//!
//! It is written out field by field: what the program calls things inside makes no difference, nor
//! do sources and explanations, which change no mark.

use crate::problem::{Fields, Problem};

/// The first eight bytes of a hash of all that the candidate reads and the marker goes by.
pub(super) fn check(problem: &Problem) -> u64 {
    let mut sheet = Fields::default();
    for block in &problem.stem {
        sheet.block(block);
    }
    for part in &problem.parts {
        sheet.put("part", &part.id);
        sheet.put("ask", &part.ask);
        sheet.put("marks", &part.marks);
        part.response.key().seal(&mut sheet);
    }
    sheet.hash(b"castmark problem", "castmark problem 2")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Bank;
    use crate::draw::Code;
    use crate::problem::{Block, Response, SlipVerdict, VerdictKey};

    fn problem(template: &str) -> Problem {
        Problem::from_code(&Bank::bundled().unwrap(), &Code::new(template, 1)).unwrap()
    }

    /// Papers in the hands of candidates hang on these: a change needs another label and a second way
    /// of checking beside it. Written down from this program, to be kept.
    #[test]
    fn the_check_of_a_problem_stays_as_it_is() {
        let known = [
            ("base-one-drug", 11_870_678_503_975_368_299),
            ("order-of-fusion", 91_102_729_900_873_142),
            ("label-written", 14_041_273_133_524_341_356),
        ];
        let found = known.map(|(template, _)| (template, check(&problem(template))));
        assert_eq!(found, known);
    }

    #[test]
    fn whatever_a_candidate_reads_or_a_marker_goes_by_changes_the_check() {
        let sound = problem("base-one-drug");
        let change = |change: &dyn Fn(&mut Problem)| {
            let mut other = sound.clone();
            change(&mut other);
            check(&other) != check(&sound)
        };
        assert!(change(&|it| it.stem.push(Block::Paragraph("More.".into()))));
        assert!(change(&|it| it.parts[0].ask.push('!')));
        assert!(change(&|it| it.parts[0].marks += 1));
        assert!(change(&|it| {
            let Response::Number(key) = &mut it.parts[0].response else { panic!("a number") };
            key.high = key.high.add(key.high).unwrap();
        }));
        assert!(!change(&|it| it.code = None));
    }

    #[test]
    fn an_explanation_changes_nothing_and_an_option_does() {
        let sound = problem("lubricant-for-a-base");
        let mut told = sound.clone();
        let mut other = sound.clone();
        for (problem, word) in [(&mut told, false), (&mut other, true)] {
            let part = problem.parts.iter_mut().find_map(|part| match &mut part.response {
                Response::Choice(key) => Some(key),
                _ => None,
            });
            let option = &mut part.unwrap().options[0];
            if word { option.text.push('.') } else { option.because.push('.') }
        }
        assert_eq!(check(&told), check(&sound));
        assert_ne!(check(&other), check(&sound));
    }

    #[test]
    fn another_verdict_or_slip_changes_the_check() {
        let sound = problem("castings-compared");
        let change = |change: &dyn Fn(&mut VerdictKey)| {
            let mut other = sound.clone();
            let key = other.parts.iter_mut().find_map(|part| match &mut part.response {
                Response::Verdict(key) => Some(key),
                _ => None,
            });
            change(key.unwrap());
            check(&other) != check(&sound)
        };
        assert!(change(&|key| key.right = (key.right + 1) % key.options.len()));
        assert!(change(&|key| key.options[0].push('.')));
        assert!(change(&|key| key.slips.push(SlipVerdict { slip: 0, option: 0 })));
        assert!(!change(&|key| key.because.push('.')));
    }

    #[test]
    fn lines_that_may_change_places_change_the_check() {
        let sound = problem("order-of-fusion");
        let without = |pair: usize| {
            let mut other = sound.clone();
            let key = other.parts.iter_mut().find_map(|part| match &mut part.response {
                Response::Ordering(key) => Some(key),
                _ => None,
            });
            key.unwrap().before.remove(pair);
            check(&other)
        };
        assert_ne!(without(0), check(&sound));
        assert_ne!(without(0), without(1));
    }

    #[test]
    fn what_other_sources_say_changes_the_check_only_where_any_is_accepted() {
        let range = |any_source: bool, said: bool| {
            let mut problem = problem("uniformity-rules");
            let key = problem.parts.iter_mut().find_map(|part| match &mut part.response {
                Response::Range(key) => Some(key),
                _ => None,
            });
            let key = key.unwrap();
            key.any_source = any_source;
            key.published = if said { vec![(key.low, key.high, "a guide".into())] } else { vec![] };
            check(&problem)
        };
        assert_eq!(range(false, true), range(false, false));
        assert_ne!(range(true, true), range(true, false));
        assert_ne!(range(true, true), range(false, true));
    }
}
