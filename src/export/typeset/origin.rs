//! Where in a layout a piece of markup comes from that was filled into it.

/// The line and column of a layout, from 1, from which a piece of a line of markup comes; nothing where
/// the layout has none that could have made the line.
pub(in crate::export) fn origin(layout: &str, made: &str, piece: &str) -> Option<(usize, usize)> {
    let piece = piece.lines().next().unwrap_or_default().trim();
    let lines = (1..).zip(layout.lines()).filter_map(|(number, line)| {
        let kept = kept(line);
        // A longer line that could have made this one is likelier to have made it.
        let letters: usize = kept.iter().map(|(_, text)| text.trim().len()).sum();
        let told = kept.iter().find_map(|(at, text)| Some(at + text.find(piece)?));
        let fits = letters > 0 && in_order(&kept, made);
        let begins = line.len() - line.trim_start().len();
        let at = told.filter(|_| !piece.is_empty()).unwrap_or(begins);
        let column = line.get(..at).map_or(1, |before| before.chars().count() + 1);
        fits.then_some((told.is_some(), letters, (number, column)))
    });
    lines
        .max_by_key(|(told, letters, (number, _))| (*told, *letters, usize::MAX - number))
        .map(|best| best.2)
}

/// The pieces of a line of a layout that go into what it makes as they are, each with its place.
fn kept(line: &str) -> Vec<(usize, &str)> {
    let mut pieces = Vec::new();
    let mut at = 0;
    while let Some(rest) = line.get(at..) {
        let tag = ["{{", "{%", "{#"].iter().filter_map(|tag| rest.find(tag)).min();
        let end = tag.unwrap_or(rest.len());
        pieces.push((at, &rest[..end]));
        let Some(close) = tag.and_then(|tag| {
            let inside = &rest[tag..];
            ["}}", "%}", "#}"].iter().filter_map(|close| inside.find(close)).min()
        }) else {
            break;
        };
        at += end + close + 2;
    }
    pieces.retain(|(_, text)| !text.trim().is_empty());
    pieces
}

/// Whether a line has the pieces one behind the other.
fn in_order(pieces: &[(usize, &str)], line: &str) -> bool {
    let mut rest = line;
    pieces.iter().all(|(_, text)| match rest.split_once(text.trim()) {
        Some((_, behind)) => {
            rest = behind;
            true
        }
        None => false,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const LAYOUT: &str = "#set document()\n{% for entry in entries %}\n  #nothing({{ marks }})[{{ title }}]\n#par[é #box(widht: 2em)]\n{% endfor %}\n";

    #[test]
    fn a_piece_is_found_where_the_layout_has_it() {
        assert_eq!(origin(LAYOUT, "  #nothing(4)[A title]", "nothing"), Some((3, 4)));
        assert_eq!(origin(LAYOUT, "#par[é #box(widht: 2em)]", "widht: 2em"), Some((4, 13)));
    }

    #[test]
    fn a_piece_that_was_filled_in_is_found_by_its_line() {
        assert_eq!(origin(LAYOUT, "  #nothing(4)[A title]", "4"), Some((3, 3)));
    }

    #[test]
    fn a_line_that_no_line_of_the_layout_makes_has_no_place() {
        assert_eq!(origin(LAYOUT, "#let large = true", "large"), None);
        assert_eq!(origin("", "", ""), None);
    }
}
