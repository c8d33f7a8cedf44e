//! YAML, and the places of things in it: the only file that names the YAML library.

use std::collections::BTreeSet;
use std::fmt;
use std::ops::Range;

use serde::de::{
    DeserializeOwned, DeserializeSeed, Deserializer, EnumAccess, Error as _, IgnoredAny, MapAccess,
    SeqAccess, Visitor,
};

use super::{Complaint, SourceText};

/// The largest file, in bytes, and the most values in one, aliases counted each time they are used.
const LARGEST_FILE: usize = 256 * 1024;
const MOST_NODES: usize = 50_000;

/// One step of the way to a value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// The value of a key.
    Key(String),
    /// An item of a list, from 0.
    Item(usize),
}

/// Reads a file into its written form.
///
/// First the whole file is looked through for keys that stand twice, for tags, and for aliases that
/// would unfold without end; only then is it read.
pub(super) fn read<T: DeserializeOwned>(source: &SourceText) -> Result<T, Complaint> {
    if source.text.len() > LARGEST_FILE {
        return Err(source.complain(
            0..0,
            format!("expected at most {LARGEST_FILE} bytes, found {}", source.text.len()),
            "too large",
            Some("split the file".to_owned()),
        ));
    }
    if source.text.trim().is_empty() {
        let help = Some("begin it with `castmark: 1`".to_owned());
        return Err(source.complain(0..0, "the file is empty", "here", help));
    }
    let mut left = MOST_NODES;
    let look = Look { left: &mut left };
    look.deserialize(serde_yaml::Deserializer::from_str(&source.text))
        .map_err(|error| complaint(source, &error))?;
    T::deserialize(serde_yaml::Deserializer::from_str(&source.text))
        .map_err(|error| complaint(source, &error))
}

/// The bytes of the value at the end of a way, or of the key before it; nothing when there is no
/// such value.
pub(super) fn place(source: &SourceText, way: &[Way], key: bool) -> Option<Range<usize>> {
    let walk = Walk { way, key };
    let error = walk.deserialize(serde_yaml::Deserializer::from_str(&source.text)).err()?;
    if !error.to_string().starts_with(FOUND) && !error.to_string().contains(FOUND) {
        return None;
    }
    let start = error.location()?.index().min(source.text.len());
    Some(start..end_of_token(&source.text, start))
}

/// Where a scalar that begins at `start` ends, as far as it stands on one line.
fn end_of_token(text: &str, start: usize) -> usize {
    let rest = text.get(start..).unwrap_or_default();
    let line = rest.split('\n').next().unwrap_or_default();
    let quoted = line.chars().next().filter(|c| matches!(c, '"' | '\''));
    let length = match quoted {
        Some(quote) => {
            line.get(1..).and_then(|inner| inner.find(quote)).map_or(line.len(), |n| n + 2)
        }
        None => {
            let end = line.find(" #").unwrap_or(line.len());
            let word = line.get(..end).unwrap_or(line);
            // A key ends at its colon, a value in braces or brackets at the next mark.
            let end = word.find(": ").unwrap_or(word.len());
            let end = word.get(..end).and_then(|w| w.strip_suffix(':')).map_or(end, str::len);
            let flow = word.get(..end).and_then(|w| w.find([',', '}', ']'])).unwrap_or(end);
            let in_flow = text.get(..start).is_some_and(|before| {
                let line = before.rsplit('\n').next().unwrap_or_default();
                line.contains(['{', '['])
            });
            if in_flow { flow } else { end }
        }
    };
    start + line.get(..length).unwrap_or(line).trim_end().len()
}

fn complaint(source: &SourceText, error: &serde_yaml::Error) -> Complaint {
    let text = error.to_string();
    // The library puts its own place behind the message; ours is drawn.
    let what = match text.rfind(" at line ") {
        Some(at) if error.location().is_some() => text.get(..at).unwrap_or(&text),
        _ => &text,
    };
    let what = match what.split_once(": ") {
        Some((path, rest)) if !path.contains(' ') => rest,
        _ => what,
    };
    let start = error.location().map_or(0, |location| location.index()).min(source.text.len());
    let help = hint(what, line_at(&source.text, start));
    let what = in_plain_words(what);
    source.complain(start..end_of_token(&source.text, start), what, "here", help)
}

/// The whole line on which a byte stands.
fn line_at(text: &str, at: usize) -> &str {
    let begin = text.get(..at).and_then(|before| before.rfind('\n')).map_or(0, |end| end + 1);
    text.get(begin..).and_then(|rest| rest.lines().next()).unwrap_or_default()
}

/// A message of the library in the words of the manual.
fn in_plain_words(what: &str) -> String {
    [
        ("invalid type: ", "this is the wrong kind of value: found "),
        ("found string ", "found the text "),
        ("found sequence", "found a list"),
        ("found map", "found names in braces or on lines of their own"),
        ("found unit value", "found nothing"),
        ("expected a sequence", "expected a list"),
        ("expected a map", "expected names, each with a colon and its value"),
        ("expected struct TemplateText", "expected the keys of a template"),
        ("expected struct TableText", "expected the keys of a facts table"),
        ("expected struct SourcesText", "expected the keys of a file of sources"),
        ("expected struct ", "expected keys with their values, of the kind "),
        ("expected a string", "expected a text"),
        ("unknown field ", "unknown key "),
        ("missing field ", "missing key "),
    ]
    .iter()
    .fold(what.to_owned(), |text, (theirs, ours)| text.replace(theirs, ours))
}

/// What to do about the usual traps of YAML.
fn hint(what: &str, line: &str) -> Option<String> {
    let advice = if line.contains('\t') || what.contains("tab") {
        "indent with blanks, not with tabs"
    } else if line.contains("{{") && what.contains("map") {
        "put a text that begins with `{{` in double quotes, or write it behind `>` on lines of its own"
    } else if what.contains("mapping values are not allowed") {
        "put a text that holds a colon and a blank in double quotes, or write it behind `>`"
    } else if what.contains("expected a boolean") {
        "write `true` or `false`"
    } else if let Some(unknown) = what.strip_prefix("unknown field `") {
        let (written, known) = unknown.split_once('`')?;
        let known: Vec<&str> = known.split('`').skip(1).step_by(2).collect();
        let near = crate::formula::nearest(written, known.iter().copied());
        return near.map(|near| format!("did you mean `{near}`?"));
    } else if what.contains("missing field") {
        "add it to the group of lines that begins here"
    } else {
        return None;
    };
    Some(advice.to_owned())
}

/// Looks through a whole file and keeps nothing.
struct Look<'a> {
    left: &'a mut usize,
}

impl<'de> DeserializeSeed<'de> for Look<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        *self.left = self.left.checked_sub(1).ok_or_else(|| {
            D::Error::custom(format!(
                "expected at most {MOST_NODES} values, found more; do not use aliases (`*name`) to repeat \
                 large parts"
            ))
        })?;
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Look<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("any value")
    }

    fn visit_bool<E>(self, _: bool) -> Result<(), E> {
        Ok(())
    }

    fn visit_i64<E>(self, _: i64) -> Result<(), E> {
        Ok(())
    }

    fn visit_u64<E>(self, _: u64) -> Result<(), E> {
        Ok(())
    }

    fn visit_f64<E>(self, _: f64) -> Result<(), E> {
        Ok(())
    }

    fn visit_str<E>(self, _: &str) -> Result<(), E> {
        Ok(())
    }

    fn visit_unit<E>(self) -> Result<(), E> {
        Ok(())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<(), A::Error> {
        while items.next_element_seed(Look { left: &mut *self.left })?.is_some() {}
        Ok(())
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<(), A::Error> {
        let mut seen = BTreeSet::new();
        while entries.next_key_seed(NewKey { seen: &mut seen })?.is_some() {
            entries.next_value_seed(Look { left: &mut *self.left })?;
        }
        Ok(())
    }

    fn visit_enum<A: EnumAccess<'de>>(self, _: A) -> Result<(), A::Error> {
        Err(A::Error::custom("expected no tag, found one; leave out the word that begins with `!`"))
    }
}

/// A key that must not have been seen in its map.
struct NewKey<'a> {
    seen: &'a mut BTreeSet<String>,
}

impl<'de> DeserializeSeed<'de> for NewKey<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_str(self)
    }
}

impl Visitor<'_> for NewKey<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a name")
    }

    fn visit_str<E: serde::de::Error>(self, key: &str) -> Result<(), E> {
        if self.seen.insert(key.to_owned()) {
            return Ok(());
        }
        Err(E::custom(format!("`{key}` stands twice in the same place; remove or rename one")))
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
        let Some((Way::Key(wanted), way)) = self.way.split_first() else { return Ok(()) };
        let stop = (self.key && way.is_empty()).then_some(wanted.as_str());
        while let Some(key) = entries.next_key_seed(StopAt { stop })? {
            if key == *wanted {
                entries.next_value_seed(Walk { way, key: self.key })?;
            } else {
                entries.next_value::<IgnoredAny>()?;
            }
        }
        Ok(())
    }
}

/// A key, at which the walk ends if it is the one sought.
struct StopAt<'a> {
    stop: Option<&'a str>,
}

impl<'de> DeserializeSeed<'de> for StopAt<'_> {
    type Value = String;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<String, D::Error> {
        deserializer.deserialize_str(self)
    }
}

impl Visitor<'_> for StopAt<'_> {
    type Value = String;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a name")
    }

    fn visit_str<E: serde::de::Error>(self, key: &str) -> Result<String, E> {
        if self.stop == Some(key) { Err(E::custom(FOUND)) } else { Ok(key.to_owned()) }
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
