//! What a session says, in sentences; every face can use them.

use crate::practice::{Ending, Outcome, Stage, Why, day_text};
use crate::words::{counted, is_or_are, number, out_of};

use super::{Coming, End, EndedShown, Shown, Today, VerdictShown};

impl Shown {
    /// The sentences of it; none for what is the problem's own: its stem, questions and working.
    pub fn sentences(&self) -> Vec<String> {
        match self {
            Self::Today(today) => today.sentences(),
            Self::Resumed { tries } => resumed(*tries),
            Self::Elsewhere { ended } => vec![elsewhere(*ended).to_owned()],
            Self::Coming(coming) => vec![coming.sentence()],
            Self::Hint(hint) => vec![format!("Hint {}: {}", hint.number, hint.text)],
            Self::NoHint => vec!["There is no further hint.".to_owned()],
            Self::SameAnswer => {
                vec!["This is the same answer as before. No try has been used.".to_owned()]
            }
            Self::Verdict(verdict) => verdict.after(),
            Self::Answer { lines } => lines.clone(),
            Self::Points(points) if points.is_model => vec![
                format!("You wrote: {}", points.answer),
                format!("The answer of the key: {}", points.points.concat()),
                "Does yours say the same?".to_owned(),
            ],
            Self::Points(points) => vec![format!("You wrote: {}", points.answer)],
            Self::Rest { .. } => vec!["This is the rest of the example.".to_owned()],
            Self::Ended(ended) => vec![ended.sentence()],
            Self::Over(end) => end.sentences(),
            Self::Problem(problem) if problem.blank.is_some() => vec![
                "This is a worked example. One result is left out, shown as a question mark. Work \
                 it out from the lines above it."
                    .to_owned(),
            ],
            Self::Problem(problem) if problem.shown > 0 => {
                vec!["The working has been begun for you. Continue from here.".to_owned()]
            }
            Self::Problem(_) | Self::Question(_) | Self::Solution => Vec::new(),
        }
    }
}

fn elsewhere(ended: bool) -> &'static str {
    if ended {
        "You finished or skipped this problem in another window, so what you did here last was not \
         taken."
    } else {
        "You went on with this problem in another window, so what you did here last was not taken. No \
         try has been used for it."
    }
}

fn resumed(tries: u32) -> Vec<String> {
    let used = match tries {
        0 => String::new(),
        1 => " One try at this question is used.".to_owned(),
        tries => format!(" {tries} tries at this question are used."),
    };
    vec![format!("This is the problem you left unfinished.{used}")]
}

impl Today {
    fn sentences(&self) -> Vec<String> {
        let mut said = Vec::new();
        if self.due.is_empty() && self.begun.is_empty() && self.known == 0 {
            said.push(format!(
                "{} to learn; practice begins with the foundations.",
                topics(self.new)
            ));
        } else {
            let due = match self.due.as_slice() {
                [] => "Nothing is due for review today.".to_owned(),
                due => format!("Due for review today: {}.", due.join("; ")),
            };
            said.push(due);
            said.push(format!(
                "{} begun, {} known, {} new.",
                topics(self.begun.len()),
                self.known,
                self.new
            ));
        }
        let Some(plan) = &self.plan else { return said };
        let exam = day_text(plan.exam);
        said.push(match plan.days {
            0 => format!("Your exam is or was on {exam}. Only reviews are planned."),
            1 => format!("Your exam is tomorrow, on {exam}."),
            days => format!(
                "Your exam is on {exam}, in {days} days. The plan is {} a day, reviews first; {} \
                 begun today.",
                counted(plan.new_a_day, "new topic"),
                self.begun_today
            ),
        });
        if !self.left_out.is_empty() && plan.days > 0 {
            said.push(format!(
                "There is not enough time for {}: {}. Leave them for last.",
                topics(self.left_out.len()),
                some_of(&self.left_out)
            ));
        }
        said
    }
}

impl Coming {
    fn sentence(&self) -> String {
        let why = match self.why {
            Some(Why::Due) => "you know it, and it is due for review",
            Some(Why::Begun) => "you have begun it and do not know it yet",
            Some(Why::New) => "a new topic",
            Some(Why::Longest) => "you know all topics, and this one has waited longest",
            None => "the same kind of problem with new numbers",
        };
        format!("{} ({}): {why}.", self.title, self.objective.replace('-', " "))
    }
}

impl VerdictShown {
    /// The outcome in a word or two, with praise for what a second try corrected.
    pub fn heading(&self) -> &'static str {
        match (self.outcome, self.number) {
            (Outcome::Correct, 0 | 1) => "Correct",
            (Outcome::Correct, _) => "Correct at the second try",
            (Outcome::PartlyCorrect, _) => "Partly correct",
            (Outcome::NotCorrect, _) => "Not correct",
            (Outcome::NotRead, _) => "Not read",
            (Outcome::ForAPerson, _) => "For you to decide",
        }
    }

    /// What follows from the verdict for the student.
    fn after(&self) -> Vec<String> {
        let said = match (self.outcome, self.number) {
            (Outcome::NotRead, _) => "No try has been used. Write it again.",
            (Outcome::Correct, number) if number > 1 => {
                "You found what was wrong and corrected it yourself."
            }
            (Outcome::Correct | Outcome::ForAPerson, _) => return Vec::new(),
            _ if self.again => "Try once more.",
            _ if self.carries => {
                "If you need this number below, you can continue with the correct one or with yours."
            }
            _ => return Vec::new(),
        };
        vec![said.to_owned()]
    }
}

impl EndedShown {
    fn sentence(&self) -> String {
        let marks = match self.ending {
            Ending::Alone => String::new(),
            Ending::Helped | Ending::NotSolved => format!(", {}", self.score()),
        };
        format!("{}{marks}. {}", self.heading(), self.what_follows()).trim_end().to_owned()
    }

    /// How it ended, in a word or two.
    pub fn heading(&self) -> &'static str {
        match (self.ending, self.whole) {
            (Ending::Alone, true) => "Solved alone",
            (Ending::Alone, false) => "Correct",
            (Ending::Helped, _) => "Solved with help",
            (Ending::NotSolved, _) => "Not solved this time",
        }
    }

    /// The marks: `3 of 4 marks`.
    pub fn score(&self) -> String {
        out_of(self.marks, self.of)
    }

    /// What the record makes of it, in a sentence; empty where there is nothing to say.
    pub fn what_follows(&self) -> String {
        let known = match self.review_in {
            Some(days) if days > 0 => {
                format!("You know this topic now; it comes back in {}.", counted_days(days))
            }
            _ => String::new(),
        };
        match (self.ending, self.whole) {
            (Ending::Alone, true) if self.stage == Stage::Known => known,
            (Ending::Alone, true) if self.templates_left > 0 => format!(
                "{} kind{} of problem of this topic {} still to be solved alone.",
                number(self.templates_left),
                if self.templates_left == 1 { "" } else { "s" },
                is_or_are(self.templates_left)
            ),
            (Ending::Alone, true) => {
                "Once or twice more, and the topic counts as known.".to_owned()
            }
            (Ending::Alone, false) => "Next time more of the working is yours to do.".to_owned(),
            (Ending::Helped, _) => known,
            (Ending::NotSolved, _) => "A problem of this kind comes again.".to_owned(),
        }
    }
}

impl End {
    fn sentences(&self) -> Vec<String> {
        let mut said = Vec::new();
        if self.kept {
            said.push("The problem is kept for the next time.".to_owned());
        }
        let summary = self.summary;
        said.push(match summary.ended {
            0 => "No problem was finished.".to_owned(),
            ended => format!(
                "You finished {}: {} solved, {} of them as a whole problem and alone.",
                counted(usize::try_from(ended).unwrap_or(usize::MAX), "problem"),
                summary.solved,
                summary.alone
            ),
        });
        said
    }
}

/// So many titles are listed of those left out.
const TITLES: usize = 6;

/// The first titles, and how many more there are.
pub fn some_of(titles: &[String]) -> String {
    let listed = titles.iter().take(TITLES).cloned().collect::<Vec<_>>().join("; ");
    match titles.len().saturating_sub(TITLES) {
        0 => listed,
        more => format!("{listed}; and {more} more"),
    }
}

fn topics(count: usize) -> String {
    counted(count, "topic")
}

fn counted_days(days: i64) -> String {
    if days == 1 { "a day".to_owned() } else { format!("{days} days") }
}
