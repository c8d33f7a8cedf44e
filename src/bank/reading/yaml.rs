//! YAML, and the places of things in it: the only file that names the YAML library.

use std::fmt;
use std::sync::Arc;

use serde::de::{
    DeserializeSeed, Deserializer, EnumAccess, Error as _, IgnoredAny, MapAccess, SeqAccess,
    Visitor,
};

use crate::bank::reading::form::Kind;
use crate::bank::reading::node::Node;
use crate::bank::reading::token::token;
use crate::bank::reading::{Complaint, SourceText};

/// The largest file, in bytes.
const LARGEST_FILE: usize = 256 * 1024;
/// The most values in a file, an alias counted as all it stands for each time it is used.
const MOST_NODES: usize = 50_000;

/// One step of the way to a value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::bank) enum Way {
    /// The value of a key.
    Key(String),
    /// The value of a key that stands a second time.
    Again(String),
    /// An item of a list, from 0.
    Item(usize),
}

/// Reads a file as it is written.
///
/// The library hands over a number as written only to a reader that asks for a text, so the reader
/// has to know where texts stand. The form of the file says so; a file that is not of the form is
/// read twice, first to see how it is built.
pub(in crate::bank) fn read(source: &Arc<SourceText>, form: &Kind) -> Result<Node, Complaint> {
    if source.text.len() > LARGEST_FILE {
        let what = format!("expected at most {LARGEST_FILE} bytes, found {}", source.text.len());
        return Err(source.complain(0..0, what, "too large", Some("split the file".to_owned())));
    }
    if source.text.trim().is_empty() {
        let help = Some("begin it with `castmark: 1`".to_owned());
        return Err(source.complain(0..0, "the file is empty", "here", help));
    }
    // A reader that asks for a text is not told of a tag before it.
    if !may_have_tags(&source.text) {
        if let Ok(node) = grow(source, Guide::Form(Some(form))) {
            return Ok(node);
        }
    }
    grow(source, Guide::Form(None))
        .and_then(|built| grow(source, Guide::Built(Some(&built))))
        .map_err(|error| complaint(source, &error))
}

/// Whether a word begins with `!`, as a tag does.
fn may_have_tags(text: &str) -> bool {
    text.match_indices('!').any(|(at, _)| {
        let before = text.get(..at).and_then(|before| before.chars().next_back());
        let after = text.get(at + 1..).and_then(|after| after.chars().next());
        before.is_none_or(|c| c.is_whitespace() || "[{,:-".contains(c))
            && after.is_some_and(|c| c != '=')
    })
}

fn grow(source: &SourceText, guide: Guide<'_>) -> Result<Node, serde_yaml::Error> {
    let mut left = MOST_NODES;
    let grow = Grow { left: &mut left, guide };
    grow.deserialize(serde_yaml::Deserializer::from_str(&source.text))
}

/// The bytes at which the value at the end of a way begins, or the key before it; nothing when there
/// is no such value.
pub(in crate::bank) fn place(source: &SourceText, way: &[Way], key: bool) -> Option<usize> {
    let walk = Walk { way, key };
    let error = walk.deserialize(serde_yaml::Deserializer::from_str(&source.text)).err()?;
    if !error.to_string().contains(FOUND) {
        return None;
    }
    error.location().map(|location| location.index().min(source.text.len()))
}

fn complaint(source: &Arc<SourceText>, error: &serde_yaml::Error) -> Complaint {
    let said = error.to_string();
    if said.contains("more than one document") {
        let start = source.text.match_indices("\n---").map(|(at, _)| at + 1).next().unwrap_or(0);
        let what = "expected one template or table in a file, found more";
        let help = Some("make a file of each, and take the line `---` away".to_owned());
        return source.complain(token(&source.text, start), what, "here", help);
    }
    let start = error.location().map_or(0, |location| location.index()).min(source.text.len());
    let help = hint(&said, line_at(&source.text, start));
    let what = if let Some(own) = OWN_WORDS.iter().find_map(|own| said.find(own)) {
        let own = said.get(own..).unwrap_or(&said);
        own.split(" at line ").next().unwrap_or(own).to_owned()
    } else if said.contains("invalid type: map") {
        "expected a name before a colon, found braces".to_owned()
    } else if said.contains("invalid type: sequence") {
        "expected a name before a colon, found brackets".to_owned()
    } else {
        // The library puts its own place behind what it says; ours is drawn.
        let what = said.split(" at line ").next().unwrap_or(&said);
        format!("the file cannot be read: {what}")
    };
    source.complain(token(&source.text, start), what, "here", help)
}

/// The whole line on which a byte stands.
fn line_at(text: &str, at: usize) -> &str {
    let begin = text.get(..at).and_then(|before| before.rfind('\n')).map_or(0, |end| end + 1);
    text.get(begin..).and_then(|rest| rest.lines().next()).unwrap_or_default()
}

/// What to do about the usual traps of YAML.
fn hint(what: &str, line: &str) -> Option<String> {
    let advice = if what.contains(TAGGED) {
        "take it away, or put a text that begins with `!` in double quotes"
    } else if line.starts_with('\t')
        || what.contains("cannot start any token") && line.contains('\t')
    {
        "indent with blanks, not with tabs"
    } else if line.contains("{{") {
        "put a text that begins with `{{` in double quotes, or write it behind `>` on lines of its own"
    } else if what.contains("cannot start any token") {
        "put a text that begins with `%`, `@` or a backtick in double quotes"
    } else if what.contains("mapping values are not allowed") {
        "put a text that holds a colon and a blank in double quotes, or write it behind `>`"
    } else if what.contains("unknown anchor") {
        "put a text that begins with `*` in double quotes"
    } else if what.contains("did not find expected") {
        "look whether the line stands as far in as its neighbours, and every bracket and quote is closed"
    } else {
        return None;
    };
    Some(advice.to_owned())
}

/// What is known beforehand about how a file is built.
#[derive(Clone, Copy)]
enum Guide<'a> {
    /// The form it should have.
    Form(Option<&'a Kind>),
    /// What was found when it was read before.
    Built(Option<&'a Node>),
}

impl Guide<'_> {
    fn is_text(self) -> bool {
        match self {
            Self::Form(kind) => kind.is_some_and(Kind::is_text),
            Self::Built(node) => node.is_some_and(|node| node.text().is_some()),
        }
    }

    fn item(self, place: usize) -> Self {
        match self {
            Self::Form(kind) => Self::Form(kind.and_then(Kind::item)),
            Self::Built(Some(Node::List(items))) => Self::Built(items.get(place)),
            Self::Built(_) => Self::Built(None),
        }
    }

    fn under(self, key: &str, place: usize) -> Self {
        match self {
            Self::Form(kind) => Self::Form(kind.and_then(|kind| kind.under(key))),
            Self::Built(Some(Node::Group(entries))) => {
                Self::Built(entries.get(place).map(|(_, node)| node))
            }
            Self::Built(_) => Self::Built(None),
        }
    }
}

/// Reads a value and all below it.
struct Grow<'a, 'g> {
    /// How many more values may come.
    left: &'a mut usize,
    guide: Guide<'g>,
}

/// How the words begin that are not the library's but said here.
const OWN_WORDS: [&str; 2] = [TAGGED, "expected at most"];
/// How a tag is spoken of.
const TAGGED: &str = "expected no tag";

impl<'de> DeserializeSeed<'de> for Grow<'_, '_> {
    type Value = Node;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Node, D::Error> {
        *self.left = self.left.checked_sub(1).ok_or_else(|| {
            D::Error::custom(format!(
                "expected at most {MOST_NODES} values, found more; do not use aliases (`*name`) to \
                 repeat large parts"
            ))
        })?;
        if self.guide.is_text() {
            deserializer.deserialize_str(self)
        } else {
            deserializer.deserialize_any(self)
        }
    }
}

impl Grow<'_, '_> {
    /// A text whose letters are lost: it has to be read again, unless nobody will look at it.
    fn other<E: serde::de::Error>(self) -> Result<Node, E> {
        match self.guide {
            Guide::Form(Some(_)) => Err(E::custom("expected to know that a text stands here")),
            _ => Ok(Node::Text(String::new())),
        }
    }
}

impl<'de> Visitor<'de> for Grow<'_, '_> {
    type Value = Node;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("any value")
    }

    fn visit_str<E>(self, text: &str) -> Result<Node, E> {
        Ok(Node::Text(text.to_owned()))
    }

    // The library makes these of a text that was not asked for as a text.

    fn visit_bool<E: serde::de::Error>(self, _: bool) -> Result<Node, E> {
        self.other()
    }

    fn visit_i64<E: serde::de::Error>(self, _: i64) -> Result<Node, E> {
        self.other()
    }

    fn visit_u64<E: serde::de::Error>(self, _: u64) -> Result<Node, E> {
        self.other()
    }

    fn visit_f64<E: serde::de::Error>(self, _: f64) -> Result<Node, E> {
        self.other()
    }

    fn visit_unit<E: serde::de::Error>(self) -> Result<Node, E> {
        self.other()
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Node, A::Error> {
        let mut list = Vec::new();
        loop {
            let guide = self.guide.item(list.len());
            match items.next_element_seed(Grow { left: &mut *self.left, guide })? {
                Some(item) => list.push(item),
                None => return Ok(Node::List(list)),
            }
        }
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Node, A::Error> {
        let mut group = Vec::new();
        while let Some(key) = entries.next_key::<String>()? {
            let guide = self.guide.under(&key, group.len());
            let node = entries.next_value_seed(Grow { left: &mut *self.left, guide })?;
            group.push((key, node));
        }
        Ok(Node::Group(group))
    }

    fn visit_enum<A: EnumAccess<'de>>(self, _: A) -> Result<Node, A::Error> {
        Err(A::Error::custom(format!(
            "expected no {TAGGED}, found one: a word that begins with `!`"
        )))
    }
}

/// What the walker says when it has arrived.
const FOUND: &str = "arrived";

/// Walks to a value and stops there with an error, which the library stamps with its place.
struct Walk<'a> {
    way: &'a [Way],
    key: bool,
}

impl<'de> DeserializeSeed<'de> for Walk<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        if self.way.is_empty() {
            return deserializer.deserialize_any(Arrive);
        }
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Walk<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a map or a list")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<(), A::Error> {
        let Some((Way::Item(wanted), way)) = self.way.split_first() else { return Ok(()) };
        for _ in 0..*wanted {
            items.next_element::<IgnoredAny>()?;
        }
        items.next_element_seed(Walk { way, key: self.key })?;
        while items.next_element::<IgnoredAny>()?.is_some() {}
        Ok(())
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<(), A::Error> {
        let (wanted, mut skip, way) = match self.way.split_first() {
            Some((Way::Key(key), way)) => (key, 0, way),
            Some((Way::Again(key), way)) => (key, 1, way),
            _ => return Ok(()),
        };
        let stop_at_key = self.key && way.is_empty();
        while let Some(is_wanted) =
            entries.next_key_seed(Key { wanted, stop: stop_at_key && skip == 0 })?
        {
            if is_wanted && skip == 0 {
                entries.next_value_seed(Walk { way, key: self.key })?;
            } else {
                skip -= usize::from(is_wanted);
                entries.next_value::<IgnoredAny>()?;
            }
        }
        Ok(())
    }
}

/// A key: whether it is the one sought, at which the walk may end.
struct Key<'a> {
    wanted: &'a str,
    stop: bool,
}

impl<'de> DeserializeSeed<'de> for Key<'_> {
    type Value = bool;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<bool, D::Error> {
        deserializer.deserialize_str(self)
    }
}

impl Visitor<'_> for Key<'_> {
    type Value = bool;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a name")
    }

    fn visit_str<E: serde::de::Error>(self, key: &str) -> Result<bool, E> {
        if self.stop && self.wanted == key { Err(E::custom(FOUND)) } else { Ok(key == self.wanted) }
    }
}

/// Stops at any value.
struct Arrive;

impl Visitor<'_> for Arrive {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(FOUND)
    }
}
