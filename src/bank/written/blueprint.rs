//! The plan of a paper as written.

use crate::bank::reading::group::form;
use crate::bank::reading::words::{Choice, ChoiceText, NameText, Text, WholeText};
use crate::bank::reading::written::{List, Truth};
use crate::bank::template::Objective;
use crate::bank::written::rules::RulesText;

/// The longest paper, in minutes.
const LONGEST_PAPER: u32 = 600;
/// The largest class.
const LARGEST_CLASS: u32 = 1_000_000;
/// The most problems of one slot.
const MOST_OF_A_SLOT: u32 = 50;
/// The widest band of difficulty, which leaves out nothing.
pub(in crate::bank) const WIDEST: u32 = 1000;

form! {
    /// A blueprint.
    BlueprintText is "a blueprint" with version {
        id: NameText = "a short name; the same name and secret give the same papers";
        title: Text = "the heading of the papers";
        course: Option<Text> = "the course, as printed";
        date: Option<Text> = "the day of the paper, as printed";
        starts: Option<Text> = "the time of the day at which the paper begins, such as 09:30";
        minutes: WholeText<1, LONGEST_PAPER> = "the time allowed";
        instructions: Option<List<Text>> = "what candidates are told at the head of the paper";
        letterhead: Option<Text> = "a line above the head of every document";
        foot: Option<Text> = "a line below every document";
        cover: Option<CoverText> = "a cover page before the questions";
        layouts: Option<List<Text>> =
            "files of layouts of your own, from where the blueprint lies";
        caution: Option<Text> = "a caution of your own, beside the one that is always printed";
        qr_code: Option<Truth> = "whether the code of each paper is printed as a QR code too";
        class: Option<WholeText<1, LARGEST_CLASS>> = "how many candidates to plan for";
        avoid: Option<Text> =
            "the manifest of an earlier paper, none of whose problems may come again";
        difficulty: Option<DifficultyText> = "how alike the problems of the candidates are kept";
        enemies: Option<List<List<NameText, 2>>> =
            "templates that may not meet on the paper, in pairs";
        marking: Option<RulesText> = "rules of marking that are not the usual ones";
        grading: Option<GradingText> = "the pass mark and the boundaries of grades";
        sections: List<SectionText> = "the sections in their order";
    }
}

form! {
    /// A cover page.
    CoverText is "a cover" {
        institution: Option<Text> = "the institution";
        rubric: Option<List<Text>> = "what candidates must know before they begin";
        materials: Option<List<Text>> = "what candidates may use";
        declaration: Option<Text> = "what candidates sign";
        sealed: Option<Truth> = "whether it says that the paper must not be opened yet";
    }
}

form! {
    /// From which marks a paper is passed and grades are given.
    GradingText is "a grading" {
        pass: Option<Text> = "the pass mark: `50 %` of the marks, or `40 marks`";
        grades: Option<List<GradeText>> = "the grades, the highest first";
    }
}

form! {
    /// A grade.
    GradeText is "a grade" {
        grade: Text = "its name";
        from: Text = "from where it is given: `70 %`, or `56 marks`";
    }
}

form! {
    /// How alike problems are kept.
    DifficultyText is "a band of difficulty" {
        figures: Option<WholeText<0, WIDEST>> =
            "how many figures to take over more or fewer than is usual for the template; 2 without it";
        uneven: Option<WholeText<0, WIDEST>> =
            "how many steps more or fewer may come out uneven; 1 without it";
    }
}

form! {
    /// A section of a paper.
    SectionText is "a section" {
        title: Text = "the heading of the section";
        instructions: Option<Text> = "what candidates are told under the heading";
        shuffle: Option<Truth> = "whether the order of the questions differs between candidates";
        slots: List<SlotText> = "what is asked";
    }
}

form! {
    /// What is asked in one place of a section.
    SlotText is "a slot" one of "template" "objective" {
        template: Option<NameText> = "the template, by its id";
        objective: Option<ChoiceText<Objective>> = "any template that trains this";
        level: Option<WholeText<1, 3>> = "only templates of this level";
        topic: Option<NameText> = "only templates of this topic";
        kind: Option<ChoiceText<AnswerKind>> = "only calculations, or only theory";
        count: Option<WholeText<1, MOST_OF_A_SLOT>> = "how many questions; 1 without it";
        same: Option<Truth> =
            "whether all candidates get the same problem; without it, all get others";
        marks: Option<WholeText<1, 500>> = "the marks that each question must carry";
    }
}

/// What the answers of a template are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::bank) enum AnswerKind {
    /// Every answer is worked out.
    Calculation,
    /// Some answer is known.
    Theory,
}

impl Choice for AnswerKind {
    const WHAT: &'static str = "a kind";
    const WORDS: &'static [&'static str] = &["calculation", "theory"];

    fn of(word: &str) -> Option<Self> {
        match word {
            "calculation" => Some(Self::Calculation),
            "theory" => Some(Self::Theory),
            _ => None,
        }
    }
}
