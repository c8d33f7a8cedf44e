//! The heading of a template: what lists, plans and schedules need to know of it.

use super::Template;
use super::objective::Objective;
use crate::bank::SourceText;
use crate::bank::files::outline_of;

/// What can be told of a template without reading the whole of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heading {
    /// The name of the template.
    pub id: String,
    /// The title an instructor reads in lists.
    pub title: String,
    /// What it trains.
    pub objective: Objective,
    /// The finer subject within the objective.
    pub topic: String,
    /// 1 for one idea, 2 for several steps, 3 for several ideas.
    pub level: u8,
    /// How long a candidate should need.
    pub minutes: u32,
    /// How many steps the working has; none for theory.
    pub steps: usize,
}

impl Heading {
    /// The heading of a template that was read.
    pub fn of(template: &Template) -> Self {
        Self {
            id: template.id.clone(),
            title: template.title.clone(),
            objective: template.objective,
            topic: template.topic.clone(),
            level: template.level,
            minutes: template.minutes,
            steps: template.working.len(),
        }
    }

    /// The heading of the template in a file that was found to be sound before. `None` if its lines do
    /// not tell it, so that the file has to be read.
    pub(in crate::bank) fn of_file(file: &SourceText) -> Option<Self> {
        let outline = outline_of(file)?;
        Some(Self {
            id: outline.id.to_owned(),
            title: outline.title.to_owned(),
            objective: Objective::parse(outline.objective)?,
            topic: outline.topic.to_owned(),
            level: outline.level.parse().ok()?,
            minutes: outline.minutes.parse().ok()?,
            steps: outline.steps,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Bank;

    #[test]
    fn the_heading_of_every_bundled_file_is_that_of_its_template() {
        let bank = Bank::bundled().unwrap();
        let files = Bank::bundled_files();
        for template in bank.templates() {
            let file = files.iter().find(|file| file.stem() == template.id).unwrap();
            assert_eq!(Heading::of_file(file), Some(Heading::of(template)));
        }
    }

    #[test]
    fn a_file_whose_lines_say_what_cannot_be_is_left_to_be_read() {
        let sound = "castmark: 1\nid: a-mould\ntitle: A mould\nobjective: calibration\n\
            topic: mean-capacity\nlevel: 2\nminutes: 5\n";
        let heading = |text: String| Heading::of_file(&SourceText::new("a-mould.yaml", text));
        assert_eq!(heading(sound.to_owned()).map(|heading| heading.minutes), Some(5));
        for (from, to) in [("level: 2", "level: two"), ("calibration", "casting"), (": 5", ": -5")]
        {
            assert!(sound.contains(from), "{from}");
            assert_eq!(heading(sound.replace(from, to)), None, "{to}");
        }
    }
}
