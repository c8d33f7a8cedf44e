//! The names of the fields that a layout reads.

/// Every field by name, for "did you mean" and for the test that the guide explains each.
pub(super) const FIELDS: &[&str] = &[
    "title",
    "note",
    "details",
    "mark",
    "square",
    "candidate",
    "contents",
    "sections",
    "entries",
    "marks",
    "caution",
    "rounding_rule",
    "told",
    "paper",
    "points",
    "width",
    "label",
    "value",
    "asked",
    "number",
    "questions",
    "key",
    "solutions",
    "heading",
    "code",
    "stem",
    "parts",
    "working",
    "method",
    "methods",
    "agreement",
    "plausible",
    "picture",
    "slips",
    "kind",
    "text",
    "items",
    "head",
    "rows",
    "id",
    "letter",
    "ask",
    "space",
    "unit",
    "rounding",
    "options",
    "multiple",
    "left",
    "right",
    "count",
    "answer",
    "accepted",
    "scheme",
    "what",
    "say",
    "named",
    "numbered",
    "sign",
    "result",
    "drawn",
    "bars",
    "mass",
    "bar",
    "answers",
    "again",
    "reasons",
    "notes",
    "sources",
    "letterhead",
    "foot",
    "cover",
    "institution",
    "rubric",
    "materials",
    "declaration",
    "sealed",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_guide_for_layouts_explains_every_field() {
        let guide = include_str!("../../exports/layouts/README.md");
        for field in FIELDS {
            assert!(guide.contains(&format!("`{field}`")), "`{field}` is not explained");
        }
    }
}
