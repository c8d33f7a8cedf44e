//! Single texts: what each must say is part of its type.

use std::fmt;
use std::marker::PhantomData;
use std::ops::Deref;
use std::str::FromStr;

use crate::formula::{Formula, FormulaProblem, Program, Scope, Shape, nearest};
use crate::quantity::{Exact, Rounding, UNITS, Unit};

use crate::bank::reading::checker::{Checker, bad_name, is_id};
use crate::bank::reading::form::{Kind, Words};
use crate::bank::reading::locations::{Located, Location};
use crate::bank::reading::node::Node;
use crate::bank::reading::noted::{Checked, Noted, Unsound};
use crate::bank::reading::written::{Either, List, Written, word};

/// A text of a file with its location; one that does not say what it must is noted when it is read, and
/// not again.
pub(in crate::bank) struct Word<S> {
    at: Location,
    text: String,
    says: PhantomData<S>,
}

/// What a text must say.
pub(in crate::bank) trait Says: Sized {
    /// The description of it.
    const WORDS: Words;

    /// Notes a text that does not say it, as far as the text alone shows.
    fn check(checker: &mut Checker<'_>, word: &Word<Self>) -> Checked<()> {
        let _ = (checker, word);
        Ok(())
    }
}

/// Names the types of texts: `NumberText` for a [`Word`] that must be a number, which its method
/// `number` reads.
macro_rules! texts {
    ($($(#[$doc:meta])* $alias:ident, $says:ident = $words:expr $(, $read:ident)?;)*) => { $(
        #[doc = concat!("See [`", stringify!($alias), "`].")]
        #[derive(Debug)]
        pub(in crate::bank) struct $says;

        impl Says for $says {
            const WORDS: Words = $words;

            $(fn check(checker: &mut Checker<'_>, word: &Word<Self>) -> Checked<()> {
                word.$read(checker).map(drop)
            })?
        }

        $(#[$doc])*
        pub(in crate::bank) type $alias = Word<$says>;
    )* };
}

texts! {
    /// Any text.
    Text, Any = Words::Any;
    /// A name or an id.
    NameText, AName = Words::Name;
    /// A decimal number.
    NumberText, ANumber = Words::Number, number;
    /// A formula.
    FormulaText, AFormula = Words::Formula;
    /// A unit.
    UnitText, AUnit = Words::Unit, unit;
    /// A way of rounding.
    RoundingText, ARounding = Words::Rounding, rounding;
    /// A tolerance: a number or a percentage.
    ToleranceText, ATolerance = Words::Tolerance, number;
}

/// See [`WholeText`].
#[derive(Debug)]
pub(in crate::bank) struct AWhole<const LOW: u32, const HIGH: u32>;

impl<const LOW: u32, const HIGH: u32> Says for AWhole<LOW, HIGH> {
    const WORDS: Words = Words::Whole(LOW, HIGH);

    fn check(checker: &mut Checker<'_>, word: &Word<Self>) -> Checked<()> {
        word.whole::<u32>(checker).map(drop)
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

    fn check(checker: &mut Checker<'_>, word: &Word<Self>) -> Checked<()> {
        word.choice(checker).map(drop)
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

    /// The proof that some of them could not be read.
    pub(in crate::bank) fn unsound(&self) -> Option<Noted> {
        match self {
            Self::One(_) => None,
            Self::Other(texts) => texts.unsound(),
        }
    }
}

impl<S> fmt::Debug for Word<S> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.text.fmt(f)
    }
}

impl<S> fmt::Display for Word<S> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl<S> Deref for Word<S> {
    type Target = String;

    fn deref(&self) -> &String {
        &self.text
    }
}

impl<S> Located for Word<S> {
    fn location(&self) -> Location {
        self.at
    }
}

impl<S: Says> Written for Word<S> {
    const KIND: Kind = Kind::Text(S::WORDS);

    fn read(checker: &mut Checker<'_>, node: Node) -> Checked<Self> {
        let (at, text) = word(checker, node, &Self::KIND)?;
        let mut word = Self { at, text, says: PhantomData };
        if let Err(noted) = S::check(checker, &word) {
            word.at = Location::lost(noted);
        }
        Ok(word)
    }

    fn lost(noted: Noted) -> Option<Self> {
        Some(Self { at: Location::lost(noted), text: String::new(), says: PhantomData })
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

impl NumberText {
    /// The number.
    pub(in crate::bank) fn number(&self, checker: &mut Checker<'_>) -> Checked<Exact> {
        number(checker, self, self)
    }
}

impl<const LOW: u32, const HIGH: u32> WholeText<LOW, HIGH> {
    /// The number.
    pub(in crate::bank) fn whole<N: FromStr>(&self, checker: &mut Checker<'_>) -> Checked<N> {
        self.whole_in(checker, LOW, HIGH)
    }

    /// The number, within bounds that depend on the file.
    pub(in crate::bank) fn whole_in<N: FromStr>(
        &self,
        checker: &mut Checker<'_>,
        low: u32,
        high: u32,
    ) -> Checked<N> {
        let number = self.parse::<u32>().ok().filter(|number| (low..=high).contains(number));
        number.and_then(|_| self.parse().ok()).ok_or_else(|| {
            let what =
                format!("expected a whole number from {low} to {high}, found `{}`", self.text);
            checker.value(self, what, "not such a number", None)
        })
    }
}

impl ToleranceText {
    /// The number, and whether it is a percentage.
    pub(in crate::bank) fn number(&self, checker: &mut Checker<'_>) -> Checked<(Exact, bool)> {
        let percent = self.trim().strip_suffix('%').map(str::trim_end);
        let number = number(checker, self, percent.unwrap_or_else(|| self.trim()))?;
        if number.is_negative() {
            let what = "expected a tolerance of zero or more";
            return Err(checker.value(self, what, "below zero", None));
        }
        Ok((number, percent.is_some()))
    }
}

impl UnitText {
    /// The unit.
    pub(in crate::bank) fn unit(&self, checker: &mut Checker<'_>) -> Checked<Unit> {
        Unit::parse(self).map_err(|_| {
            let help = nearest(self, UNITS.iter().map(|row| row.symbol)).map_or_else(
                || {
                    "use g, mg, mL, unit, g/unit, g/mL, %, 1 or another unit of the manual"
                        .to_owned()
                },
                |near| format!("did you mean `{near}`?"),
            );
            let what = format!("expected a unit, found `{}`", self.text);
            checker.value(self, what, "not a unit", Some(help))
        })
    }
}

impl RoundingText {
    /// The way of rounding.
    pub(in crate::bank) fn rounding(&self, checker: &mut Checker<'_>) -> Checked<Rounding> {
        Rounding::parse(self).ok_or_else(|| {
            let help = "write `2 places`, `3 figures`, `nearest 0.05` or `whole`".to_owned();
            let what = format!("expected a rounding, found `{}`", self.text);
            checker.value(self, what, "not a rounding", Some(help))
        })
    }
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

impl<C: Choice> ChoiceText<C> {
    /// What the word stands for.
    pub(in crate::bank) fn choice(&self, checker: &mut Checker<'_>) -> Checked<C> {
        C::of(self).ok_or_else(|| checker.unknown(self, C::WHAT, self, C::WORDS.iter().copied()))
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
