//! What the pieces of a file are read into: lists, names, and what may be left out.

use std::collections::BTreeSet;
use std::fmt;
use std::ops::Deref;

use crate::bank::reading::checker::{Checker, bad_name, is_id};
use crate::bank::reading::form::{Kind, Words};
use crate::bank::reading::locations::{Located, Location};
use crate::bank::reading::node::{Node, What};
use crate::bank::reading::noted::{Checked, Noted, Unsound};
use crate::bank::reading::yaml;

/// What can be read from a piece of a file.
pub(in crate::bank) trait Written: Sized {
    /// The description of its form.
    const KIND: Kind;
    /// Whether a key with it must be given.
    const NEEDED: bool = true;

    /// Reads a piece; everything that is not of the form is noted.
    fn read(checker: &mut Checker<'_>, node: Node) -> Checked<Self>;

    /// What a key that was left out gives.
    fn absent() -> Option<Self> {
        None
    }

    /// What stands in for a piece that is missing or wrong, so that the rest of the file is checked as
    /// well; without any, what holds the piece is left out.
    fn lost(_: Noted) -> Option<Self> {
        None
    }
}

/// Reads a whole file.
pub(in crate::bank) fn file<T: Written>(checker: &mut Checker<'_>) -> Checked<T> {
    let node = yaml::read(&checker.file, &T::KIND)
        .map_err(|found| checker.notes.add(checker.file.source, || found))?;
    // A file of a later version may have keys that are not known here: only its version matters.
    let version = node.under("castmark").and_then(|node| node.text().map(|text| (node.at, text)));
    if let Some((at, version)) = version.filter(|(_, version)| *version != "1") {
        let what = format!("expected format version 1, found `{version}`");
        let help = "write `castmark: 1`, or use the program the file was written for".to_owned();
        return Err(checker.value(&at, what, "not a version this program reads", Some(help)));
    }
    T::read(checker, node)
}

impl<T: Written> Written for Option<T> {
    const KIND: Kind = T::KIND;
    const NEEDED: bool = false;

    fn read(checker: &mut Checker<'_>, node: Node) -> Checked<Self> {
        T::read(checker, node).map(Some)
    }

    fn absent() -> Option<Self> {
        Some(None)
    }

    fn lost(noted: Noted) -> Option<Self> {
        T::lost(noted).map(Some)
    }
}

/// A list, with the fewest items it should have.
///
/// Items that could not be read are left out, and nothing is noted about the list as a whole then.
#[derive(Debug)]
pub(in crate::bank) struct List<T, const LEAST: usize = 1> {
    at: Location,
    items: Vec<T>,
}

impl<T, const LEAST: usize> Deref for List<T, LEAST> {
    type Target = [T];

    fn deref(&self) -> &[T] {
        &self.items
    }
}

impl<T, const LEAST: usize> List<T, LEAST> {
    /// The proof that something was noted, unless all items could be read.
    pub(in crate::bank) fn check(&self) -> Checked<()> {
        self.at.noted().map_or(Ok(()), Err)
    }
}

impl<T, const LEAST: usize> Located for List<T, LEAST> {
    fn location(&self) -> Location {
        self.at
    }
}

impl<T: Written, const LEAST: usize> Written for List<T, LEAST> {
    const KIND: Kind = Kind::List(&T::KIND, LEAST);

    fn read(checker: &mut Checker<'_>, node: Node) -> Checked<Self> {
        let Node { mut at, what: What::List(nodes) } = node else {
            return Err(misfit(checker, &node, &Self::KIND));
        };
        let mut items = Vec::with_capacity(nodes.len());
        for node in nodes {
            match T::read(checker, node) {
                Ok(item) => items.push(item),
                Err(noted) => at = Location::lost(noted),
            }
        }
        Ok(Self { at, items })
    }

    fn lost(noted: Noted) -> Option<Self> {
        Some(Self { at: Location::lost(noted), items: Vec::new() })
    }
}

/// A name that the writer chose, as a key.
#[derive(Clone, Debug)]
pub(in crate::bank) struct Key {
    at: Location,
    name: String,
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name)
    }
}

impl Deref for Key {
    type Target = String;

    fn deref(&self) -> &String {
        &self.name
    }
}

impl Located for Key {
    fn location(&self) -> Location {
        self.at
    }
}

impl Key {
    /// Notes a name that formulas could not use; tells whether they could.
    pub(in crate::bank) fn is_name(&self, checker: &mut Checker<'_>, kind: &str) -> bool {
        let Some((expected, help)) = bad_name(self) else { return true };
        let what = format!("expected {expected} as the name of {kind}, found `{}`", self.name);
        checker.key(self, what, "not a name", Some(help.to_owned()));
        false
    }

    /// Notes an id that files and commands could not use.
    pub(in crate::bank) fn expect_id(&self, checker: &mut Checker<'_>, kind: &str) {
        if !is_id(self) {
            let what = format!(
                "expected lower-case letters, digits and hyphens as the id of {kind}, found `{}`",
                self.name
            );
            let help = "begin with a letter, as in `zinc-oxide`".to_owned();
            checker.key(self, what, "not an id", Some(help));
        }
    }
}

/// Names that the writer chose, each with what belongs to it, in the order written.
///
/// What could not be read is left out, and nothing is noted about the names as a whole then.
#[derive(Debug)]
pub(in crate::bank) struct Named<T> {
    at: Location,
    entries: Vec<(Key, T)>,
    /// The names of what was left out.
    pub(in crate::bank) unsound: Unsound,
}

impl<T> Deref for Named<T> {
    type Target = [(Key, T)];

    fn deref(&self) -> &[(Key, T)] {
        &self.entries
    }
}

impl<T> Located for Named<T> {
    fn location(&self) -> Location {
        self.at
    }
}

impl<T> Named<T> {
    /// What belongs to a name, with the name as it is written.
    pub(in crate::bank) fn get(&self, name: &str) -> Option<&(Key, T)> {
        self.entries.iter().find(|(key, _)| key.name == name)
    }
}

impl<T: Written> Written for Named<T> {
    const KIND: Kind = Kind::Names(&T::KIND);

    fn read(checker: &mut Checker<'_>, node: Node) -> Checked<Self> {
        let Node { mut at, what: What::Group(group) } = node else {
            return Err(misfit(checker, &node, &Self::KIND));
        };
        let mut known = BTreeSet::new();
        let (mut entries, mut unsound) = (Vec::new(), Unsound::default());
        for (name, node) in group {
            if !known.insert(name.clone()) {
                again(checker, &node, &name);
                continue;
            }
            let key = Key { at: node.at, name };
            match T::read(checker, node) {
                Ok(entry) => entries.push((key, entry)),
                Err(noted) => {
                    unsound.add(&key, noted);
                    at = Location::lost(noted);
                }
            }
        }
        Ok(Self { at, entries, unsound })
    }

    fn lost(noted: Noted) -> Option<Self> {
        let at = Location::lost(noted);
        Some(Self { at, entries: Vec::new(), unsound: Unsound::all(noted) })
    }
}

/// One of two that differ in build: a text, or a list.
#[derive(Debug)]
pub(in crate::bank) enum Either<A, B> {
    One(A),
    Other(B),
}

impl<A: Written, B: Written> Written for Either<A, B> {
    const KIND: Kind = Kind::Either(&[A::KIND, B::KIND]);

    fn read(checker: &mut Checker<'_>, node: Node) -> Checked<Self> {
        if fits(&A::KIND, &node) {
            A::read(checker, node).map(Self::One)
        } else if fits(&B::KIND, &node) {
            B::read(checker, node).map(Self::Other)
        } else {
            Err(misfit(checker, &node, &Self::KIND))
        }
    }

    fn lost(noted: Noted) -> Option<Self> {
        A::lost(noted).map(Self::One)
    }
}

impl<A: Located, B: Located> Located for Either<A, B> {
    fn location(&self) -> Location {
        match self {
            Self::One(one) => one.location(),
            Self::Other(other) => other.location(),
        }
    }
}

/// Whether a piece is built as a kind says.
fn fits(kind: &Kind, node: &Node) -> bool {
    match (kind, &node.what) {
        (Kind::Text(_), What::Text(_))
        | (Kind::List(..), What::List(_))
        | (Kind::Names(_) | Kind::Form(_), What::Group(_)) => true,
        (Kind::Either(kinds), _) => kinds.iter().any(|kind| fits(kind, node)),
        _ => false,
    }
}

/// `true` or `false`.
#[derive(Clone, Copy, Debug)]
pub(in crate::bank) struct Truth {
    at: Location,
    /// Which of the two.
    pub(in crate::bank) is_true: bool,
}

impl Located for Truth {
    fn location(&self) -> Location {
        self.at
    }
}

impl Written for Truth {
    const KIND: Kind = Kind::Text(Words::Truth);

    fn read(checker: &mut Checker<'_>, node: Node) -> Checked<Self> {
        let (at, text) = word(checker, node, &Self::KIND)?;
        if !matches!(text.as_str(), "true" | "false") {
            let what = format!("expected true or false, found `{text}`");
            // The file is read on: what else is wrong with it does not depend on this.
            checker.value(&at, what, "neither", Some("write one of the two".to_owned()));
        }
        Ok(Self { at, is_true: text == "true" })
    }

    fn lost(noted: Noted) -> Option<Self> {
        Some(Self { at: Location::lost(noted), is_true: false })
    }
}

/// The text of a piece that must be a text and not empty.
pub(in crate::bank) fn word(
    checker: &mut Checker<'_>,
    node: Node,
    kind: &Kind,
) -> Checked<(Location, String)> {
    match node {
        Node { at, what: What::Text(text) } if matches!(text.trim(), "" | "~" | "null") => {
            let what = format!("expected {}, found nothing", kind.name());
            let help = "write it behind the colon, or remove the line".to_owned();
            Err(checker.key(&at, what, "empty", Some(help)))
        }
        Node { at, what: What::Text(text) } => Ok((at, text)),
        node => Err(misfit(checker, &node, kind)),
    }
}

/// Notes a key that is there already.
pub(super) fn again(checker: &mut Checker<'_>, at: &impl Located, key: &str) {
    let what = format!("`{key}` stands twice in the same place");
    let help = "remove one of the two, or give it another name".to_owned();
    checker.key(at, what, "again", Some(help));
}

/// Notes a piece that is built in another way than it should be.
pub(in crate::bank) fn misfit(checker: &mut Checker<'_>, node: &Node, kind: &Kind) -> Noted {
    let begins_with = checker.file.source.text.get(checker.file.value(node.at).start..);
    let first = begins_with.and_then(|rest| rest.chars().next());
    let is_text = matches!(kind, Kind::Text(_));
    let help = match (kind, &node.what, first) {
        (_, What::Group(_), Some('{')) if is_text => {
            "put a text that begins with `{{` in double quotes, or write it behind `>` on lines of its \
             own"
        }
        (_, What::List(_), Some('[')) if is_text => {
            "put a text that begins with `[` in double quotes"
        }
        (_, What::Group(_), _) if is_text => {
            "put a text that holds a colon and a blank in double quotes, or write it behind `>`"
        }
        (_, What::List(_), _) if is_text => "write one text, without `-` before it",
        (Kind::List(..), ..) => "write each item on a line of its own behind `- `",
        _ => "write each key on a line of its own, further in than the name above it",
    };
    let what = format!("expected {}, found {}", kind.name(), node.kind());
    checker.value(node, what, "another kind of thing", Some(help.to_owned()))
}
