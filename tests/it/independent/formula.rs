//! A second reading of the formula language, straight from the text, in fractions.
//!
//! Only well-written formulas are read: a bundled template has been checked before it comes here,
//! so anything strange panics with the text that is left.

use std::collections::BTreeMap;

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{Signed, Zero};

use super::unit::{coherent, fraction};

/// A formula.
#[derive(Clone)]
pub(super) enum Formula {
    Number(BigRational),
    Name(String),
    Minus(Box<Formula>),
    Not(Box<Formula>),
    Pair(&'static str, Box<Formula>, Box<Formula>),
    Call(String, Vec<Formula>),
}

/// What a formula comes to, or what a name stands for, in coherent units.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Value {
    Number(BigRational),
    List(Vec<BigRational>),
    Truth(bool),
}

/// What the names stand for.
pub(super) type Names = BTreeMap<String, Value>;

/// Reads a formula.
#[track_caller]
pub(super) fn read(text: &str) -> Formula {
    let mut reader = Reader { rest: text };
    let formula = reader.either();
    assert_eq!(reader.rest.trim(), "", "left over of `{text}`");
    formula
}

/// Reads plain digits with a sign and a point.
pub(super) fn decimal(text: &str) -> BigRational {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits: BigInt = format!("{whole}{part}").parse().unwrap();
    let places = u32::try_from(part.len()).unwrap();
    BigRational::new(digits, BigInt::from(10).pow(places))
}

struct Reader<'a> {
    rest: &'a str,
}

impl Reader<'_> {
    fn either(&mut self) -> Formula {
        let mut left = self.both();
        while self.word("or") {
            left = pair("or", left, self.both());
        }
        left
    }

    fn both(&mut self) -> Formula {
        let mut left = self.negation();
        while self.word("and") {
            left = pair("and", left, self.negation());
        }
        left
    }

    fn negation(&mut self) -> Formula {
        if self.word("not") { Formula::Not(Box::new(self.negation())) } else { self.comparison() }
    }

    fn comparison(&mut self) -> Formula {
        let left = self.sum();
        for sign in ["<=", ">=", "!=", "<", ">", "="] {
            if self.sign(sign) {
                return pair(sign, left, self.sum());
            }
        }
        left
    }

    fn sum(&mut self) -> Formula {
        let mut left = self.product();
        while let Some(sign) = ["+", "-"].into_iter().find(|sign| self.sign(sign)) {
            left = pair(sign, left, self.product());
        }
        left
    }

    fn product(&mut self) -> Formula {
        let mut left = self.operand();
        while let Some(sign) = ["*", "/"].into_iter().find(|sign| self.sign(sign)) {
            left = pair(sign, left, self.operand());
        }
        left
    }

    fn operand(&mut self) -> Formula {
        if self.sign("-") {
            return Formula::Minus(Box::new(self.operand()));
        }
        if self.sign("(") {
            let inner = self.either();
            assert!(self.sign(")"), "no closing bracket before `{}`", self.rest);
            return inner;
        }
        self.rest = self.rest.trim_start();
        if self.rest.starts_with(|letter: char| letter.is_ascii_digit() || letter == '.') {
            let digits = self.take(|letter| letter.is_ascii_digit() || letter == '.');
            let number = decimal(&digits);
            return Formula::Number(self.unit(&number).unwrap_or(number));
        }
        let name = self.take(|letter| letter.is_ascii_alphanumeric() || "_.".contains(letter));
        assert!(!name.is_empty(), "no operand at `{}`", self.rest);
        if !self.sign("(") {
            return Formula::Name(name);
        }
        let mut given = vec![self.either()];
        while self.sign(",") {
            given.push(self.either());
        }
        assert!(self.sign(")"), "no closing bracket before `{}`", self.rest);
        Formula::Call(name, given)
    }

    /// Takes a unit that stands behind a number, and gives the number in coherent units.
    fn unit(&mut self, number: &BigRational) -> Option<BigRational> {
        let rest = self.rest.trim_start();
        let ends = rest.char_indices().map(|(at, letter)| at + letter.len_utf8());
        let goes_on = |end: usize| {
            rest[end..]
                .starts_with(|letter: char| letter.is_alphanumeric() || "_.".contains(letter))
        };
        // The longest beginning that is a unit and does not go on as a name.
        let longest = ends.take(12).filter(|end| !goes_on(*end));
        let found = longest.filter_map(|end| {
            let unit = &rest[..end];
            let is_digit = unit.starts_with(|letter: char| letter.is_ascii_digit());
            coherent(unit, number).filter(|_| !is_digit).map(|number| (end, number))
        });
        let (end, number) = found.last()?;
        self.rest = &rest[end..];
        Some(number)
    }

    fn take(&mut self, belongs: impl Fn(char) -> bool) -> String {
        let end = self.rest.find(|letter| !belongs(letter)).unwrap_or(self.rest.len());
        let (taken, rest) = self.rest.split_at(end);
        self.rest = rest;
        taken.to_owned()
    }

    fn sign(&mut self, sign: &str) -> bool {
        let rest = self.rest.trim_start().strip_prefix(sign);
        rest.map(|rest| self.rest = rest).is_some()
    }

    fn word(&mut self, word: &str) -> bool {
        let rest = self.rest.trim_start().strip_prefix(word);
        let ends = |rest: &&str| {
            !rest
                .starts_with(|letter: char| letter.is_ascii_alphanumeric() || "_.".contains(letter))
        };
        rest.filter(ends).map(|rest| self.rest = rest).is_some()
    }
}

fn pair(sign: &'static str, left: Formula, right: Formula) -> Formula {
    Formula::Pair(sign, Box::new(left), Box::new(right))
}

impl Formula {
    /// Whether the formula names this value.
    pub(super) fn uses(&self, name: &str) -> bool {
        match self {
            Self::Number(_) => false,
            Self::Name(used) => used == name,
            Self::Minus(inner) | Self::Not(inner) => inner.uses(name),
            Self::Pair(_, left, right) => left.uses(name) || right.uses(name),
            Self::Call(_, given) => given.iter().any(|one| one.uses(name)),
        }
    }

    /// What the formula comes to; `None` when it has no result.
    pub(super) fn value(&self, names: &Names) -> Option<Value> {
        Some(match self {
            Self::Number(number) => Value::Number(number.clone()),
            Self::Name(name) => {
                names.get(name).unwrap_or_else(|| panic!("`{name}` has no value")).clone()
            }
            Self::Minus(inner) => Value::Number(-inner.number(names)?),
            Self::Not(inner) => Value::Truth(!inner.truth(names)?),
            Self::Pair("and", left, right) => {
                Value::Truth(left.truth(names)? & right.truth(names)?)
            }
            Self::Pair("or", left, right) => Value::Truth(left.truth(names)? | right.truth(names)?),
            Self::Pair(sign, left, right) => {
                let (left, right) = (left.number(names)?, right.number(names)?);
                match *sign {
                    "+" => Value::Number(left + right),
                    "-" => Value::Number(left - right),
                    "*" => Value::Number(left * right),
                    "/" if right.is_zero() => return None,
                    "/" => Value::Number(left / right),
                    "<=" => Value::Truth(left <= right),
                    ">=" => Value::Truth(left >= right),
                    "!=" => Value::Truth(left != right),
                    "<" => Value::Truth(left < right),
                    ">" => Value::Truth(left > right),
                    _ => Value::Truth(left == right),
                }
            }
            Self::Call(name, given) => call(name, given, names)?,
        })
    }

    /// The number it comes to.
    pub(super) fn number(&self, names: &Names) -> Option<BigRational> {
        match self.value(names)? {
            Value::Number(number) => Some(number),
            other => panic!("expected a number, found {other:?}"),
        }
    }

    /// Whether it holds.
    pub(super) fn truth(&self, names: &Names) -> Option<bool> {
        match self.value(names)? {
            Value::Truth(truth) => Some(truth),
            other => panic!("expected a condition, found {other:?}"),
        }
    }

    fn list(&self, names: &Names) -> Option<Vec<BigRational>> {
        match self.value(names)? {
            Value::List(list) => Some(list),
            other => panic!("expected a list, found {other:?}"),
        }
    }
}

fn call(name: &str, given: &[Formula], names: &Names) -> Option<Value> {
    let number = |place: usize| given[place].number(names);
    let list = || given[0].list(names);
    let total = |list: &[BigRational]| list.iter().sum::<BigRational>();
    let how_many = |count: usize| BigRational::from_integer(count.into());
    Some(Value::Number(match name {
        "sum" => total(&list()?),
        "count" => how_many(list()?.len()),
        "mean" => mean(&list()?)?,
        "smallest" => list()?.into_iter().min()?,
        "largest" => list()?.into_iter().max()?,
        "deviation" => {
            let list = list()?;
            let mean = mean(&list)?;
            let squares: Vec<_> = list.iter().map(|one| (one - &mean) * (one - &mean)).collect();
            let degrees = list.len().checked_sub(1).filter(|degrees| *degrees > 0)?;
            root(&(total(&squares) / how_many(degrees)))?
        }
        "furthest" => {
            let (list, from) = (list()?, number(1)?);
            let most = list.iter().map(|one| (one - &from).abs()).max()?;
            list.into_iter().find(|one| (one - &from).abs() == most)?
        }
        "without" => {
            let (mut list, left_out) = (list()?, number(1)?);
            if let Some(place) = list.iter().position(|one| *one == left_out) {
                list.remove(place);
            }
            return Some(Value::List(list));
        }
        "how_many" => {
            let inside = number(1)?..=number(2)?;
            how_many(list()?.iter().filter(|one| inside.contains(one)).count())
        }
        "outside" => {
            let (low, high) = (number(1)?, number(2)?);
            how_many(list()?.iter().filter(|one| **one < low || **one > high).count())
        }
        "together" => {
            let second = given[1].list(names)?;
            return Some(Value::List(list()?.into_iter().chain(second).collect()));
        }
        "abs" => number(0)?.abs(),
        "root" => root(&number(0)?)?,
        "round_up" => number(0)?.ceil(),
        "round_down" => number(0)?.floor(),
        "least" => number(0)?.min(number(1)?),
        "greatest" => number(0)?.max(number(1)?),
        "limit" => number(0)?.min(number(2)?).max(number(1)?),
        _ => panic!("there is no function `{name}`"),
    }))
}

fn mean(list: &[BigRational]) -> Option<BigRational> {
    let count = BigRational::from_integer(list.len().into());
    (!count.is_zero()).then(|| list.iter().sum::<BigRational>() / count)
}

/// The root to 40 places: the largest such number whose square is not above.
fn root(square: &BigRational) -> Option<BigRational> {
    if square.is_negative() {
        return None;
    }
    let scale = BigInt::from(10).pow(40);
    let whole = (square * &scale * &scale).floor().to_integer().sqrt();
    Some(BigRational::new(whole, scale))
}

#[test]
fn the_second_reading_keeps_the_order_of_operations_and_the_units() {
    let names = Names::from([
        ("a.b".to_owned(), Value::Number(fraction(3, 1))),
        ("list".to_owned(), Value::List([2, 4, 9].map(|one| fraction(one, 1)).to_vec())),
    ]);
    for (text, top, bottom) in [
        ("1 + 2 * a.b - 4 / 2", 5, 1),
        ("7 - 2 - 1", 4, 1),
        ("-(1 - a.b) * 250 mg", 1, 2),
        ("10 % w/w + 5 %", 3, 20),
        ("3 g / 2 g/mL / 5", 3, 10),
        ("2 kg/L * 1 unit", 2, 1),
        ("mean(without(list, 4)) + furthest(list, 4)", 29, 2),
        ("outside(list, 4, 8) * 5 + count(together(list, without(list, 4)))", 15, 1),
        ("root(2.25) + limit(7, 1, 2) + how_many(list, 3, 9)", 11, 2),
    ] {
        assert_eq!(read(text).number(&names), Some(fraction(top, bottom)), "{text}");
    }
    assert_eq!(read("not 1 > 2 and a.b != 4 or 1 = 2").truth(&names), Some(true));
    assert_eq!(read("1 / (a.b - 3)").value(&names), None);
}
