//! A document of the office as JSON: `castmark_office` is the version of the names, now 1.

use serde_json::{Value, json};

use super::{OfficeBlock, OfficeSheet};
use crate::export::CAUTION;

/// The document as JSON, ended by a line feed.
pub(in crate::export) fn text(sheet: &OfficeSheet) -> String {
    let details = sheet.details.iter().map(|it| json!({ "label": it.label, "value": it.value }));
    let document = json!({
        "castmark_office": 1,
        "title": sheet.title,
        "details": details.collect::<Vec<_>>(),
        "blocks": sheet.blocks.iter().filter_map(block).collect::<Vec<_>>(),
        "caution": CAUTION,
    });
    format!("{document:#}\n")
}

fn block(block: &OfficeBlock) -> Option<Value> {
    Some(match block {
        OfficeBlock::Heading(text) => json!({ "kind": "heading", "text": text }),
        OfficeBlock::Words(text) => json!({ "kind": "words", "text": text }),
        OfficeBlock::Table { columns, rows } => {
            let columns: Vec<&str> = columns.iter().map(|it| it.heading.as_str()).collect();
            json!({ "kind": "table", "columns": columns, "rows": rows })
        }
        OfficeBlock::Boxes { across, boxes, .. } => {
            json!({ "kind": "boxes", "across": across, "boxes": boxes })
        }
        OfficeBlock::NewPage => return None,
    })
}
