//! How the papers of a class are put together: by group, by room, or all in one.

use super::{Candidate, Paper};

/// By what papers are put together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Together {
    /// By the group of the class list.
    Group,
    /// By the room of the class list.
    Room,
}

/// Papers that belong together, each with its index in the set.
#[derive(Clone, Debug)]
pub struct Bundle<'a> {
    /// What they have in common; nothing for all of a class, or for those of whom it is not known.
    pub name: Option<String>,
    /// The papers, in the order of their seats and then of the set.
    pub papers: Vec<(usize, &'a Paper)>,
}

impl Together {
    /// The word for one bundle: `group`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Group => "group",
            Self::Room => "room",
        }
    }

    /// What a candidate has of it.
    pub fn of(self, candidate: &Candidate) -> Option<&str> {
        match self {
            Self::Group => candidate.group.as_deref(),
            Self::Room => candidate.room.as_deref(),
        }
    }

    /// Rooms where the class list has any, otherwise groups; nothing where it has neither.
    pub fn usual<'a>(papers: impl Iterator<Item = &'a Paper>) -> Option<Self> {
        let papers: Vec<&Paper> = papers.collect();
        [Self::Room, Self::Group]
            .into_iter()
            .find(|by| papers.iter().any(|paper| by.of(&paper.candidate).is_some()))
    }
}

impl<'a> Bundle<'a> {
    /// The papers put together, by name; those without one come last. Nothing asked for is one bundle.
    pub fn of(papers: &[(usize, &'a Paper)], by: Option<Together>) -> Vec<Self> {
        let name = |paper: &Paper| by.and_then(|by| by.of(&paper.candidate)).map(str::to_owned);
        let mut names: Vec<Option<String>> = papers.iter().map(|(_, paper)| name(paper)).collect();
        names.sort_by(|a, b| a.is_none().cmp(&b.is_none()).then_with(|| a.cmp(b)));
        names.dedup();
        let bundle = |wanted: Option<String>| {
            let mut papers: Vec<(usize, &'a Paper)> =
                papers.iter().filter(|(_, paper)| name(paper) == wanted).copied().collect();
            papers.sort_by_key(|(index, paper)| (seat(&paper.candidate), *index));
            Self { name: wanted, papers }
        };
        names.into_iter().map(bundle).collect()
    }

    /// The seat of the paper at an index of the bundle: that of the class list, or the next number.
    pub fn seat(&self, index: usize) -> String {
        let listed = self.papers.get(index).and_then(|(_, paper)| paper.candidate.seat.clone());
        listed.unwrap_or_else(|| {
            // Where some have seats, a number of our own could be one of theirs.
            let any = self.papers.iter().any(|(_, paper)| paper.candidate.seat.is_some());
            if any { String::new() } else { (index + 1).to_string() }
        })
    }
}

/// Seats in the order of their letters and numbers, so that 10 comes after 9; those without one last.
fn seat(candidate: &Candidate) -> (bool, String, u64, String) {
    let Some(seat) = &candidate.seat else { return (true, String::new(), 0, String::new()) };
    let letters: String = seat.chars().take_while(|letter| !letter.is_ascii_digit()).collect();
    let rest = &seat[letters.len()..];
    let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
    (false, letters, digits.parse().unwrap_or(u64::MAX), rest[digits.len()..].to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seats_are_in_the_order_in_which_people_count() {
        let candidate = |seat: &str| Candidate {
            number: "1".into(),
            name: None,
            group: None,
            room: None,
            seat: (!seat.is_empty()).then(|| seat.into()),
            needs: Vec::new(),
        };
        let mut seats = ["", "A10", "B1", "A9", "12", "2"];
        seats.sort_by_key(|text| seat(&candidate(text)));
        assert_eq!(seats, ["2", "12", "A9", "A10", "B1", ""]);
    }
}
