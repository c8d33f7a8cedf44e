//! YAML: the only file that names the library which reads its values.

use std::fmt;

use serde::de::{
    DeserializeSeed, Deserializer, EnumAccess, Error as _, MapAccess, SeqAccess, Visitor,
};

use crate::bank::SourceText;
use crate::bank::reading::Complaint;
use crate::bank::reading::form::Kind;
use crate::bank::reading::locations::{Build, File, Location, Locations, MOST_PIECES};
use crate::bank::reading::node::{Node, What};

/// The largest file, in bytes.
const LARGEST_FILE: usize = 256 * 1024;
/// A character for private use that no text of a bank may hold, so that it can mark a location in one.
pub(crate) const RESERVED: char = '\u{e000}';
/// The most brackets that may be open at once: the time that the library takes grows with every one.
const MOST_OPEN: usize = 64;

/// Reads a file as it is written.
///
/// The library hands over a number as written only to a reader that asks for a text, so the reader
/// has to know where texts are. The form of the file says so; for a file that is not of the form, the
/// pass that finds the locations says how it is built.
pub(super) fn read(file: &File<'_>, form: &Kind) -> Result<Node, Complaint> {
    bounded(file)?;
    // A reader that asks for a text hears nothing of a tag before it.
    if may_have_tags(&file.source.text) {
        if let Some(tag) = &file.locations().tag {
            let what = "expected no tag, found one: a word that begins with `!`";
            let help = "take it away, or put a text that begins with `!` in double quotes";
            return Err(file.source.complain(tag.clone(), what, "here", Some(help.to_owned())));
        }
    }
    // Behind a location at which the other reader gave up, there may be one all the same.
    if !may_have_tags(&file.source.text) || file.locations().fault.is_none() {
        if let Ok(node) = root_of(file.source, Expected::Form(Some(form))) {
            return Ok(node);
        }
    }
    let locations = file.locations();
    let expected =
        if locations.fault.is_none() { Expected::Built(locations) } else { Expected::Nothing };
    match (root_of(file.source, expected), &locations.fault) {
        (Err(error), _) => Err(complaint(file, &error)),
        (Ok(_), Some((at, said))) => {
            let what = format!("the file cannot be read: {said}");
            Err(file.source.complain(token(&file.source.text, *at), what, "here", None))
        }
        (Ok(node), None) => Ok(node),
    }
}

/// Refuses a file that is empty or would take long to read.
fn bounded(file: &File<'_>) -> Result<(), Complaint> {
    let text = &file.source.text;
    if text.len() > LARGEST_FILE {
        let what = format!("expected at most {LARGEST_FILE} bytes, found {}", text.len());
        let help = Some("split the file".to_owned());
        return Err(file.source.complain(0..0, what, "too large", help));
    }
    if text.trim().is_empty() {
        let help = Some("begin it with `castmark: 1`".to_owned());
        return Err(file.source.complain(0..0, "the file is empty", "here", help));
    }
    let mut open = 0_usize;
    for (at, byte) in text.bytes().enumerate() {
        match byte {
            b'[' | b'{' => open += 1,
            b']' | b'}' => open = open.saturating_sub(1),
            _ => {}
        }
        if open > MOST_OPEN {
            let what = format!("expected at most {MOST_OPEN} brackets open at once, found more");
            let help = Some("close them, or write the values below each other".to_owned());
            return Err(file.source.complain(at..at + 1, what, "one too many", help));
        }
    }
    Ok(())
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

fn root_of(source: &SourceText, expected: Expected<'_>) -> Result<Node, serde_yaml::Error> {
    let mut count = 0;
    let seed = NodeSeed { count: &mut count, location: Location::FILE, expected };
    seed.deserialize(serde_yaml::Deserializer::from_str(&source.text))
}

fn complaint(file: &File<'_>, error: &serde_yaml::Error) -> Complaint {
    let (source, text) = (file.source, &file.source.text);
    let said = error.to_string();
    if said.contains("more than one document") {
        let start = text.match_indices("\n---").map(|(at, _)| at + 1).next().unwrap_or(0);
        let what = "expected one template or table in a file, found more";
        let help = Some("make a file of each, and take the line `---` away".to_owned());
        return source.complain(token(text, start), what, "here", help);
    }
    if let Some((at, mark)) = unclosed(text, &said) {
        let what = format!("expected a text that ends with `{mark}`, found the end of the file");
        let help = format!("put `{mark}` behind the text that begins here");
        return source.complain(token(text, at), what, "here", Some(help));
    }
    let start = error.location().map_or(0, |location| location.index()).min(text.len());
    let own = OWN_WORDS.iter().find_map(|own| said.find(own));
    let help = if own.is_none() { hint(&said, line_at(text, start)) } else { None };
    let what = if let Some(own) = own {
        let own = said.get(own..).unwrap_or(&said);
        own.split(" at line ").next().unwrap_or(own).to_owned()
    } else if said.contains("invalid type: map") {
        "expected a name before a colon, found braces".to_owned()
    } else if said.contains("invalid type: sequence") {
        "expected a name before a colon, found brackets".to_owned()
    } else {
        // The library puts its own location behind what it says; ours is drawn.
        let what = said.split(" at line ").next().unwrap_or(&said);
        format!("the file cannot be read: {what}")
    };
    source.complain(token(text, start), what, "here", help)
}

/// The quotation mark that begins a text without an end, with its location.
fn unclosed(text: &str, said: &str) -> Option<(usize, char)> {
    let (line, column) = begun(said, "scanning a quoted scalar")?;
    let before = text.split_inclusive('\n').take(line.checked_sub(1)?).map(str::len).sum();
    let line = text.get(before..)?.lines().next()?;
    let (at, mark) = line.char_indices().nth(column.checked_sub(1)?)?;
    matches!(mark, '"' | '\'').then_some((before + at, mark))
}

/// The line and column where that began in which the library found something wrong.
fn begun(said: &str, while_what: &str) -> Option<(usize, usize)> {
    let (_, location) = said.split_once(&format!("while {while_what} at line "))?;
    let (line, column) = location.split_once(" column ")?;
    Some((line.parse().ok()?, column.parse().ok()?))
}

/// The bytes of what begins at a location, as far as a blank, a comma or the end of the line.
fn token(text: &str, start: usize) -> std::ops::Range<usize> {
    let rest = text.get(start..).unwrap_or_default();
    let line = rest.split('\n').next().unwrap_or_default();
    let end = line.find(": ").or_else(|| line.find(" #")).unwrap_or(line.len());
    start..start + line.get(..end).unwrap_or(line).trim_end().trim_end_matches(':').len()
}

/// The whole line on which a byte stands.
fn line_at(text: &str, at: usize) -> &str {
    let begin = text.get(..at).and_then(|before| before.rfind('\n')).map_or(0, |end| end + 1);
    text.get(begin..).and_then(|rest| rest.lines().next()).unwrap_or_default()
}

/// What to do about the usual traps of YAML.
fn hint(what: &str, line: &str) -> Option<String> {
    let advice = if line.starts_with('\t')
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
    } else if let Some((line, _)) =
        begun(what, "parsing a flow sequence").or_else(|| begun(what, "parsing a flow mapping"))
    {
        return Some(format!(
            "close the bracket of line {line}, or put a comma between what it holds"
        ));
    } else if what.contains("did not find expected") {
        "look whether the line stands as far in as its neighbours, and every bracket and quote is closed"
    } else {
        return None;
    };
    Some(advice.to_owned())
}

/// What is known beforehand about how a file is built.
#[derive(Clone, Copy)]
enum Expected<'a> {
    /// The form it should have; nothing below a piece of another form.
    Form(Option<&'a Kind>),
    /// How its pieces are built.
    Built(&'a Locations),
    /// Nothing, and nobody will look at what is read.
    Nothing,
}

impl Expected<'_> {
    fn is_text(self, location: Location) -> bool {
        match self {
            Self::Form(kind) => kind.is_some_and(Kind::is_text),
            Self::Built(locations) => {
                location.piece().and_then(|piece| locations.build(piece)) == Some(Build::Text)
            }
            Self::Nothing => false,
        }
    }

    fn item(self) -> Self {
        match self {
            Self::Form(kind) => Self::Form(kind.and_then(Kind::item)),
            other => other,
        }
    }

    fn under(self, key: &str) -> Self {
        match self {
            Self::Form(kind) => Self::Form(kind.and_then(|kind| kind.under(key))),
            other => other,
        }
    }
}

/// Reads a value and all below it.
struct NodeSeed<'a, 'g> {
    /// How many pieces there were before it.
    count: &'a mut usize,
    location: Location,
    expected: Expected<'g>,
}

/// How the words begin that are not the library's but said here.
const OWN_WORDS: [&str; 2] = [TOO_MANY, NOT_A_LETTER];
const TOO_MANY: &str = "expected at most";
const NOT_A_LETTER: &str = "expected letters and signs";

impl<'de> DeserializeSeed<'de> for NodeSeed<'_, '_> {
    type Value = Node;

    fn deserialize<D: Deserializer<'de>>(mut self, deserializer: D) -> Result<Node, D::Error> {
        if *self.count == MOST_PIECES {
            return Err(D::Error::custom(format!(
                "{TOO_MANY} {MOST_PIECES} values, found more; do not use aliases (`*name`) to repeat \
                 large parts"
            )));
        }
        self.location = Location::of(*self.count);
        *self.count += 1;
        if self.expected.is_text(self.location) {
            deserializer.deserialize_str(self)
        } else {
            deserializer.deserialize_any(self)
        }
    }
}

impl NodeSeed<'_, '_> {
    fn below<'b>(&'b mut self, expected: Expected<'b>) -> NodeSeed<'b, 'b> {
        NodeSeed { count: &mut *self.count, location: self.location, expected }
    }

    /// A text whose letters are lost, since it was not asked for as a text: it has to be read again,
    /// unless nobody will look at it.
    fn other<E: serde::de::Error>(self) -> Result<Node, E> {
        match self.expected {
            Expected::Nothing => self.visit_str(""),
            _ => Err(E::custom("expected to know that a text is here")),
        }
    }
}

impl<'de> Visitor<'de> for NodeSeed<'_, '_> {
    type Value = Node;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("any value")
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Node, E> {
        if text.contains(RESERVED) {
            return Err(E::custom(format!(
                "{NOT_A_LETTER}, found U+{:04X}, which stands for none; take it out",
                u32::from(RESERVED)
            )));
        }
        Ok(Node { at: self.location, what: What::Text(text.to_owned()) })
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

    fn visit_seq<A: SeqAccess<'de>>(mut self, mut items: A) -> Result<Node, A::Error> {
        let expected = self.expected.item();
        let mut list = Vec::new();
        while let Some(item) = items.next_element_seed(self.below(expected))? {
            list.push(item);
        }
        Ok(Node { at: self.location, what: What::List(list) })
    }

    fn visit_map<A: MapAccess<'de>>(mut self, mut entries: A) -> Result<Node, A::Error> {
        let mut group = Vec::new();
        while let Some(key) = entries.next_key::<String>()? {
            let expected = self.expected.under(&key);
            let node = entries.next_value_seed(self.below(expected))?;
            group.push((key, node));
        }
        Ok(Node { at: self.location, what: What::Group(group) })
    }

    fn visit_enum<A: EnumAccess<'de>>(self, _: A) -> Result<Node, A::Error> {
        Err(A::Error::custom("a tag is not expected"))
    }
}
