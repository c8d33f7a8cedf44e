//! A whole file: read, held against its form, its version taken away.

use serde::Deserialize;

use crate::bank::reading::desk::{Desk, way};
use crate::bank::reading::form::{self, Kind};
use crate::bank::reading::node::Node;
use crate::bank::reading::noted::Checked;
use crate::bank::reading::yaml;

/// Reads a file into its written form.
pub(in crate::bank) fn written<T: for<'de> Deserialize<'de>>(
    desk: &mut Desk<'_>,
    form: &'static Kind,
) -> Checked<T> {
    let node = read_form(desk, form)?;
    T::deserialize(&node).map_err(|error| {
        let what = format!("the file does not have its form: {error}");
        desk.key(&[], what, "in this file", None)
    })
}

/// Reads a file of a form and takes its version away.
pub(in crate::bank) fn read_form(desk: &mut Desk<'_>, form: &'static Kind) -> Checked<Node> {
    let node = yaml::read(desk.source, form).map_err(|found| desk.notes.add(found))?;
    // A file of a later version may have keys that are not known here: only its version matters.
    let version = node.under("castmark").and_then(|version| version.text());
    if let Some(version) = version.filter(|version| *version != "1") {
        return Err(desk.value(
            &way!["castmark"],
            format!("expected format version 1, found `{version}`"),
            "not a version this program reads",
            Some("write `castmark: 1`, or use the program the file was written for".to_owned()),
        ));
    }
    let mut node = form::check(desk, node, form)?;
    node.remove("castmark");
    Ok(node)
}
