//! The check by which it is seen that a problem is the one it was when its paper was made.
//!
//! It is written out field by field: what the program calls things inside makes no difference, nor
//! do sources and explanations, which change no mark.

use crate::draw::Seed;
use crate::problem::{Block, Problem, Response};

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
        sheet.response(&part.response);
    }
    let fields: Vec<&str> = sheet.0.iter().map(String::as_str).collect();
    let hash = Seed::derive(b"castmark problem", "castmark problem 2", &fields);
    hash.bytes().iter().take(8).fold(0, |sum, byte| sum << 8 | u64::from(*byte))
}

/// Fields, each with its name before it, so that none can be taken for another.
#[derive(Default)]
struct Fields(Vec<String>);

impl Fields {
    fn put(&mut self, name: &str, value: &dyn ToString) {
        self.0.push(name.to_owned());
        self.0.push(value.to_string());
    }

    fn all(&mut self, name: &str, values: impl IntoIterator<Item = impl ToString>) {
        for value in values {
            self.put(name, &value);
        }
    }

    fn block(&mut self, block: &Block) {
        match block {
            Block::Paragraph(text) => self.put("paragraph", &text),
            Block::List(points) => {
                self.put("list", &points.len());
                self.all("point", points);
            }
            Block::Table { head, rows } => {
                self.put("table", &rows.len());
                self.all("head", head);
                for row in rows {
                    self.put("row", &row.len());
                    self.all("cell", row);
                }
            }
        }
    }

    fn response(&mut self, response: &Response) {
        match response {
            Response::Number(key) => {
                self.put("number", &key.shown);
                self.put("unit", &key.unit.symbol());
                self.put("rounding", &key.rounding);
                self.all("accepted", [key.low, key.high]);
                self.all("legal", [key.legal_low, key.legal_high]);
                self.put("method", &key.method_marks);
                for slip in &key.slips {
                    self.all("slip", [slip.value, slip.low, slip.high]);
                }
            }
            Response::Choice(key) => {
                self.put("choice", &key.several);
                for (option, right) in key.options.iter().zip(&key.right) {
                    self.put(if *right { "right" } else { "wrong" }, &option.text);
                }
            }
            Response::Judgement(key) => {
                self.put(if key.truth { "true" } else { "false" }, &key.statement);
                self.all("reason", key.reasons.iter().map(|reason| &reason.text));
                if let Some(right) = key.right {
                    self.put("right", &right);
                }
            }
            Response::Matching(key) => {
                self.put("matching", &key.shared);
                self.all("left", &key.left);
                self.all("right", &key.right);
                self.all("answer", &key.answers);
            }
            Response::Ordering(key) => {
                self.all("item", &key.items);
                self.all("place", &key.order);
                let of = key.items.len();
                if key.before.len() < of * of.saturating_sub(1) / 2 {
                    self.all("before", key.before.iter().flat_map(|(one, other)| [one, other]));
                }
            }
            Response::Text(key) => {
                self.all("answer", &key.answers);
                self.all("other", &key.others);
            }
            Response::Range(key) => {
                self.all("range", [key.low, key.high, key.tolerance]);
                self.put("unit", &key.unit.symbol());
            }
            Response::Written(key) => {
                self.put("lines", &key.lines);
                self.all("point", key.points.iter().map(|point| &point.text));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Bank;
    use crate::draw::Code;

    fn problem(template: &str) -> Problem {
        Problem::from_code(&Bank::bundled().unwrap(), &Code::new(template, 1)).unwrap()
    }

    /// Papers in the hands of candidates hang on these: a change needs another label and a second way
    /// of checking beside it. Written down from this program, to be kept.
    #[test]
    fn the_check_of_a_problem_stays_as_it_is() {
        let known = [
            ("base-one-drug", 16_693_604_168_226_701_781),
            ("order-of-fusion", 11_787_162_617_938_137_167),
            ("label-written", 1_757_178_410_423_282_051),
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
}
