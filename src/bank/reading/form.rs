//! The description of a form: what may be written where.
//!
//! `form!` makes it together with the type that is read. It guides the reading, complaints name its
//! keys, and the schema for editors is made from it.

/// What may be written in a place.
#[derive(Clone, Copy, Debug)]
pub(in crate::bank) enum Kind {
    /// A single text or number.
    Text(Words),
    /// A list of one kind of thing, with the fewest items it needs.
    List(&'static Self, usize),
    /// Names that the writer chooses, each with one kind of thing.
    Names(&'static Self),
    /// Keys that the form fixes.
    Form(&'static Form),
    /// One of several that differ in build: a text or a list.
    Either(&'static [Self]),
}

/// What a single text is; whether it is right is seen where its meaning is.
#[derive(Clone, Copy, Debug)]
pub(in crate::bank) enum Words {
    /// Any text.
    Any,
    /// A name or an id.
    Name,
    /// A decimal number.
    Number,
    /// A whole number within bounds.
    Whole(u32, u32),
    /// A formula.
    Formula,
    /// A unit.
    Unit,
    /// A way of rounding.
    Rounding,
    /// A tolerance: a number or a percentage.
    Tolerance,
    /// `true` or `false`.
    Truth,
    /// One of a few words.
    OneOf(&'static [&'static str]),
}

/// A group of keys.
#[derive(Debug)]
pub(in crate::bank) struct Form {
    /// What the group is, for messages: `a part`.
    pub(in crate::bank) name: &'static str,
    /// The keys.
    pub(in crate::bank) fields: &'static [Field],
    /// Keys of which exactly one is given.
    pub(in crate::bank) one_of: &'static [&'static str],
}

/// A key of a form.
#[derive(Debug)]
pub(in crate::bank) struct Field {
    pub(in crate::bank) key: &'static str,
    pub(in crate::bank) needed: bool,
    pub(in crate::bank) kind: Kind,
    /// What the key is for, in a few words for the writer.
    pub(in crate::bank) about: &'static str,
}

impl Form {
    pub(super) fn field(&'static self, key: &str) -> Option<&'static Field> {
        self.fields.iter().find(|field| field.key == key)
    }
}

impl Kind {
    /// Whether a single text is to be expected here; where a list of texts may stand instead, that is
    /// a guess.
    pub(in crate::bank) fn is_text(&self) -> bool {
        match self {
            Self::Text(_) => true,
            Self::Either(kinds) => kinds.iter().all(|kind| match kind {
                Self::List(item, _) => item.is_text(),
                kind => kind.is_text(),
            }),
            _ => false,
        }
    }

    /// What the items of a list are, if it may be a list.
    pub(in crate::bank) fn item(&self) -> Option<&Self> {
        match self {
            Self::List(item, _) => Some(item),
            Self::Either(kinds) => kinds.iter().find_map(Self::item),
            _ => None,
        }
    }

    /// What stands under a key, if it may be a group.
    pub(in crate::bank) fn under(&self, key: &str) -> Option<&Self> {
        match self {
            Self::Names(kind) => Some(kind),
            Self::Form(form) => form.field(key).map(|field| &field.kind),
            Self::Either(kinds) => kinds.iter().find_map(|kind| kind.under(key)),
            _ => None,
        }
    }

    /// The kind in words: `a text`.
    pub(super) fn name(&self) -> String {
        match self {
            Self::Text(Words::Number | Words::Whole(..)) => "a number".to_owned(),
            Self::Text(Words::Formula) => "a formula".to_owned(),
            Self::Text(Words::Name) => "a name".to_owned(),
            Self::Text(_) => "a text".to_owned(),
            Self::List(..) => "a list".to_owned(),
            Self::Names(_) => "names with what belongs to each".to_owned(),
            Self::Form(form) => format!("{} with its keys", form.name),
            Self::Either(kinds) => kinds.iter().map(Self::name).collect::<Vec<_>>().join(" or "),
        }
    }
}
