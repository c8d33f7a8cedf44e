//! The blocks of layouts: those that a layout of one's own replaces must be there to be replaced.

use crate::formula::nearest;

use crate::export::layout::LayoutProblem;

/// The first block of a layout that none of those it can extend has; nothing where it extends none.
pub(super) fn unknown(text: &str, extended: Vec<&'static str>) -> Option<LayoutProblem> {
    if !text.contains("{% extends") && !text.contains("{%- extends") {
        return None;
    }
    let mut known: Vec<&str> =
        extended.into_iter().flat_map(blocks).map(|(_, name)| name).collect();
    known.sort_unstable();
    known.dedup();
    let (at, name) = blocks(text).find(|(_, name)| !known.contains(name))?;
    let before = &text[..at];
    let last = before.rsplit('\n').next().unwrap_or_default();
    let near = nearest(name, known.iter().copied());
    let listed = known.join(", ");
    Some(LayoutProblem {
        name: String::new(),
        location: Some((before.matches('\n').count() + 1, last.chars().count() + 1)),
        what: format!(
            "the layout that this one extends has no block `{name}`, so it would not be printed"
        ),
        help: match near {
            Some(near) => format!("did you mean `{near}`? The blocks are {listed}"),
            None => format!("the blocks are {listed}"),
        },
    })
}

/// The blocks of a text: where the name of each begins, and the name.
fn blocks(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.match_indices("{%").filter_map(|(at, tag)| {
        let inside = &text[at + tag.len()..];
        let words = inside.strip_prefix(['-', '+']).unwrap_or(inside).trim_start();
        let name = words.strip_prefix("block")?.strip_prefix(char::is_whitespace)?.trim_start();
        let end = name.find(|letter: char| !letter.is_alphanumeric() && letter != '_');
        let begin = text.len() - name.len();
        Some((begin, &name[..end.unwrap_or(name.len())]))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_misspelt_block_is_told_with_its_place() {
        let base = "{% block head %}{% endblock %}{%- block foot -%}{% endblock %}{% for block in blocks %}";
        let own = "{% extends \"sheet.txt.jinja\" %}\n  {% block haed %}x{% endblock %}\n";
        let problem = unknown(own, vec![base]).unwrap();
        assert_eq!(problem.location, Some((2, 12)));
        assert!(
            problem.help.starts_with("did you mean `head`? The blocks are foot, head"),
            "{problem:?}"
        );
        assert_eq!(unknown(&own.replace("haed", "foot"), vec![base]), None);
        assert_eq!(
            unknown("{% block mine %}{% endblock %}", vec![base]),
            None,
            "it extends nothing"
        );
    }
}
