//! Answers as JSON Lines: an object a line.

use std::fmt;
use std::io::{self, BufRead};

use serde::Deserialize;
use serde::de::{Deserializer, Error, MapAccess, Visitor};
use serde_json::Value;

use super::heading::Heading;
use super::rows::MOST_FIELDS;
use super::sorting::{Cell, Sorting};
use super::{problem, text_from};
use crate::words::quoted;

/// Reads all lines, up to one that is no text.
///
/// # Errors
/// When they cannot be read from the file.
pub(super) fn read(source: &mut dyn BufRead, sorting: &mut Sorting<'_>) -> io::Result<()> {
    let mut bytes = Vec::new();
    for line in 1.. {
        bytes.clear();
        if source.read_until(b'\n', &mut bytes)? == 0 || sorting.problems.is_enough() {
            break;
        }
        match text_from(line, &bytes) {
            Ok(text) => read_line(line, text.trim(), sorting),
            Err(problem) => {
                sorting.problems.push(problem);
                break;
            }
        }
    }
    Ok(())
}

fn read_line(line: u64, text: &str, sorting: &mut Sorting<'_>) {
    if text.is_empty() {
        return;
    }
    match serde_json::from_str::<Members>(text) {
        Ok(fields) => read_fields(line, &fields.0, sorting),
        Err(error) => {
            // There is one line only, which is told already.
            let error = error.to_string();
            let error = quoted(error.split(" at line ").next().unwrap_or_default(), 200);
            let what = format!(
                "expected an object such as {{\"candidate\":\"0101\",\"question\":\"1\",\
                 \"part\":\"a\",\"answer\":\"3.2 g\"}}, found something else ({error})"
            );
            sorting.problems.push(problem(line, None, what));
        }
    }
}

fn read_fields(line: u64, fields: &[(String, Value)], sorting: &mut Sorting<'_>) {
    let before = sorting.problems.count();
    let columns: Vec<String> = fields.iter().map(|(key, _)| key.clone()).collect();
    let known: Vec<Option<Heading>> = columns.iter().map(|it| Heading::read(it)).collect();
    let mut texts = Vec::with_capacity(fields.len());
    for ((column, value), heading) in fields.iter().zip(&known) {
        let number = matches!(heading, Some(Heading::Question)) && value.is_u64();
        texts.push(match value {
            Value::String(text) => text.trim().to_owned(),
            Value::Null => String::new(),
            // The number of a question can be written in one way only.
            Value::Number(found) if number => found.to_string(),
            _ => {
                let what = "expected a text in double quotes, found something else; write \"0.90\", so \
                            that it stays as it was written";
                sorting.problems.push(problem(line, Some(column), what));
                String::new()
            }
        });
    }
    if !sorting.headings(line, &columns, &known) || sorting.problems.count() > before {
        return;
    }
    let cells = columns.iter().zip(&known).zip(&texts);
    let cells: Vec<Cell<'_>> = cells
        .filter_map(|((column, heading), text)| {
            Some(Cell { column, heading: heading.as_ref()?, text })
        })
        .collect();
    sorting.row(line, &cells);
}

/// The fields of an object in their order, those that come twice too.
struct Members(Vec<(String, Value)>);

impl<'de> Deserialize<'de> for Members {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Collecting;
        impl<'de> Visitor<'de> for Collecting {
            type Value = Members;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an object")
            }

            fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<Members, M::Error> {
                let mut fields = Vec::new();
                while let Some(field) = map.next_entry()? {
                    if fields.len() == MOST_FIELDS {
                        return Err(M::Error::custom(format!("more than {MOST_FIELDS} fields")));
                    }
                    fields.push(field);
                }
                Ok(Members(fields))
            }
        }
        deserializer.deserialize_map(Collecting)
    }
}
