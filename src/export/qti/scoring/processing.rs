//! The operators and rules of response processing that packages use, all of them the standard's.

use super::super::xml::{Element, qti};

/// The value of a variable.
pub(in crate::export::qti) fn variable(identifier: &str) -> Element {
    qti("variable").with("identifier", identifier)
}

/// A number.
pub(in crate::export::qti) fn float(number: &str) -> Element {
    qti("baseValue").with("baseType", "float").text(number)
}

/// A whole number.
pub(in crate::export::qti) fn integer(number: usize) -> Element {
    qti("baseValue").with("baseType", "integer").text(&number.to_string())
}

/// An identifier.
pub(in crate::export::qti) fn named(identifier: &str) -> Element {
    qti("baseValue").with("baseType", "identifier").text(identifier)
}

/// Whether a variable has no value.
pub(in crate::export::qti) fn is_null(identifier: &str) -> Element {
    qti("isNull").child(variable(identifier))
}

/// Whether the correct response was given.
pub(in crate::export::qti) fn is_correct(identifier: &str) -> Element {
    is_same(variable(identifier), qti("correct").with("identifier", identifier))
}

/// Whether both have the same value.
pub(in crate::export::qti) fn is_same(one: Element, other: Element) -> Element {
    qti("match").child(one).child(other)
}

/// Whether the mapped value of a response is no less than a number.
pub(in crate::export::qti) fn is_mapped_to(identifier: &str, least: usize) -> Element {
    let mapped = qti("mapResponse").with("identifier", identifier);
    qti("gte").child(mapped).child(float(&least.to_string()))
}

/// Whether a number lies from one to another.
pub(in crate::export::qti) fn lies(identifier: &str, low: &str, high: &str) -> Element {
    let compare = |name, bound| qti(name).child(variable(identifier)).child(float(bound));
    all(vec![compare("gte", low), compare("lte", high)])
}

/// Whether what was typed is of a pattern.
pub(in crate::export::qti) fn is_like(identifier: &str, pattern: &str) -> Element {
    qti("patternMatch").with("pattern", pattern).child(variable(identifier))
}

/// Whether all of these are true.
pub(in crate::export::qti) fn all(tests: Vec<Element>) -> Element {
    several("and", tests)
}

/// Whether any of these is true.
pub(in crate::export::qti) fn any(tests: Vec<Element>) -> Element {
    several("or", tests)
}

fn several(name: &'static str, mut tests: Vec<Element>) -> Element {
    match tests.pop() {
        Some(only) if tests.is_empty() => only,
        last => qti(name).children(tests).children(last),
    }
}

/// Sets an outcome.
pub(in crate::export::qti) fn set(identifier: &str, value: Element) -> Element {
    qti("setOutcomeValue").with("identifier", identifier).child(value)
}

/// Adds an identifier to an outcome that holds several.
pub(in crate::export::qti) fn note(identifier: &str, noted: &str) -> Element {
    set(identifier, qti("multiple").child(variable(identifier)).child(named(noted)))
}

/// The sum of variables.
pub(in crate::export::qti) fn sum(identifiers: &[String]) -> Element {
    qti("sum").children(identifiers.iter().map(|each| variable(each)))
}

/// The rules of the first of these whose test is true.
#[derive(Debug, Default)]
pub(in crate::export::qti) struct FirstOf(Vec<Element>);

impl FirstOf {
    /// One more way, for when none before it is true.
    pub(in crate::export::qti) fn or_if(
        &mut self,
        test: Element,
        rules: impl IntoIterator<Item = Element>,
    ) {
        let name = if self.0.is_empty() { "responseIf" } else { "responseElseIf" };
        self.0.push(qti(name).child(test).children(rules));
    }

    /// The rule; none when there is no way.
    pub(in crate::export::qti) fn rule(self) -> Option<Element> {
        (!self.0.is_empty()).then(|| qti("responseCondition").children(self.0))
    }
}
