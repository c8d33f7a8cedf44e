//! Lists written in the tags of a text or a layout.
//!
//! The library compares and prints a list that holds another twice, which holds another twice, by
//! walking through all of it, and forty such lists take it for ever; it pays no fuel for that. So a
//! text writes no lists, and a layout none that could be put into another.

use std::ops::Range;

use super::tags::{self, TooMuch};

/// Who writes lists.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lists {
    /// A text of a template: none, and no index either, for the library walks through all letters of a
    /// long text to one of them.
    Never,
    /// A layout: of fixed texts and numbers, or used at once.
    UsedAtOnce,
}

/// What makes of a list something else, so that it cannot be put into another.
const USES: [&str; 7] = ["max", "min", "join", "first", "last", "length", "select|join"];

/// Words behind which a bracket begins a list and is no index.
const BEFORE: [&str; 7] = ["in", "or", "and", "not", "if", "else", "is"];

/// The first list of a source that cannot be had.
pub(crate) fn forbidden(source: &str, lists: Lists) -> Option<TooMuch> {
    tags::tags(source).find_map(|(at, tag)| {
        if lists == Lists::Never {
            let index = outside_quotes(tag).find(|(_, letter)| *letter == '[');
            if let Some((inside, _)) = index.filter(|(inside, _)| !begins(tag, *inside)) {
                return Some(TooMuch {
                    range: at + inside..at + inside + 1,
                    what: "expected single values, found a part of one in brackets".to_owned(),
                    help: "name the value itself",
                });
            }
        }
        let inside = literals(tag, true).into_iter().find(|list| !is_allowed(tag, list, lists))?;
        let (what, help) = match lists {
            Lists::Never => (
                "expected single values, found a list or a group of them",
                "name the values one by one",
            ),
            Lists::UsedAtOnce => (
                "expected a list that is used at once, found one that can be put into another",
                "give it to `max`, `min` or `join` behind it, to `columns`, or to `for`",
            ),
        };
        Some(TooMuch { range: at + inside.start..at + inside.end, what: what.to_owned(), help })
    })
}

fn is_allowed(tag: &str, list: &Range<usize>, lists: Lists) -> bool {
    if lists == Lists::Never {
        return false;
    }
    let inner = &tag[list.start + 1..list.end.max(list.start + 2) - 1];
    if !names_something(inner) {
        return true;
    }
    let flat = tag[list.start..].starts_with('[') && literals(inner, false).is_empty();
    let after: String = tag[list.end..].split_whitespace().collect();
    let used = USES.iter().any(|filter| {
        let rest = after.strip_prefix('|').and_then(|rest| rest.strip_prefix(filter));
        rest.is_some_and(|rest| !rest.starts_with(|c: char| c.is_alphanumeric() || c == '_'))
    });
    let before = &tag[..list.start];
    let looped = before.trim_start_matches(['{', '%', '-', '+', ' ']).starts_with("for ")
        && before.trim_end().ends_with(" in");
    let in_columns = before.rsplit_once("columns(").is_some_and(|(_, rest)| !rest.contains(')'));
    flat && (used || looped || in_columns)
}

/// The lists, groups and rows of values that a whole tag or a piece of one writes, the outer before the
/// inner.
fn literals(piece: &str, whole: bool) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    // What is open: where, whether it is a list or group, and whether a comma makes it a row of values.
    let mut open: Vec<(usize, bool, bool)> = Vec::new();
    // The braces of the tag itself are no group.
    let opening = match piece.starts_with("{{") {
        _ if !whole => 0,
        true => 2,
        false => 1,
    };
    let is_set = whole && piece.trim_start_matches(['{', '%', '-', '+', ' ']).starts_with("set ");
    let mut assigned = None;
    for (at, letter) in outside_quotes(piece) {
        match letter {
            '[' | '{' | '(' => {
                let own = at >= opening && begins(piece, at);
                open.push((at, own && letter != '(', own && letter == '('));
            }
            ']' | '}' | ')' => {
                if let Some((start, true, _)) = open.pop() {
                    found.push(start..at + 1);
                }
            }
            ',' => {
                // `{% set x = a, b %}`
                let row = assigned.filter(|_| open.len() <= 1);
                found.extend(row.map(|from| from..piece.len()));
                if let Some((_, list, true)) = open.last_mut() {
                    *list = true;
                }
            }
            '=' if is_set && open.len() <= 1 && assigned.is_none() => assigned = Some(at),
            _ => {}
        }
    }
    // What is never closed is no list the library would read.
    found.sort_by_key(|list| list.start);
    found
}

/// Whether a bracket begins a value of its own, and is neither an index nor a call.
fn begins(piece: &str, at: usize) -> bool {
    let before = piece[..at].trim_end();
    let word_begins = before
        .rfind(|c: char| !(c.is_alphanumeric() || c == '_'))
        .map_or(0, |end| end + before[end..].chars().next().map_or(1, char::len_utf8));
    let word = &before[word_begins..];
    let is_value = before.ends_with([')', ']', '}', '"', '\'']) || !word.is_empty();
    !is_value || BEFORE.contains(&word)
}

/// Whether a piece names anything, and is not only texts and numbers.
fn names_something(piece: &str) -> bool {
    let mut word = String::new();
    let mut names = false;
    let mut end = |word: &mut String| {
        let is_name = word.starts_with(|c: char| c.is_alphabetic() || c == '_');
        names |= is_name && !["true", "false", "none"].contains(&word.to_lowercase().as_str());
        word.clear();
    };
    let mut last = 0;
    for (at, letter) in outside_quotes(piece) {
        if at > last || !(letter.is_alphanumeric() || letter == '_') {
            end(&mut word);
        }
        last = at + letter.len_utf8();
        if letter.is_alphanumeric() || letter == '_' {
            word.push(letter);
        }
    }
    end(&mut word);
    names
}

/// The letters of a piece that stand in no quotation marks.
fn outside_quotes(piece: &str) -> impl Iterator<Item = (usize, char)> + '_ {
    let mut quote = None;
    let mut escaped = false;
    piece.char_indices().filter(move |(_, letter)| match quote {
        Some(mark) => {
            if escaped {
                escaped = false;
            } else if *letter == '\\' {
                escaped = true;
            } else if *letter == mark {
                quote = None;
            }
            false
        }
        None => {
            if matches!(letter, '"' | '\'') {
                quote = Some(*letter);
                return false;
            }
            true
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, never: bool, used_at_once: bool) {
        let is_refused = |lists| forbidden(text, lists).is_some();
        assert_eq!(
            (is_refused(Lists::Never), is_refused(Lists::UsedAtOnce)),
            (never, used_at_once),
            "{text}"
        );
    }

    #[test]
    fn what_could_be_put_into_itself_is_refused() {
        for text in [
            "{% set x = [x, x] %}",
            "{% set x = {'a': x} %}",
            "{% set x = (x, x) %}",
            "{% set x = x, x %}",
            "{% set x = [[1, x]]|first %}",
            "{{ f([x, x]) }}",
            "{% set x = [x] * 9 %}",
            "{% for y in [[x, x]] %}{% endfor %}",
            "{% set x = [x, x]|joined %}",
            "{% if y in {'a': x} %}{% endif %}",
        ] {
            check(text, true, true);
        }
    }

    #[test]
    fn a_layout_may_write_lists_of_texts_and_use_others_at_once() {
        for text in [
            "{{ [points * 4 // 5, 8]|max }}",
            "{{ [(\"a\" if b), (\"[\" if c)] | select | join(\", \") }}",
            "{% for x in [a, b] %}{% endfor %}",
            "{% set x = [\"a\", 1, true] %}",
            "{{ columns([a.b, \"c\"], rows, \"\") }}",
            "{% if x == [] %}{% endif %}",
            "{% set x = [[1, 2], [3]] %}",
        ] {
            check(text, true, false);
        }
    }

    #[test]
    fn a_text_takes_no_part_of_a_value_by_its_place() {
        for text in ["{{ block[\"items\"] }}", "{{ rows[n][0] }}", "{% set u = t[9:] %}"] {
            check(text, true, false);
        }
    }

    #[test]
    fn indices_calls_and_sums_in_brackets_are_no_lists() {
        for text in [
            "{{ answer(words, short) }}",
            "{{ (a + b) * c }}",
            "{{ \"[x, x]\" }}",
            "{% set x %}[x, x]{% endset %}",
            "[x, x] {a} (b, c)",
            "{{ a }}, {{ b }}",
            "{% with a = b, c = d %}{% endwith %}",
            "{%- macro answer(words, unit=\"\", short=false) %}{% endmacro %}",
        ] {
            check(text, false, false);
        }
    }
}
