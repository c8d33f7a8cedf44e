//! The table of functions.

use crate::quantity::{Arithmetic, Dimension, Exact};

/// A function of the language: one row of [`FUNCTIONS`].
#[derive(Debug)]
pub struct Function {
    /// The name written in formulas.
    pub name: &'static str,
    /// What it is given, for help: `mean(list)`.
    pub form: &'static str,
    /// One sentence on what it gives.
    pub about: &'static str,
    /// The words of a worked solution, `{}` for each thing given: `mean of {}`.
    pub(super) words: &'static str,
    pub(super) signature: Signature,
}

/// What a function is given and gives, and how it works.
#[derive(Debug)]
pub(super) enum Signature {
    /// A list gives a number.
    OfList(fn(Dimension) -> Dimension, fn(&[Exact]) -> Result<Exact, Arithmetic>),
    /// A number gives a number of the same dimension, or of its root.
    OfNumber(fn(Dimension) -> Option<Dimension>, fn(Exact) -> Result<Exact, Arithmetic>),
    /// Two numbers of one dimension give a third.
    OfTwo(fn(Exact, Exact) -> Exact),
    /// Three numbers of one dimension give a fourth.
    OfThree(fn(Exact, Exact, Exact) -> Exact),
    /// A list and a number of its dimension give a number of it.
    ListAndNumber(fn(&[Exact], Exact) -> Result<Exact, Arithmetic>),
    /// A list and a number of its dimension give a list.
    Without,
    /// Two lists of one dimension give a list.
    Together,
    /// A list and two numbers of its dimension give a count: of those between, or of the others.
    HowMany { outside: bool },
}

/// Every function, in the order of the manual.
pub static FUNCTIONS: &[Function] = &[
    Function {
        name: "sum",
        form: "sum(list)",
        about: "all values of the list added up",
        words: "sum of {}",
        signature: Signature::OfList(|d| d, sum),
    },
    Function {
        name: "mean",
        form: "mean(list)",
        about: "the sum over the number of values",
        words: "mean of {}",
        signature: Signature::OfList(|d| d, mean),
    },
    Function {
        name: "smallest",
        form: "smallest(list)",
        about: "the smallest value of the list",
        words: "smallest of {}",
        signature: Signature::OfList(
            |d| d,
            |list| list.iter().min().copied().ok_or(Arithmetic::TooFewValues),
        ),
    },
    Function {
        name: "largest",
        form: "largest(list)",
        about: "the largest value of the list",
        words: "largest of {}",
        signature: Signature::OfList(
            |d| d,
            |list| list.iter().max().copied().ok_or(Arithmetic::TooFewValues),
        ),
    },
    Function {
        name: "count",
        form: "count(list)",
        about: "how many values the list has, as a count of units",
        words: "number of {}",
        signature: Signature::OfList(|_| Dimension::COUNT, |list| Ok(count(list))),
    },
    Function {
        name: "deviation",
        form: "deviation(list)",
        about: "the sample standard deviation, divisor n - 1",
        words: "standard deviation of {}",
        signature: Signature::OfList(|d| d, deviation),
    },
    Function {
        name: "furthest",
        form: "furthest(list, x)",
        about: "the value of the list that lies furthest from x; the first of two equally far",
        words: "value in {} furthest from {}",
        signature: Signature::ListAndNumber(furthest),
    },
    Function {
        name: "without",
        form: "without(list, x)",
        about: "the list without its first value equal to x",
        words: "{} without {}",
        signature: Signature::Without,
    },
    Function {
        name: "how_many",
        form: "how_many(list, low, high)",
        about: "how many values lie from low to high, as a count of units",
        words: "number of {} from {} to {}",
        signature: Signature::HowMany { outside: false },
    },
    Function {
        name: "outside",
        form: "outside(list, low, high)",
        about: "how many values lie below low or above high, as a count of units",
        words: "number of {} outside {} to {}",
        signature: Signature::HowMany { outside: true },
    },
    Function {
        name: "together",
        form: "together(list, list)",
        about: "the values of both lists, the first list first",
        words: "{} together with {}",
        signature: Signature::Together,
    },
    Function {
        name: "abs",
        form: "abs(x)",
        about: "x without its sign",
        words: "absolute value of {}",
        signature: Signature::OfNumber(Some, |x| Ok(x.abs())),
    },
    Function {
        name: "root",
        form: "root(x)",
        about: "the square root of x",
        words: "root of {}",
        signature: Signature::OfNumber(Dimension::root, Exact::sqrt),
    },
    Function {
        name: "round_up",
        form: "round_up(x)",
        about: "the next whole number of grams, millilitres or units",
        words: "{} rounded up",
        signature: Signature::OfNumber(Some, |x| Ok(x.settled().ceil())),
    },
    Function {
        name: "round_down",
        form: "round_down(x)",
        about: "the whole number of grams, millilitres or units just below, or x itself when whole",
        words: "{} rounded down",
        signature: Signature::OfNumber(Some, |x| Ok(x.settled().floor())),
    },
    Function {
        name: "least",
        form: "least(a, b)",
        about: "the smaller of two",
        words: "smaller of {} and {}",
        signature: Signature::OfTwo(Exact::min),
    },
    Function {
        name: "greatest",
        form: "greatest(a, b)",
        about: "the larger of two",
        words: "larger of {} and {}",
        signature: Signature::OfTwo(Exact::max),
    },
    Function {
        name: "limit",
        form: "limit(x, low, high)",
        about: "x, brought up to low or down to high when it lies outside",
        words: "{}, but at least {} and at most {}",
        signature: Signature::OfThree(|x, low, high| x.min(high).max(low)),
    },
];

impl Function {
    /// How many things it is given.
    pub(super) fn wants(&self) -> usize {
        match self.signature {
            Signature::OfList(..) | Signature::OfNumber(..) => 1,
            Signature::OfTwo(_)
            | Signature::ListAndNumber(_)
            | Signature::Without
            | Signature::Together => 2,
            Signature::OfThree(_) | Signature::HowMany { .. } => 3,
        }
    }

    /// The function of that name.
    pub fn find(name: &str) -> Option<&'static Self> {
        FUNCTIONS.iter().find(|function| function.name == name)
    }
}

fn sum(list: &[Exact]) -> Result<Exact, Arithmetic> {
    list.iter().try_fold(Exact::ZERO, |total, value| total.add(*value))
}

fn count(list: &[Exact]) -> Exact {
    Exact::whole(i64::try_from(list.len()).unwrap_or(i64::MAX))
}

fn mean(list: &[Exact]) -> Result<Exact, Arithmetic> {
    if list.is_empty() {
        return Err(Arithmetic::TooFewValues);
    }
    sum(list)?.div(count(list))
}

fn deviation(list: &[Exact]) -> Result<Exact, Arithmetic> {
    if list.len() < 2 {
        return Err(Arithmetic::TooFewValues);
    }
    let mean = mean(list)?;
    let squares = list.iter().try_fold(Exact::ZERO, |total, value| {
        let off = value.sub(mean)?;
        total.add(off.mul(off)?)
    })?;
    squares.div(count(list).sub(Exact::ONE)?)?.sqrt()
}

fn furthest(list: &[Exact], x: Exact) -> Result<Exact, Arithmetic> {
    let mut found: Option<(Exact, Exact)> = None;
    for value in list {
        let off = value.sub(x)?.abs();
        if found.is_none_or(|(_, furthest)| off > furthest) {
            found = Some((*value, off));
        }
    }
    found.map(|(value, _)| value).ok_or(Arithmetic::TooFewValues)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn list(texts: &[&str]) -> Vec<Exact> {
        texts.iter().map(|text| Exact::parse(text).unwrap()).collect()
    }

    #[test]
    fn every_row_has_its_own_name_and_a_form_and_words_that_fit_it() {
        for (index, function) in FUNCTIONS.iter().enumerate() {
            assert!(function.form.starts_with(function.name));
            assert!(FUNCTIONS[..index].iter().all(|other| other.name != function.name));
            assert_eq!(function.words.matches("{}").count(), function.wants(), "{}", function.name);
            assert_eq!(function.form.matches(',').count() + 1, function.wants());
        }
    }

    #[test]
    fn the_deviation_has_the_divisor_n_less_one() {
        // By hand: the squares about the mean 5 add up to 32, so this is the root of 32/7.
        let found = deviation(&list(&["2", "4", "4", "4", "5", "5", "7", "9"])).unwrap();
        let square = found.mul(found).unwrap();
        let off = square.mul(Exact::whole(7)).unwrap().sub(Exact::whole(32)).unwrap().abs();
        assert!(off < Exact::parse("0.00000000000000000001").unwrap(), "{found}");
    }

    #[test]
    fn a_mean_of_nothing_and_a_deviation_of_one_are_refused() {
        assert_eq!(mean(&[]), Err(Arithmetic::TooFewValues));
        assert_eq!(deviation(&list(&["1"])), Err(Arithmetic::TooFewValues));
    }

    #[test]
    fn the_limits_are_met_from_both_sides() {
        let Some(Signature::OfThree(limit)) =
            Function::find("limit").map(|function| &function.signature)
        else {
            panic!("limit takes three")
        };
        for (x, expected) in [(0, 1), (1, 1), (3, 3), (5, 5), (6, 5)] {
            let found = limit(Exact::whole(x), Exact::ONE, Exact::whole(5));
            assert_eq!(found, Exact::whole(expected), "{x}");
        }
    }

    #[test]
    fn the_first_of_two_equally_far_is_the_furthest() {
        assert_eq!(furthest(&list(&["0.9", "1.1"]), Exact::ONE), Ok(list(&["0.9"])[0]));
    }
}
