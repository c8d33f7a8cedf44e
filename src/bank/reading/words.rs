//! Single texts: what each must say is part of its type.

use std::fmt;
use std::marker::PhantomData;
use std::ops::{Deref, RangeInclusive};

use crate::formula::{Formula, FormulaProblem, Program, Scope, Shape, nearest};
use crate::quantity::{Exact, Rounding, UNITS, Unit};

use crate::bank::reading::checker::{Checker, bad_name, is_id};
use crate::bank::reading::form::{Kind, Words};
use crate::bank::reading::locations::{Located, Location};
use crate::bank::reading::node::Node;
use crate::bank::reading::noted::{Checked, Noted, Unsound};
use crate::bank::reading::written::{Either, List, Written, word};

/// A text of a file with its location. What it says is read when the text is: one that does not say
/// what it must is noted then, and not again.
pub(in crate::bank) struct Word<S: Says> {
    at: Location,
    text: String,
    meaning: Checked<S::Meaning>,
}

/// What a text must say.
pub(in crate::bank) trait Says {
    /// The description of it.
    const WORDS: Words;
    /// What it comes to.
    type Meaning: Copy;

    /// Reads a text at a location; one that does not say it is noted.
    fn read(checker: &mut Checker<'_>, at: Location, text: &str) -> Checked<Self::Meaning>;
}

/// Names the types of texts: `NumberText` for a [`Word`] that must be a number, which the function
/// `number` reads.
macro_rules! texts {
    ($($(#[$doc:meta])* $alias:ident, $says:ident = $words:expr, $read:expr => $meaning:ty;)*) => { $(
        #[doc = concat!("See [`", stringify!($alias), "`].")]
        #[derive(Debug)]
        pub(in crate::bank) struct $says;

        impl Says for $says {
            const WORDS: Words = $words;
            type Meaning = $meaning;

            fn read(checker: &mut Checker<'_>, at: Location, text: &str) -> Checked<$meaning> {
                $read(checker, &at, text)
            }
        }

        $(#[$doc])*
        pub(in crate::bank) type $alias = Word<$says>;
    )* };
}

texts! {
    /// Any text.
    Text, Any = Words::Any, |_, _, _| Ok(()) => ();
    /// A name or an id.
    NameText, AName = Words::Name, |_, _, _| Ok(()) => ();
    /// A decimal number.
    NumberText, ANumber = Words::Number, number => Exact;
    /// A formula, which is read where its names are known.
    FormulaText, AFormula = Words::Formula, |_, _, _| Ok(()) => ();
    /// A unit.
    UnitText, AUnit = Words::Unit, unit => Unit;
    /// A way of rounding.
    RoundingText, ARounding = Words::Rounding, rounding => Rounding;
    /// A tolerance: a number, and whether it is a percentage.
    ToleranceText, ATolerance = Words::Tolerance, tolerance => (Exact, bool);
}

/// See [`WholeText`].
#[derive(Debug)]
pub(in crate::bank) struct AWhole<const LOW: u32, const HIGH: u32>;

impl<const LOW: u32, const HIGH: u32> Says for AWhole<LOW, HIGH> {
    const WORDS: Words = Words::Whole(LOW, HIGH);
    type Meaning = u32;

    fn read(checker: &mut Checker<'_>, at: Location, text: &str) -> Checked<u32> {
        whole(checker, &at, text, LOW..=HIGH)
    }
}

/// A whole number within bounds.
pub(in crate::bank) type WholeText<const LOW: u32, const HIGH: u32> = Word<AWhole<LOW, HIGH>>;

/// A few words, each with what it stands for.
pub(in crate::bank) trait Choice: Sized + Copy + 'static {
    /// What one of them is, for a message: `an objective`.
    const WHAT: &'static str;
    /// The words.
    const WORDS: &'static [&'static str];

    /// What a word stands for.
    fn of(word: &str) -> Option<Self>;
}

/// See [`ChoiceText`].
#[derive(Debug)]
pub(in crate::bank) struct OneOf<C>(PhantomData<C>);

impl<C: Choice> Says for OneOf<C> {
    const WORDS: Words = Words::OneOf(C::WORDS);
    type Meaning = C;

    fn read(checker: &mut Checker<'_>, at: Location, text: &str) -> Checked<C> {
        C::of(text).ok_or_else(|| checker.unknown(&at, C::WHAT, text, C::WORDS.iter().copied()))
    }
}

/// One of a few words.
pub(in crate::bank) type ChoiceText<C> = Word<OneOf<C>>;

/// One text, or a list of them.
pub(in crate::bank) type Texts = Either<Text, List<Text>>;

impl Texts {
    /// The texts.
    pub(in crate::bank) fn all(&self) -> &[Text] {
        match self {
            Self::One(text) => std::slice::from_ref(text),
            Self::Other(texts) => texts,
        }
    }

    /// The proof that something was noted, unless all of them could be read.
    pub(in crate::bank) fn check(&self) -> Checked<()> {
        match self {
            Self::One(text) => text.meaning(),
            Self::Other(texts) => texts.check(),
        }
    }
}

impl<S: Says> fmt::Debug for Word<S> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.text.fmt(f)
    }
}

impl<S: Says> fmt::Display for Word<S> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl<S: Says> Deref for Word<S> {
    type Target = String;

    fn deref(&self) -> &String {
        &self.text
    }
}

impl<S: Says> Located for Word<S> {
    fn location(&self) -> Location {
        self.at
    }
}

impl<S: Says> Written for Word<S> {
    const KIND: Kind = Kind::Text(S::WORDS);

    fn read(checker: &mut Checker<'_>, node: Node) -> Checked<Self> {
        let (at, text) = word(checker, node, &Self::KIND)?;
        let meaning = S::read(checker, at, &text);
        let at = meaning.map_or_else(Location::lost, |_| at);
        Ok(Self { at, text, meaning })
    }

    fn lost(noted: Noted) -> Option<Self> {
        Some(Self { at: Location::lost(noted), text: String::new(), meaning: Err(noted) })
    }
}

impl<S: Says> Word<S> {
    /// What the text says, or the proof that something else was noted.
    pub(in crate::bank) fn meaning(&self) -> Checked<S::Meaning> {
        self.meaning
    }
}

/// Reads a decimal number at a location.
pub(in crate::bank) fn number(
    checker: &mut Checker<'_>,
    at: &impl Located,
    text: &str,
) -> Checked<Exact> {
    Exact::parse(text).ok_or_else(|| {
        let help = if text.contains(',') {
            format!("write a decimal point: `{}`", text.replace(',', "."))
        } else {
            "write digits with at most one point, and the unit under `unit`".to_owned()
        };
        let what = format!("expected a number, found `{text}`");
        checker.value(at, what, "not a number", Some(help))
    })
}

/// Reads a whole number at a location.
fn whole(
    checker: &mut Checker<'_>,
    at: &impl Located,
    text: &str,
    bounds: RangeInclusive<u32>,
) -> Checked<u32> {
    text.parse().ok().filter(|number| bounds.contains(number)).ok_or_else(|| {
        let (low, high) = (bounds.start(), bounds.end());
        let what = format!("expected a whole number from {low} to {high}, found `{text}`");
        checker.value(at, what, "not such a number", None)
    })
}

impl<const LOW: u32, const HIGH: u32> WholeText<LOW, HIGH> {
    /// The number, of things that are counted out.
    pub(in crate::bank) fn count(&self) -> Checked<usize> {
        self.meaning().map(|number| number as usize)
    }

    /// The number, which must be no greater than the file allows.
    pub(in crate::bank) fn up_to(&self, checker: &mut Checker<'_>, high: u32) -> Checked<u32> {
        self.meaning()?;
        whole(checker, self, self, LOW..=high)
    }
}

fn tolerance(checker: &mut Checker<'_>, at: &impl Located, text: &str) -> Checked<(Exact, bool)> {
    let percent = text.trim().strip_suffix('%').map(str::trim_end);
    let number = number(checker, at, percent.unwrap_or_else(|| text.trim()))?;
    if number.is_negative() {
        let what = "expected a tolerance of zero or more";
        return Err(checker.value(at, what, "below zero", None));
    }
    Ok((number, percent.is_some()))
}

fn unit(checker: &mut Checker<'_>, at: &impl Located, text: &str) -> Checked<Unit> {
    Unit::parse(text).map_err(|_| {
        let near = nearest(text, UNITS.iter().map(|row| row.symbol));
        let help = near.map_or_else(
            || "use g, mg, mL, unit, g/unit, g/mL, %, 1 or another unit of the manual".to_owned(),
            |near| format!("did you mean `{near}`?"),
        );
        let what = format!("expected a unit, found `{text}`");
        checker.value(at, what, "not a unit", Some(help))
    })
}

fn rounding(checker: &mut Checker<'_>, at: &impl Located, text: &str) -> Checked<Rounding> {
    Rounding::parse(text).ok_or_else(|| {
        let help = "write `2 places`, `3 figures`, `nearest 0.05` or `whole`".to_owned();
        let what = format!("expected a rounding, found `{text}`");
        checker.value(at, what, "not a rounding", Some(help))
    })
}

/// A scope that suggests no names.
struct Quiet<'a>(&'a dyn Scope);

impl Scope for Quiet<'_> {
    fn find(&self, name: &str) -> Option<(usize, Shape)> {
        self.0.find(name)
    }

    fn names(&self) -> Vec<&str> {
        Vec::new()
    }
}

impl FormulaText {
    /// The formula as read and as compiled. Names of which something was noted where they come from
    /// are not noted again.
    pub(in crate::bank) fn compile(
        &self,
        checker: &mut Checker<'_>,
        scope: &dyn Scope,
        unsound: &Unsound,
    ) -> Checked<(Formula, Program)> {
        let quiet = Quiet(scope);
        // Nobody reads what might have been meant by a name when complaints are only counted.
        let scope = if checker.notes.is_full() { &quiet } else { scope };
        let checked = Formula::parse(self)
            .and_then(|formula| formula.compile(scope).map(|program| (formula, program)));
        checked.map_err(|problems| {
            let mut noted = None;
            for FormulaProblem { range, what, label, help } in problems {
                let word = self.get(range.clone()).unwrap_or_default();
                let before = unsound.of(word);
                noted =
                    before.or_else(|| Some(checker.part(self, (self, &range), what, label, help)));
            }
            noted
                .unwrap_or_else(|| checker.value(self, "expected a formula", "not a formula", None))
        })
    }
}

impl NameText {
    /// Notes an id that files and commands could not use; tells whether they could.
    pub(in crate::bank) fn is_id(&self, checker: &mut Checker<'_>, kind: &str) -> bool {
        if is_id(self) {
            return true;
        }
        let what = format!(
            "expected lower-case letters, digits and hyphens as the id of {kind}, found `{}`",
            self.text
        );
        let help = "begin with a letter, as in `zinc-oxide`".to_owned();
        checker.value(self, what, "not an id", Some(help));
        false
    }

    /// Notes a name that formulas could not use; tells whether they could.
    pub(in crate::bank) fn is_name(&self, checker: &mut Checker<'_>, kind: &str) -> bool {
        let Some((expected, help)) = bad_name(self) else { return true };
        let what = format!("expected {expected} as the name of {kind}, found `{}`", self.text);
        checker.value(self, what, "not a name", Some(help.to_owned()));
        false
    }

    /// Notes a name that is not the name of its file.
    pub(in crate::bank) fn expect_file_name(&self, checker: &mut Checker<'_>) {
        let stem = checker.file.source.stem().to_owned();
        if stem != self.text {
            let what = format!("expected the name of the file, `{stem}`, found `{}`", self.text);
            let help = "rename the file, or change this".to_owned();
            checker.value(self, what, "not the name of the file", Some(help));
        }
    }
}
