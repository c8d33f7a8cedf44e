//! The heading of a template: what lists, plans and schedules need to know of it.

use super::Template;
use super::objective::Objective;

/// What can be told of a template without reading the whole of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heading {
    /// The name of the template.
    pub id: String,
    /// The title an instructor reads in lists.
    pub title: String,
    /// What it trains.
    pub objective: Objective,
    /// The finer subject within the objective.
    pub topic: String,
    /// 1 for one idea, 2 for several steps, 3 for several ideas.
    pub level: u8,
    /// How long a candidate should need.
    pub minutes: u32,
    /// How many steps the working has; none for theory.
    pub steps: usize,
}

impl Heading {
    /// The heading of a template that was read.
    pub fn of(template: &Template) -> Self {
        Self {
            id: template.id.clone(),
            title: template.title.clone(),
            objective: template.objective,
            topic: template.topic.clone(),
            level: template.level,
            minutes: template.minutes,
            steps: template.working.len(),
        }
    }

    /// The heading of the template in a file that was found to be sound before, from those of its lines
    /// that begin a key. `None` if it is written in another way than one line a key, so that the file has
    /// to be read.
    pub(in crate::bank) fn scan(text: &str) -> Option<Self> {
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
            id: id?.to_owned(),
            title: title?.to_owned(),
            objective: Objective::parse(objective?)?,
            topic: topic?.to_owned(),
            level: level?.parse().ok()?,
            minutes: minutes?.parse().ok()?,
            steps,
        })
    }
}

/// The keys that a heading is made of.
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

    fn found(from: &str, to: &str) -> Option<Heading> {
        assert!(PLAIN.contains(from), "{from}");
        Heading::scan(&PLAIN.replace(from, to))
    }

    #[test]
    fn a_heading_is_read_off_lines_of_one_key_each() {
        let heading = Heading {
            id: "a-mould".to_owned(),
            title: "A mould".to_owned(),
            objective: Objective::Calibration,
            topic: "mean-capacity".to_owned(),
            level: 2,
            minutes: 5,
            steps: 2,
        };
        assert_eq!(Heading::scan(PLAIN), Some(heading.clone()));
        for (from, to) in [
            ("A mould", "\"A mould\""),
            ("A mould", "'A mould'"),
            ("level: 2\n", "# level: 3\n\nlevel:   2  \n"),
            ("castmark: 1\n", "castmark: 1\nabout: >\n  id: of what\n  level: 3\n"),
            ("castmark: 1\n", "castmark: 1\nrequire:\n- that: a > b\n"),
        ] {
            assert_eq!(found(from, to), Some(heading.clone()), "{to}");
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
            ("level: 2", "level: two"),
            ("objective: calibration", "objective: casting"),
            ("working:", "working: &steps"),
            ("  total:\n", "  total: &total\n"),
            ("  total:\n", "  ? total\n  :\n"),
            ("  total:\n", "  <<: *more\n  total:\n"),
            ("castmark: 1", "{ castmark: 1 }\n---"),
        ] {
            assert_eq!(found(from, to), None, "{to}");
        }
    }
}
