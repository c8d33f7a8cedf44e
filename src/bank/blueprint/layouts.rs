//! The layouts of one's own that a blueprint names.

use crate::bank::reading::checker::Checker;
use crate::bank::reading::words::Text;
use crate::bank::reading::written::List;

/// How the files of layouts end.
const ENDINGS: [&str; 4] = [".html.jinja", ".typ.jinja", ".md.jinja", ".txt.jinja"];

/// The files, as they are named; notes those that are no layouts.
pub(super) fn layouts(checker: &mut Checker<'_>, named: Option<&List<Text>>) -> Vec<String> {
    let mut files = Vec::new();
    for name in named.into_iter().flat_map(|all| all.iter()) {
        if !ENDINGS.iter().any(|ending| name.ends_with(ending)) {
            let what = format!("expected the file of a layout, found `{}`", &**name);
            let help = format!("end its name by its format, in {}", ENDINGS.join(", "));
            checker.value(name, what, "not a layout", Some(help));
        }
        files.push(name.to_string());
    }
    files
}
