//! Laws of formulas: no text makes the reader panic, a program gives what the tree means, and what is
//! shown means the same again.

use castmark::formula::{Formula, Scope, Shape, Slot, Words};
use castmark::quantity::{Arithmetic, Dimension, Exact};
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{Signed, Zero};
use proptest::prelude::*;

use super::bench::{Bench, slots};

/// A tree of our own, worked in fractions.
#[derive(Clone, Debug)]
enum Tree {
    Number(i64, u32),
    Name(usize),
    Minus(Box<Tree>),
    Pair(char, Box<Tree>, Box<Tree>),
}

const PLAIN: [&str; 3] = ["a", "b", "c"];

/// Plain numbers named `a`, `b` and `c`, shown as they are.
struct Plain([(i64, u32); 3]);

impl Scope for Plain {
    fn find(&self, name: &str) -> Option<(usize, Shape)> {
        let slot = PLAIN.iter().position(|known| *known == name)?;
        Some((slot, Shape::Number(Dimension::NUMBER)))
    }

    fn names(&self) -> Vec<&str> {
        PLAIN.to_vec()
    }
}

impl Words for Plain {
    fn label(&self, name: &str) -> String {
        name.to_owned()
    }

    fn number(&self, name: &str) -> Vec<String> {
        let slot = self.find(name).unwrap().0;
        vec![exact(self.0[slot]).to_string()]
    }
}

fn exact((mantissa, places): (i64, u32)) -> Exact {
    Exact::new(mantissa.into(), places).unwrap()
}

fn fraction((mantissa, places): (i64, u32)) -> BigRational {
    BigRational::new(mantissa.into(), BigInt::from(10).pow(places))
}

impl Tree {
    /// The formula, with no more brackets than it needs, or with some.
    fn text(&self, spare: bool) -> String {
        let inner = |tree: &Self, weakest: u8| {
            let text = tree.text(spare);
            if spare || tree.strength() < weakest { format!("({text})") } else { text }
        };
        match self {
            Self::Number(mantissa, places) => exact((*mantissa, *places)).to_string(),
            Self::Name(slot) => PLAIN[*slot].to_owned(),
            Self::Minus(of) => format!("-{}", inner(of, 2)),
            Self::Pair(sign, left, right) => {
                let strength = self.strength();
                format!("{} {sign} {}", inner(left, strength), inner(right, strength + 1))
            }
        }
    }

    fn strength(&self) -> u8 {
        match self {
            Self::Pair('+' | '-', ..) | Self::Minus(_) => 1,
            Self::Pair(..) => 2,
            _ => 3,
        }
    }

    /// What it comes to; `None` when something is divided by nothing.
    fn value(&self, names: &Plain) -> Option<BigRational> {
        Some(match self {
            Self::Number(mantissa, places) => fraction((*mantissa, *places)),
            Self::Name(slot) => fraction(names.0[*slot]),
            Self::Minus(of) => -of.value(names)?,
            Self::Pair(sign, left, right) => {
                let (left, right) = (left.value(names)?, right.value(names)?);
                match sign {
                    '+' => left + right,
                    '-' => left - right,
                    '*' => left * right,
                    _ if right.is_zero() => return None,
                    _ => left / right,
                }
            }
        })
    }
}

fn numbers() -> impl Strategy<Value = (i64, u32)> {
    (0_i64..2000, 0_u32..3)
}

fn trees() -> impl Strategy<Value = Tree> {
    let leaf = prop_oneof![
        numbers().prop_map(|(mantissa, places)| Tree::Number(mantissa, places)),
        (0_usize..3).prop_map(Tree::Name),
    ];
    leaf.prop_recursive(4, 12, 2, |inner| {
        let signs = prop::sample::select(vec!['+', '-', '*', '/']);
        prop_oneof![
            1 => inner.clone().prop_map(|of| Tree::Minus(Box::new(of))),
            6 => (signs, inner.clone(), inner).prop_map(|(sign, left, right)| {
                Tree::Pair(sign, Box::new(left), Box::new(right))
            }),
        ]
    })
}

fn names() -> impl Strategy<Value = Plain> {
    prop::array::uniform3((-2000_i64..2000, 0_u32..3)).prop_map(Plain)
}

impl std::fmt::Debug for Plain {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.fmt(f)
    }
}

/// The value of a formula, `None` when something in it is divided by nothing.
fn run(text: &str, names: &Plain) -> Option<Exact> {
    let program = Formula::parse(text).unwrap().compile(names).unwrap();
    let slots = names.0.map(|number| Slot::Number(exact(number)));
    match program.run(&slots) {
        Ok(value) => Some(value),
        Err(fault) => {
            // A product of a dozen such numbers cannot overflow, nor a root be asked for.
            assert_eq!(fault.cause, Arithmetic::DivisionByZero, "{text}");
            assert!(text[fault.range].contains('/'));
            None
        }
    }
}

/// Whether the engine's decimal is the fraction, to the places that its divisions carry.
fn is_close(found: Exact, expected: &BigRational) -> bool {
    let ten = BigInt::from(10);
    let found = BigRational::new(found.mantissa().into(), ten.pow(found.places()));
    let near = BigRational::new(1.into(), ten.pow(12));
    (found - expected).abs() <= near.clone() + near * expected.abs()
}

/// What is shown, in the signs of formulas.
fn typed(shown: &str) -> String {
    shown.replace('×', "*").replace('÷', "/").replace('−', "-")
}

/// Whether every element of a piece of MathML is closed, and every fraction has two sides.
fn is_well_formed(mathml: &str) -> bool {
    let mut open: Vec<(&str, usize)> = vec![("", 0)];
    for tag in mathml.split('<').skip(1) {
        let tag = tag.split('>').next().unwrap_or_default();
        if let Some(name) = tag.strip_prefix('/') {
            match open.pop() {
                Some(("mfrac", children)) if children != 2 => return false,
                Some((opened, _)) if opened == name => {}
                _ => return false,
            }
        } else {
            let name = tag.split(' ').next().unwrap_or_default();
            if let Some((_, children)) = open.last_mut() {
                *children += 1;
            }
            open.push((name, 0));
        }
    }
    open == [("", 1)]
}

/// Reads, checks, runs and shows whatever it is; problems must lie in the text.
fn use_up(text: &str) -> Result<(), TestCaseError> {
    let problems = match Formula::parse(text) {
        Err(problems) => {
            prop_assert!(!problems.is_empty());
            problems
        }
        Ok(formula) => {
            for math in [formula.with_names(&Bench), formula.with_numbers(&Bench)] {
                prop_assert!(is_well_formed(&math.mathml()), "{}", math.mathml());
                prop_assert!(!math.text().is_empty() && !math.typst().is_empty());
            }
            match formula.compile(&Bench) {
                Err(problems) => {
                    prop_assert!(!problems.is_empty());
                    problems
                }
                Ok(program) => {
                    let fault = match program.shape() {
                        Shape::Truth => program.holds(&slots()).err(),
                        _ => program.run_slot(&slots()).err(),
                    };
                    prop_assert!(fault.is_none_or(|fault| text.get(fault.range).is_some()));
                    Vec::new()
                }
            }
        }
    };
    for problem in problems {
        prop_assert!(text.get(problem.range.clone()).is_some(), "{problem:?}");
    }
    Ok(())
}

const WORDS: &[&str] = &[
    "number",
    "capacity",
    "masses",
    "dv",
    "drug.dose",
    "1.5",
    "2 g",
    "10 %",
    "0",
    "1 g/unit",
    "+",
    "-",
    "*",
    "/",
    "(",
    ")",
    ",",
    "<",
    "and",
    "or",
    "not",
    "mean",
    "limit",
    "without",
    "furthest",
    "=",
    "×",
    "%",
    "$",
    "e3",
    ".",
];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn a_program_gives_what_its_tree_means(tree in trees(), names in names(), spare: bool) {
        let text = tree.text(spare);
        match (run(&text, &names), tree.value(&names)) {
            (None, None) => {}
            (Some(found), Some(expected)) => {
                prop_assert!(is_close(found, &expected), "{text}: {found}, not {expected}");
            }
            (found, expected) => {
                // What is nothing in fractions may be a last digit in decimals.
                let tiny = format!("{text}: {found:?}, not {expected:?}");
                prop_assert!(text.matches('/').count() > 1, "{tiny}");
            }
        }
    }

    #[test]
    fn what_is_shown_means_the_same_again(tree in trees(), names in names()) {
        let text = tree.text(false);
        let formula = Formula::parse(&text).unwrap();
        let expected = tree.value(&names);
        for shown in [formula.with_names(&names), formula.with_numbers(&names)] {
            prop_assert!(is_well_formed(&shown.mathml()));
            let shown = typed(&shown.text());
            if let (Some(found), Some(expected)) = (run(&shown, &names), &expected) {
                prop_assert!(is_close(found, expected), "{text} is shown as {shown}");
            }
        }
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC{0,60}") {
        use_up(&text)?;
    }

    #[test]
    fn no_mixture_of_words_makes_the_reader_panic(
        words in prop::collection::vec(prop::sample::select(WORDS), 0..30),
        blank in prop::sample::select(vec![" ", ""]),
    ) {
        use_up(&words.join(blank))?;
    }
}
