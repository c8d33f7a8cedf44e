//! The marks of a class as a table for a spreadsheet, in the order of the blueprint.

use crate::marking::Standing;
use crate::marks::{HeadQuestion, Mark, MarksHead};
use crate::paper::{PaperMarks, PartMarks, QuestionMarks};

use super::cells::row;
use super::outcome::Outcome;

/// By this a spreadsheet knows that the text is UTF-8; without it, most show other letters.
pub(in crate::export) const BYTE_ORDER_MARK: &str = "\u{feff}";

/// How many columns come before the sections and questions.
const BEFORE: usize = 17;

/// The headings: what is known of the candidate, the sections, and the questions in the order of the
/// blueprint, each with the marks it could have.
pub fn marks_table_head(head: &MarksHead) -> String {
    let mut headings: Vec<String> = [
        "candidate",
        "name",
        "group",
        "paper",
        "status",
        "marks",
        "of",
        "per_cent",
        "result",
        "grade",
        "method",
        "accuracy",
        "follow_through",
        "to_mark_by_hand",
        "to_settle",
        "unread",
        "blank",
    ]
    .map(str::to_owned)
    .to_vec();
    headings.extend(sections(head).iter().map(|section| {
        let of: u32 = section.questions.iter().map(|question| question.of).sum();
        format!("{} /{of}", section.title)
    }));
    headings.extend(
        head.questions
            .iter()
            .map(|question| format!("{}. {} /{}", question.planned, question.title, question.of)),
    );
    BYTE_ORDER_MARK.to_owned() + &row(&headings)
}

/// A row for each candidate.
pub fn marks_table(papers: &[PaperMarks], head: &MarksHead) -> String {
    papers.iter().map(|paper| row(&cells(paper, head))).collect()
}

fn cells(paper: &PaperMarks, head: &MarksHead) -> Vec<String> {
    let candidate = &paper.candidate;
    let sections = sections(head);
    let mut cells = vec![
        candidate.number.clone(),
        candidate.name.clone().unwrap_or_default(),
        candidate.group.clone().unwrap_or_default(),
        paper.code.to_string(),
    ];
    let outcome = Outcome::of(paper, &head.grading);
    cells.push(outcome.status.to_owned());
    if paper.status.is_some() {
        cells.resize(BEFORE + sections.len() + head.questions.len(), String::new());
        return cells;
    }
    cells.extend([paper.marks().to_string(), paper.of().to_string()]);
    cells.extend([outcome.per_cent, outcome.result.to_owned(), outcome.grade]);
    let split = || paper.parts().filter_map(PartMarks::method_and_accuracy);
    let following = paper.parts().filter(|part| part.follows && part.hand.is_none());
    let sums: [Mark; 3] = [
        split().map(|(method, _)| method).sum(),
        split().map(|(_, accuracy)| accuracy).sum(),
        following.map(|part| part.marks).sum(),
    ];
    cells.extend(sums.map(|sum| sum.to_string()));
    cells.push(paper.count(Standing::ByHand).to_string());
    cells.push(paper.parts().filter(|part| part.is_unsettled()).count().to_string());
    cells.extend([Standing::NotRead, Standing::Blank].map(|it| paper.count(it).to_string()));
    let of_question = |question: &HeadQuestion| {
        let mine = |it: &&QuestionMarks| it.planned as u64 + 1 == question.planned;
        paper.questions.iter().find(mine).map(QuestionMarks::marks).unwrap_or_default()
    };
    for section in sections {
        let marks: Mark = section.questions.iter().map(of_question).sum();
        cells.push(marks.to_string());
    }
    cells.extend(head.questions.iter().map(|question| of_question(question).to_string()));
    cells
}

/// A section with its questions, which are together in the blueprint.
struct Section<'a> {
    title: &'a str,
    questions: &'a [HeadQuestion],
}

/// The sections; none where there is only one, whose sum would be that of the paper.
fn sections(head: &MarksHead) -> Vec<Section<'_>> {
    let together = head.questions.chunk_by(|one, other| one.section == other.section);
    let sections: Vec<Section<'_>> =
        together.map(|questions| Section { title: &questions[0].section, questions }).collect();
    if sections.len() > 1 { sections } else { Vec::new() }
}
