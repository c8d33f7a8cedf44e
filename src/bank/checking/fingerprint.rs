//! The fingerprint of a template: whether it is the one that papers were made from.
//!
//! It is written out field by field: what the program calls things inside makes no difference. A
//! change in what enters gets another label.

use sha2::{Digest, Sha256};

use crate::bank::template::theory::{Case, Choice, TheoryPlan};
use crate::bank::template::{PartPlan, Value, ValueRule, Wanted};

/// The first eight bytes, in hex, of a hash of all that problems are made of: the file, and what is
/// taken from the facts tables.
pub(super) fn fingerprint(text: &str, values: &[Value], parts: &[PartPlan]) -> String {
    let mut fields = FieldHasher(Sha256::new());
    fields.put("castmark template 2");
    fields.put(text);
    for value in values {
        let ValueRule::Pick { options, .. } = &value.rule else { continue };
        fields.put(&value.name);
        fields.count(options.len());
        for option in options {
            fields.put(&option.row);
            fields.all(option.numbers.iter().map(ToString::to_string));
            fields.all(option.texts.iter());
        }
    }
    for part in parts {
        if let Wanted::Theory(plan) = &part.wanted {
            fields.put(&part.id);
            fields.plan(plan);
        }
    }
    fields.0.finalize().iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}

/// Fields that enter into a hash, each behind its length, so that `ab`, `c` and `a`, `bc` differ.
struct FieldHasher(Sha256);

impl FieldHasher {
    fn put(&mut self, text: impl AsRef<str>) {
        self.count(text.as_ref().len());
        self.0.update(text.as_ref());
    }

    fn count(&mut self, number: usize) {
        self.0.update((number as u64).to_be_bytes());
    }

    fn counts(&mut self, numbers: impl IntoIterator<Item = usize>) {
        numbers.into_iter().for_each(|number| self.count(number));
    }

    fn all<T: AsRef<str>>(&mut self, texts: impl ExactSizeIterator<Item = T>) {
        self.count(texts.len());
        texts.for_each(|text| self.put(text));
    }

    fn choices<'c>(&mut self, choices: impl ExactSizeIterator<Item = &'c Choice>) {
        self.count(choices.len());
        for Choice { text, because, source, point } in choices {
            self.all([text, because, source, point].into_iter());
        }
    }

    fn plan(&mut self, plan: &TheoryPlan) {
        self.count(plan.cases.len());
        plan.cases.iter().for_each(|case| self.case(case));
    }

    fn case(&mut self, case: &Case) {
        match case {
            Case::Choice(case) => {
                self.put("choice");
                self.choices(case.rights.iter());
                self.choices(case.wrongs.iter());
                self.counts([case.show, case.least, case.most]);
                self.counts([case.several, case.exclusive].map(usize::from));
                let lines = case.lines.as_deref().unwrap_or_default();
                self.count(lines.len());
                self.counts(lines.iter().copied());
            }
            Case::Judgement(case) => {
                self.put("judgement");
                self.put(&case.statement);
                self.count(usize::from(case.truth));
                self.put(&case.source);
                self.choices(case.reason.as_slice().iter());
                self.choices(case.others.iter());
                self.count(case.show);
            }
            Case::Matching(case) => {
                self.put("matching");
                self.count(case.rows.len());
                for (text, right, source) in &case.rows {
                    self.put(text);
                    self.count(*right);
                    self.put(source);
                }
                self.all(case.rights.iter());
                self.counts([case.pairs, case.extra]);
                self.count(usize::from(case.shared));
            }
            Case::Ordering(case) => {
                self.put("ordering");
                self.all(case.lines.iter());
                self.count(case.either_way.len());
                for (one, other) in &case.either_way {
                    self.count(*one);
                    self.count(*other);
                }
                self.count(case.show);
                self.put(&case.source);
            }
            Case::Text(case) => {
                self.put("text");
                self.all(case.answers.iter());
                self.all(case.others.iter());
                self.put(&case.source);
            }
            Case::Range(case) => {
                self.put("range");
                let unit = case.unit.to_string();
                self.all([case.low, case.high, case.tolerance].iter().map(ToString::to_string));
                self.put(unit);
                self.put(&case.by);
                self.count(case.published.len());
                for (low, high, by) in &case.published {
                    self.all([low.to_string(), high.to_string(), by.clone()].into_iter());
                }
                self.count(usize::from(case.any_source));
                self.put(&case.source);
            }
            Case::Written(case) => {
                self.put("written");
                self.count(case.points.len());
                for point in &case.points {
                    self.all([&point.text, &point.source, &point.by].into_iter());
                }
                self.put(case.lines.to_string());
            }
        }
    }
}
