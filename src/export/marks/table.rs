//! The marks of a class as tables with commas.

use crate::marking::Standing;
use crate::paper::{PaperMarks, PartMarks};
use crate::problem::letter;

use super::cells::row;

/// The headings of the marks of papers with so many questions.
pub fn marks_table_head(questions: usize) -> String {
    let mut headings: Vec<String> = [
        "candidate",
        "name",
        "group",
        "paper",
        "status",
        "marks",
        "of",
        "method",
        "accuracy",
        "follow_through",
        "to_mark_by_hand",
        "unread",
        "blank",
    ]
    .map(str::to_owned)
    .to_vec();
    headings.extend((1..=questions).map(|number| format!("question {number}")));
    row(&headings)
}

/// A row for each candidate: the marks of the paper, what they are for, and those of each question as
/// it is numbered on the candidate's paper.
pub fn marks_table(papers: &[PaperMarks], questions: usize) -> String {
    papers.iter().map(|paper| row(&cells(paper, questions))).collect()
}

fn cells(paper: &PaperMarks, questions: usize) -> Vec<String> {
    let candidate = &paper.candidate;
    let mut cells = vec![
        candidate.number.clone(),
        candidate.name.clone().unwrap_or_default(),
        candidate.group.clone().unwrap_or_default(),
        paper.code.to_string(),
    ];
    if paper.absent {
        cells.push("absent".to_owned());
        cells.resize(13 + questions, String::new());
        return cells;
    }
    let waiting = paper.parts().any(PartMarks::waits);
    cells.push(if waiting { "to be finished" } else { "marked" }.to_owned());
    let split = || paper.parts().filter_map(PartMarks::method_and_accuracy);
    let following = paper.parts().filter(|part| part.follows && part.hand.is_none());
    let numbers = [
        paper.marks(),
        paper.of(),
        split().map(|(method, _)| method).sum(),
        split().map(|(_, accuracy)| accuracy).sum(),
        following.map(|part| part.marks).sum(),
    ];
    cells.extend(numbers.map(|number| number.to_string()));
    let standings = [Standing::ByHand, Standing::NotRead, Standing::Blank];
    cells.extend(standings.map(|standing| paper.count(standing).to_string()));
    cells.extend(paper.questions.iter().map(|question| question.marks().to_string()));
    cells.resize(13 + questions, String::new());
    cells
}

/// The headings of what is to be marked by hand.
pub fn by_hand_head() -> String {
    row(&[
        "candidate",
        "question",
        "part",
        "asked",
        "answer",
        "scheme",
        "of",
        "marks",
        "who",
        "why",
        "when",
    ])
}

/// A row for each part that somebody has to look at: written answers and answers that could not be
/// read, with room for the marks. The table can be filled in and handed back as it is.
pub fn by_hand_table(papers: &[PaperMarks]) -> String {
    let mut table = String::new();
    for paper in papers {
        for (number, question) in paper.questions.iter().enumerate() {
            for (place, part) in question.parts.iter().enumerate().filter(|(_, it)| it.waits()) {
                let scheme = match part.standing {
                    Standing::NotRead => {
                        let reasons = part.reasons.iter().map(|reason| reason.text.as_str());
                        reasons.collect::<Vec<_>>().join(" ")
                    }
                    _ if part.points.is_empty() => {
                        format!("the key: {}", part.key)
                    }
                    _ => format!("one mark each: {}", part.points.join(" | ")),
                };
                table.push_str(&row(&[
                    paper.candidate.number.as_str(),
                    &(number + 1).to_string(),
                    &letter(place, 'a'),
                    &part.ask,
                    &part.answer,
                    scheme.as_str(),
                    &part.of.to_string(),
                    "",
                    "",
                    "",
                    "",
                ]));
            }
        }
    }
    table
}
