//! The form of the files an instructor writes, and checking a file against it.
//!
//! One description serves for three things: it guides the reading, it finds everything that is not
//! of the form, and the schema for editors is made from it.

use crate::formula::nearest;

use crate::bank::reading::desk::Desk;
use crate::bank::reading::node::Node;
use crate::bank::reading::noted::{Checked, Noted};
use crate::bank::reading::yaml::Way;

/// What may stand in a place.
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

/// A key that must be given.
pub(in crate::bank) const fn must(key: &'static str, kind: Kind, about: &'static str) -> Field {
    Field { key, needed: true, kind, about }
}

/// A key that can be left out.
pub(in crate::bank) const fn may(key: &'static str, kind: Kind, about: &'static str) -> Field {
    Field { key, needed: false, kind, about }
}

impl Form {
    fn field(&'static self, key: &str) -> Option<&'static Field> {
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

    fn fits(&self, node: &Node) -> bool {
        match (self, node) {
            (Self::Text(_), Node::Text(_))
            | (Self::List(..), Node::List(_))
            | (Self::Names(_) | Self::Form(_), Node::Group(_)) => true,
            (Self::Either(kinds), node) => kinds.iter().any(|kind| kind.fits(node)),
            _ => false,
        }
    }

    /// The kind in words: `a text`.
    fn name(&self) -> String {
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

/// Notes everything in a file that is not of the form; gives the file without keys that are unknown
/// or stand again, or nothing when too little is left to go on with.
pub(in crate::bank) fn check(desk: &mut Desk<'_>, node: Node, kind: &Kind) -> Checked<Node> {
    let mut inspection = Inspection { desk, way: Vec::new(), unsound: None };
    let node = inspection.node(node, kind);
    inspection.unsound.map_or(Ok(node), Err)
}

struct Inspection<'d, 'a> {
    desk: &'d mut Desk<'a>,
    way: Vec<Way>,
    /// Set when too little is left to go on with.
    unsound: Option<Noted>,
}

impl Inspection<'_, '_> {
    fn node(&mut self, node: Node, kind: &Kind) -> Node {
        let kind = match kind {
            Kind::Either(kinds) => kinds.iter().find(|kind| kind.fits(&node)).unwrap_or(kind),
            kind => kind,
        };
        match (kind, node) {
            (Kind::Text(Words::Truth), Node::Text(text)) => Node::Text(self.truth(text, kind)),
            (Kind::Text(_), Node::Text(text)) => {
                self.text(&text, kind);
                Node::Text(text)
            }
            (Kind::List(item, _), Node::List(items)) => {
                let items = items.into_iter().enumerate();
                Node::List(items.map(|(n, node)| self.step(Way::Item(n), node, item)).collect())
            }
            (Kind::Names(under), Node::Group(entries)) => {
                let mut kept: Vec<(String, Node)> = Vec::new();
                for (name, node) in entries {
                    if self.is_again(&kept, &name) {
                        continue;
                    }
                    let node = self.step(Way::Key(name.clone()), node, under);
                    kept.push((name, node));
                }
                Node::Group(kept)
            }
            (Kind::Form(form), Node::Group(entries)) => self.form(entries, form),
            (kind, node) => {
                self.misfit(&node, kind);
                node
            }
        }
    }

    fn step(&mut self, step: Way, node: Node, kind: &Kind) -> Node {
        self.way.push(step);
        let node = self.node(node, kind);
        self.way.pop();
        node
    }

    fn form(&mut self, entries: Vec<(String, Node)>, form: &'static Form) -> Node {
        let mut kept: Vec<(String, Node)> = Vec::new();
        // Keys that are there under a name that is near: they are not missing, too.
        let mut misspelt = Vec::new();
        for (key, node) in entries {
            let Some(field) = form.field(&key) else {
                if let (Some(near), noted) = self.unknown(&key, form) {
                    misspelt.push(near);
                    // What was meant by it is not there for the further checks.
                    self.unsound = Some(noted);
                }
                continue;
            };
            if self.is_again(&kept, &key) {
                continue;
            }
            let node = self.step(Way::Key(key.clone()), node, &field.kind);
            kept.push((key, node));
        }
        let given: Vec<&str> =
            kept.iter().map(|(key, _)| key.as_str()).chain(misspelt.iter().copied()).collect();
        self.ways(&given, form);
        self.missing(&given, form);
        Node::Group(kept)
    }

    fn is_again(&mut self, kept: &[(String, Node)], key: &str) -> bool {
        let again = kept.iter().any(|(known, _)| known == key);
        if again {
            self.way.push(Way::Again(key.to_owned()));
            self.desk.key(
                &self.way,
                format!("`{key}` stands twice in the same place"),
                "again",
                Some("remove one of the two, or give it another name".to_owned()),
            );
            self.way.pop();
        }
        again
    }

    /// Notes a key that is not of the form; gives the one that may be meant.
    fn unknown(&mut self, key: &str, form: &Form) -> (Option<&'static str>, Noted) {
        let near = nearest(key, form.fields.iter().map(|field| field.key));
        let help = near.map_or_else(
            || {
                let known: Vec<&str> = form.fields.iter().map(|field| field.key).collect();
                format!("the keys of {} are: {}", form.name, known.join(", "))
            },
            |near| format!("did you mean `{near}`?"),
        );
        self.way.push(Way::Key(key.to_owned()));
        let what = format!("expected a key of {}, found `{key}`", form.name);
        let noted = self.desk.key(&self.way, what, "not a key here", Some(help));
        self.way.pop();
        (near, noted)
    }

    /// Notes a group with none or several of the keys of which it has one.
    fn ways(&mut self, given: &[&str], form: &Form) {
        if form.one_of.is_empty() {
            return;
        }
        let chosen: Vec<&str> =
            form.one_of.iter().copied().filter(|key| given.contains(key)).collect();
        let found = match chosen.as_slice() {
            [_] => return,
            [] => "none".to_owned(),
            several => listed(several),
        };
        let what = format!("expected exactly one way for {}, found {found}", form.name);
        let help = format!("give exactly one of: {}", form.one_of.join(", "));
        self.unsound = Some(self.desk.key(&self.way, what, "which way?", Some(help)));
    }

    fn missing(&mut self, given: &[&str], form: &Form) {
        let missing: Vec<&Field> = form
            .fields
            .iter()
            .filter(|field| field.needed && !given.contains(&field.key))
            .collect();
        if missing.is_empty() {
            return;
        }
        let keys: Vec<&str> = missing.iter().map(|field| field.key).collect();
        let help: Vec<String> =
            missing.iter().map(|field| format!("`{}:`, {}", field.key, field.about)).collect();
        let what = format!("expected {} in {}, found nothing", listed(&keys), form.name);
        let label = if self.way.is_empty() { "missing in this file" } else { "missing here" };
        let help = Some(format!("add {}", help.join("; ")));
        self.unsound = Some(self.desk.key(&self.way, what, label, help));
    }

    fn text(&mut self, text: &str, kind: &Kind) {
        if !is_nothing(text) {
            return;
        }
        self.unsound = Some(self.desk.key(
            &self.way,
            format!("expected {}, found nothing", kind.name()),
            "empty",
            Some("write it behind the colon, or remove the line".to_owned()),
        ));
    }

    /// One of the two words; what is neither is noted, and the file read on.
    fn truth(&mut self, text: String, kind: &Kind) -> String {
        if is_nothing(&text) {
            self.text(&text, kind);
        } else if !matches!(text.as_str(), "true" | "false") {
            let what = format!("expected true or false, found `{text}`");
            self.desk.value(&self.way, what, "neither", Some("write one of the two".to_owned()));
            return "false".to_owned();
        }
        text
    }

    fn misfit(&mut self, node: &Node, kind: &Kind) {
        let first = self.desk.text_at(&self.way).chars().next();
        let help = match (kind, node, first) {
            (Kind::Text(_), Node::Group(_), Some('{')) => {
                "put a text that begins with `{{` in double quotes, or write it behind `>` on lines \
                 of its own"
            }
            (Kind::Text(_), Node::List(_), Some('[')) => {
                "put a text that begins with `[` in double quotes"
            }
            (Kind::Text(_), Node::Group(_), _) => {
                "put a text that holds a colon and a blank in double quotes, or write it behind `>`"
            }
            (Kind::Text(_), Node::List(_), _) => "write one text, without `-` before it",
            (Kind::List(..), ..) => "write each item on a line of its own behind `- `",
            _ => "write each key on a line of its own, further in than the name above it",
        };
        let what = format!("expected {}, found {}", kind.name(), node.kind());
        let help = Some(help.to_owned());
        self.unsound = Some(self.desk.value(&self.way, what, "another kind of thing", help));
    }
}

/// Whether nothing is written behind a key.
fn is_nothing(text: &str) -> bool {
    matches!(text.trim(), "" | "~" | "null")
}

/// Keys as words of a sentence: `a`, `b` and `c`.
fn listed(keys: &[&str]) -> String {
    match keys {
        [] => String::new(),
        [one] => format!("`{one}`"),
        [first @ .., last] => format!("`{}` and `{last}`", first.join("`, `")),
    }
}
