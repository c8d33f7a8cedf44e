//! Labels for the envelopes of each room: papers that go out, and scripts that come back.

use crate::export::Front;
use crate::export::office::{OfficeBlock, OfficeSheet};
use crate::paper::{Bundle, Need, Paper};

use super::pack::RoomPack;

/// Two labels for each room, and one for every candidate in large print, whose paper is another size.
pub(super) fn sheet(pack: &RoomPack<'_>) -> OfficeSheet {
    let mut labels = Vec::new();
    for bundle in &pack.bundles {
        let papers = bundle.papers.len();
        labels.push(label(
            pack,
            bundle,
            "Question papers",
            &[
                format!("{papers} in this envelope"),
                span(bundle),
                "Do not open before the examination.".to_owned(),
            ],
        ));
        labels.push(label(
            pack,
            bundle,
            "Scripts",
            &[
                format!("Of {papers} candidates: ________ scripts, ________ absent"),
                "Closed by ______________ at ________".to_owned(),
            ],
        ));
        let large = bundle
            .papers
            .iter()
            .filter(|(_, paper)| paper.candidate.needs.contains(&Need::LargePrint));
        labels.extend(large.map(|(_, paper)| {
            label(
                pack,
                bundle,
                "Large print",
                &[format!("Candidate {}", paper.candidate.number), format!("Paper {}", paper.code)],
            )
        }));
    }
    OfficeSheet {
        // They are cut apart.
        front: Front::default(),
        title: format!("{}: labels for envelopes", pack.blueprint.title),
        foot: Vec::new(),
        details: Vec::new(),
        square: None,
        blocks: vec![OfficeBlock::Boxes { across: 2, boxes: labels, cut: true }],
    }
}

fn label(pack: &RoomPack<'_>, bundle: &Bundle<'_>, what: &str, more: &[String]) -> Vec<String> {
    let begins = pack.starts.map(|starts| format!(", {starts}")).unwrap_or_default();
    let when = pack.blueprint.date.as_ref().map(|date| format!("{date}{begins}"));
    let mut lines = vec![what.to_owned(), pack.blueprint.title.clone()];
    lines.extend(pack.blueprint.course.clone());
    lines.extend(when);
    lines.extend(pack.called(bundle));
    lines.extend(more.iter().cloned());
    lines
}

/// The first and the last candidate, in the order in which the papers lie.
fn span(bundle: &Bundle<'_>) -> String {
    let number = |paper: Option<&(usize, &Paper)>| {
        paper.map(|(_, paper)| paper.candidate.number.clone()).unwrap_or_default()
    };
    let (first, last) = (number(bundle.papers.first()), number(bundle.papers.last()));
    if first == last {
        format!("Candidate {first}")
    } else {
        format!("Candidates {first} to {last}")
    }
}
