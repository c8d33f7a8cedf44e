//! The columns of a table of marks given by hand.

use super::ListProblem;
use super::answers::problem;
use crate::words::Complaints;

/// The headings that must be there.
const NEEDED: [&str; 7] = ["candidate", "question", "part", "marks", "who", "why", "when"];

/// Those of a second marker.
const SECOND: [&str; 3] = ["second", "second_who", "agreed"];

/// Which column holds what.
pub(super) struct Columns {
    needed: [usize; 7],
    second: [Option<usize>; 3],
}

/// What a row says; a blank where there is no column.
pub(super) struct Cells<'r> {
    pub candidate: &'r str,
    pub question: &'r str,
    pub part: &'r str,
    pub marks: &'r str,
    pub who: &'r str,
    pub why: &'r str,
    pub when: &'r str,
    pub second: &'r str,
    pub second_who: &'r str,
    pub agreed: &'r str,
}

impl Columns {
    /// The columns by their headings; others are passed over.
    ///
    /// # Errors
    /// Those that are missing or there twice.
    pub(super) fn of(headings: &csv::StringRecord) -> Result<Self, Vec<ListProblem>> {
        let mut problems = Complaints::new();
        let mut find = |wanted: &str, needed: bool| {
            let mut found =
                headings.iter().enumerate().filter(|(_, text)| text.eq_ignore_ascii_case(wanted));
            let index = found.next().map(|(index, _)| index);
            if index.is_none() && needed {
                let what = format!("expected a heading `{wanted}`, found none; add the column");
                problems.push(problem(1, None, what));
            }
            if found.next().is_some() {
                let what = "expected the heading once, found it twice; remove or rename one";
                problems.push(problem(1, Some(wanted), what));
            }
            index
        };
        let needed = NEEDED.map(|wanted| find(wanted, true).unwrap_or_default());
        let second = SECOND.map(|wanted| find(wanted, false));
        problems.finish(Self { needed, second })
    }

    /// The cells of a row.
    pub(super) fn cells<'r>(&self, row: &'r csv::StringRecord) -> Cells<'r> {
        let [candidate, question, part, marks, who, why, when] =
            self.needed.map(|column| row.get(column).unwrap_or_default());
        let [second, second_who, agreed] =
            self.second.map(|column| column.and_then(|it| row.get(it)).unwrap_or_default());
        Cells { candidate, question, part, marks, who, why, when, second, second_who, agreed }
    }
}

/// Whether the text is a day: `2026-05-20`.
pub(super) fn is_day(text: &str) -> bool {
    let fields: Vec<&str> = text.split('-').collect();
    let [year, month, day] = fields.as_slice() else { return false };
    let number = |text: &str, length: usize| {
        let digits = text.len() == length && text.bytes().all(|byte| byte.is_ascii_digit());
        digits.then(|| text.parse::<u32>().ok()).flatten()
    };
    let (Some(year), Some(month), Some(day)) = (number(year, 4), number(month, 2), number(day, 2))
    else {
        return false;
    };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        4 | 6 | 9 | 11 => 30,
        2 => 28 + u32::from(leap),
        1..=12 => 31,
        _ => 0,
    };
    (1..=days).contains(&day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_one_of_the_calendar() {
        // Thirty days have April, June, September and November; of centuries, those are leap years that
        // 400 divides.
        for day in ["2026-01-31", "2026-04-30", "2026-12-31", "2028-02-29", "2000-02-29"] {
            assert!(is_day(day), "{day}");
        }
        for day in
            ["2026-04-31", "2026-06-31", "2026-09-31", "2026-11-31", "2026-02-29", "1900-02-29"]
        {
            assert!(!is_day(day), "{day}");
        }
        for text in ["2026-13-01", "2026-00-10", "2026-05-00", "2026-5-20", "20-05-2026", "2026-05"]
        {
            assert!(!is_day(text), "{text}");
        }
    }
}
