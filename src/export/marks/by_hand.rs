//! The tables in which people give marks: what waits for somebody, and where two markers differ.

use crate::marking::Standing;
use crate::marks::Mark;
use crate::paper::{PaperMarks, PartMarks};
use crate::problem::letter;

use super::cells::row;
use super::table::BYTE_ORDER_MARK;

/// The headings of both tables, the same that are read again.
const HEADINGS: [&str; 14] = [
    "candidate",
    "question",
    "part",
    "asked",
    "answer",
    "scheme",
    "of",
    "marks",
    "who",
    "second",
    "second_who",
    "agreed",
    "why",
    "when",
];

/// The headings of what is to be marked by hand.
pub fn by_hand_head() -> String {
    BYTE_ORDER_MARK.to_owned() + &row(&HEADINGS)
}

/// A row for each part that somebody has to look at: written answers and answers that could not be
/// read, with room for the marks. The table can be filled in and handed back as it is.
pub fn by_hand_table(papers: &[PaperMarks]) -> String {
    let waiting = each(papers).filter(|(_, _, part)| part.waits());
    waiting
        .map(|(paper, index, part)| row(&cells(paper, index, part, Default::default())))
        .collect()
}

/// The headings of where two markers differ.
pub fn differences_head() -> String {
    let mut headings = HEADINGS.to_vec();
    headings.insert(11, "difference");
    BYTE_ORDER_MARK.to_owned() + &row(&headings)
}

/// A row for each part that two markers have marked differently, with room for what they agree on.
pub fn differences_table(papers: &[PaperMarks]) -> String {
    let mut table = String::new();
    for (paper, index, part) in each(papers) {
        let Some((hand, by)) = part.hand.as_ref().and_then(|hand| Some((hand, hand.difference()?)))
        else {
            continue;
        };
        if by.halves() == 0 {
            continue;
        }
        let text = |mark: Option<Mark>| mark.map(|it| it.to_string()).unwrap_or_default();
        let given = [
            text(hand.marks),
            hand.who.clone(),
            text(hand.second),
            hand.second_who.clone().unwrap_or_default(),
            text(hand.agreed),
            hand.why.clone(),
            hand.when.clone(),
        ];
        let mut cells = cells(paper, index, part, given).to_vec();
        cells.insert(11, by.to_string());
        table.push_str(&row(&cells));
    }
    table
}

/// Every part with the paper and its index: the question and the part, as printed.
fn each(papers: &[PaperMarks]) -> impl Iterator<Item = (&PaperMarks, (usize, usize), &PartMarks)> {
    papers.iter().flat_map(|paper| {
        paper.questions.iter().enumerate().flat_map(move |(question, marks)| {
            let parts = marks.parts.iter().enumerate();
            parts.map(move |(part, marks)| (paper, (question, part), marks))
        })
    })
}

fn cells(
    paper: &PaperMarks,
    (question, index): (usize, usize),
    part: &PartMarks,
    [marks, who, second, second_who, agreed, why, when]: [String; 7],
) -> [String; 14] {
    let scheme = match part.standing {
        Standing::NotRead => {
            part.reasons.iter().map(|it| it.text.as_str()).collect::<Vec<_>>().join(" ")
        }
        _ if part.points.is_empty() => format!("the key: {}", part.key),
        _ => format!("one mark each: {}", part.points.join(" | ")),
    };
    [
        paper.candidate.number.clone(),
        (question + 1).to_string(),
        letter(index, 'a'),
        part.ask.clone(),
        part.answer.clone(),
        scheme,
        part.of.to_string(),
        marks,
        who,
        second,
        second_who,
        agreed,
        why,
        when,
    ]
}
