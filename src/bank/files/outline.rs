//! What the lines of a template tell of it without the whole of it being read.
//!
//! The build script takes the outlines of the templates that come with the program: this file stands by
//! itself.

/// What stands in those lines of a template that begin a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Outline<'a> {
    /// The name of the template.
    pub(crate) id: &'a str,
    /// Its title.
    pub(crate) title: &'a str,
    /// What it trains, in a word.
    pub(crate) objective: &'a str,
    /// The subject within that.
    pub(crate) topic: &'a str,
    /// Its level, as written.
    pub(crate) level: &'a str,
    /// How long a candidate should need, as written.
    pub(crate) minutes: &'a str,
    /// How many steps the working has.
    pub(crate) steps: usize,
}

impl<'a> Outline<'a> {
    /// The outline of the template in a text that was found to be sound before. `None` if it is written in
    /// another way than one line a key, so that the file has to be read.
    pub(crate) fn of(text: &'a str) -> Option<Self> {
        let mut found: [Option<&str>; WANTED.len()] = Default::default();
        let mut steps = 0;
        let mut lines = text.lines().filter(|line| !is_empty(line)).peekable();
        while let Some(line) = lines.next() {
            if line.starts_with([' ', '-']) {
                continue;
            }
            let (key, value) = entry(line)?;
            if key == "working" {
                if !value.is_empty() {
                    return None;
                }
                let inner = lines.peek().map(|line| indent(line)).filter(|indent| *indent > 0)?;
                while let Some(line) = lines.next_if(|line| line.starts_with(' ')) {
                    if indent(line) <= inner {
                        let (_, value) = entry(line.get(inner..)?)?;
                        // An anchor or an alias stands for more than is there.
                        if !(value.is_empty() || value.starts_with('{')) {
                            return None;
                        }
                        steps += 1;
                    }
                }
            } else if let Some(index) = WANTED.iter().position(|wanted| *wanted == key) {
                let goes_on = lines.peek().is_some_and(|next| next.starts_with([' ', '-']));
                if goes_on || found[index].is_some() {
                    return None;
                }
                found[index] = Some(scalar(value)?);
            }
        }
        let [id, title, objective, topic, level, minutes] = found;
        Some(Self {
            id: id?,
            title: title?,
            objective: objective?,
            topic: topic?,
            level: level?,
            minutes: minutes?,
            steps,
        })
    }
}

/// The keys that an outline is made of.
const WANTED: [&str; 6] = ["id", "title", "objective", "topic", "level", "minutes"];

/// Whether a line says nothing. A line of a text that begins like a remark is passed over as well, and
/// so are the others of the text, being moved in.
fn is_empty(line: &str) -> bool {
    let line = line.trim_start();
    line.is_empty() || line.starts_with('#')
}

/// How far a line is moved in.
fn indent(line: &str) -> usize {
    line.len() - line.trim_start_matches(' ').len()
}

/// The key and the value of a line that begins with a bare key.
fn entry(line: &str) -> Option<(&str, &str)> {
    let (key, value) = line.split_once(':')?;
    let is_name = key.bytes().all(|b| b == b'_' || b.is_ascii_alphanumeric());
    let ends = value.is_empty() || value.starts_with(' ');
    (is_name && ends).then_some((key, value.trim()))
}

/// A text in one line, bare or in quotation marks, with nothing in it that has to be worked out.
fn scalar(value: &str) -> Option<&str> {
    for mark in ['"', '\''] {
        if let Some(rest) = value.strip_prefix(mark) {
            let text = rest.strip_suffix(mark)?;
            return (!text.contains([mark, '\\'])).then_some(text);
        }
    }
    let is_plain = value.starts_with(|first: char| first.is_alphanumeric())
        && !value.contains(": ")
        && !value.contains(" #")
        && !value.ends_with(':');
    is_plain.then_some(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAIN: &str = "castmark: 1\nid: a-mould\ntitle: A mould\nobjective: calibration\n\
        topic: mean-capacity\nlevel: 2\nminutes: 5\nworking:\n  total:\n    is: a\n    say: |\n      one:\n\
        \x20     two\n\n  # a remark\n  mean: { is: b }\nparts:\n  mean:\n    ask: What?\n";

    #[track_caller]
    fn check(from: &str, to: &str, expected: Option<Outline<'_>>) {
        assert!(PLAIN.contains(from), "{from}");
        assert_eq!(Outline::of(&PLAIN.replace(from, to)), expected, "{to}");
    }

    #[test]
    fn an_outline_is_read_off_lines_of_one_key_each() {
        let outline = Outline {
            id: "a-mould",
            title: "A mould",
            objective: "calibration",
            topic: "mean-capacity",
            level: "2",
            minutes: "5",
            steps: 2,
        };
        assert_eq!(Outline::of(PLAIN), Some(outline));
        for (from, to) in [
            ("A mould", "\"A mould\""),
            ("A mould", "'A mould'"),
            ("level: 2\n", "# level: 3\n\nlevel:   2  \n"),
            ("castmark: 1\n", "castmark: 1\nabout: >\n  id: of what\n  level: 3\n"),
            ("castmark: 1\n", "castmark: 1\nrequire:\n- that: a > b\n"),
        ] {
            check(from, to, Some(outline));
        }
    }

    #[test]
    fn whatever_is_written_in_another_way_is_left_to_be_read() {
        for (from, to) in [
            ("A mould", "\"A \\\"mould\\\"\""),
            ("A mould", "'A ''mould'''"),
            ("A mould", "A mould # in brass"),
            ("A mould", "A mould\n  in brass"),
            ("A mould", "|\n  A mould"),
            ("A mould", "*title"),
            ("A mould", "!!str A mould"),
            ("A mould", "A mould: of brass"),
            ("title:", "\"title\":"),
            ("title: A", "title:A"),
            ("title: A mould\n", ""),
            ("title: A mould\n", "title: A mould\ntitle: Another\n"),
            ("working:", "working: &steps"),
            ("  total:\n", "  total: &total\n"),
            ("  total:\n", "  ? total\n  :\n"),
            ("  total:\n", "  <<: *more\n  total:\n"),
            ("castmark: 1", "{ castmark: 1 }\n---"),
        ] {
            check(from, to, None);
        }
    }
}
