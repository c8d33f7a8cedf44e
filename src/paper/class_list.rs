//! The class list.

use std::collections::BTreeMap;
use std::fmt;

use unicode_normalization::UnicodeNormalization;

use super::answers::{LineBreaks, Rows, problem, text_of};
use super::{Candidate, Need};
use crate::words::{Complaint, Complaints, is_hidden};

/// The candidates of a class, in the order of the list.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ClassList {
    /// The candidates.
    pub candidates: Vec<Candidate>,
}

/// One thing wrong with a class list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListProblem {
    /// The line of the file, from 1.
    pub line: u64,
    /// The column, by its heading, where one is to blame.
    pub column: Option<String>,
    /// What was expected, what was found, and what to do.
    pub what: String,
}

impl fmt::Display for ListProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.column {
            Some(column) => write!(f, "line {}, column `{column}`: {}", self.line, self.what),
            None => write!(f, "line {}: {}", self.line, self.what),
        }
    }
}

impl Complaint for ListProblem {
    fn saying(self, what: String) -> Self {
        Self { column: None, what, ..self }
    }
}

/// The longest candidate number and the longest name or group, in characters.
const LONGEST: (usize, usize) = (32, 200);

/// The largest class, far above any that sits one paper.
const LARGEST_CLASS: usize = 1_000_000;

impl ClassList {
    /// Reads a class list: values in UTF-8 with commas or semicolons between them and a line of headings.
    ///
    /// `candidate` must be among the headings; `name`, `group`, `room`, `seat` and `needs` may be, in any
    /// order and any case. Under `needs`, with semicolons, commas or `|` between: `large print`, `extra time`
    /// (25 per cent), `extra time 50`, and notes for the invigilator in words of one's own. A byte-order mark, either line ending and quoted fields are understood;
    /// lines that are wholly blank are passed over.
    ///
    /// # Errors
    /// Everything that is wrong, all at once, each with its line.
    pub fn read(bytes: &[u8]) -> Result<Self, Vec<ListProblem>> {
        let rows = Rows::of(text_of(bytes)?, LineBreaks::Refused)?;
        let headings = Headings::read(rows.headings())?;
        let mut list = Self::default();
        let mut problems = Complaints::new();
        let mut seen: BTreeMap<String, u64> = BTreeMap::new();
        for row in rows {
            if problems.is_enough() {
                break;
            }
            let (line, row) = match row {
                Ok(row) => row,
                Err(problem) => {
                    problems.push(problem);
                    continue;
                }
            };
            if list.candidates.len() >= LARGEST_CLASS {
                problems.push(problem(
                    line,
                    None,
                    format!(
                        "expected at most {LARGEST_CLASS} candidates, found more; split the list"
                    ),
                ));
                break;
            }
            if let Some(candidate) = headings.candidate(&row, line, &mut seen, &mut problems) {
                list.candidates.push(candidate);
            }
        }
        if problems.is_empty() && list.candidates.is_empty() {
            problems.push(problem(
                1,
                None,
                "expected at least one candidate, found none; add one a line",
            ));
        }
        problems.finish(list)
    }
}

/// The headings.
const KNOWN: [&str; 6] = ["candidate", "name", "group", "room", "seat", "needs"];

/// Which column holds what.
struct Headings {
    candidate: usize,
    name: Option<usize>,
    group: Option<usize>,
    room: Option<usize>,
    seat: Option<usize>,
    needs: Option<usize>,
}

impl Headings {
    fn read(headings: &csv::StringRecord) -> Result<Self, Vec<ListProblem>> {
        let mut problems = Complaints::new();
        if !headings.iter().any(|heading| heading.eq_ignore_ascii_case(KNOWN[0])) {
            problems.push(problem(
                1,
                None,
                "expected a heading `candidate`, found none; make the first line \
                 `candidate,name,group,room,seat,needs` or a part of it",
            ));
        }
        let mut find = |wanted: &str| {
            let mut places =
                headings.iter().enumerate().filter(|(_, h)| h.eq_ignore_ascii_case(wanted));
            let first = places.next().map(|(index, _)| index);
            if places.next().is_some() {
                problems.push(problem(
                    1,
                    Some(wanted),
                    "expected the heading once, found it twice; remove or rename one",
                ));
            }
            first
        };
        let [candidate, name, group, room, seat, needs] = KNOWN.map(&mut find);
        for heading in headings {
            if !KNOWN.iter().any(|known| heading.eq_ignore_ascii_case(known)) {
                problems.push(problem(
                    1,
                    Some(heading),
                    "expected `candidate`, `name`, `group`, `room`, `seat` or `needs`, found another \
                     heading; rename or remove the column",
                ));
            }
        }
        match candidate {
            Some(candidate) => problems.finish(Self { candidate, name, group, room, seat, needs }),
            None => Err(problems.into_vec()),
        }
    }

    fn candidate(
        &self,
        row: &csv::StringRecord,
        line: u64,
        seen: &mut BTreeMap<String, u64>,
        problems: &mut Complaints<ListProblem>,
    ) -> Option<Candidate> {
        let before = problems.count();
        let field = |column: Option<usize>| {
            column
                .and_then(|column| row.get(column))
                .filter(|text| !text.is_empty())
                .map(str::to_owned)
        };
        let number = field(Some(self.candidate)).unwrap_or_default();
        if number.is_empty() {
            problems.push(problem(
                line,
                Some("candidate"),
                "expected a candidate number, found a blank; give one or remove the line",
            ));
        } else if number.chars().count() > LONGEST.0 {
            problems.push(problem(
                line,
                Some("candidate"),
                format!("expected at most {} characters, found more; shorten it", LONGEST.0),
            ));
        } else if let Some(hidden) = number.chars().find(|letter| is_hidden(*letter)) {
            problems.push(problem(
                line,
                Some("candidate"),
                format!(
                    "expected characters that can be seen, found U+{:04X} in the number; type the \
                     number again",
                    u32::from(hidden)
                ),
            ));
        } else if let Some(first) = seen.insert(number.nfkc().collect(), line) {
            problems.push(problem(
                line,
                Some("candidate"),
                format!(
                    "candidate {number} is already on line {first}; remove one of the two lines"
                ),
            ));
        }
        let texts =
            [("name", self.name), ("group", self.group), ("room", self.room), ("seat", self.seat)];
        for (heading, column) in texts {
            if field(column).is_some_and(|text| text.chars().count() > LONGEST.1) {
                problems.push(problem(
                    line,
                    Some(heading),
                    format!("expected at most {} characters, found more; shorten it", LONGEST.1),
                ));
            }
        }
        let needs = read_needs(&field(self.needs).unwrap_or_default(), line, problems);
        (problems.count() == before).then(|| Candidate {
            number,
            name: field(self.name),
            group: field(self.group),
            room: field(self.room),
            seat: field(self.seat),
            needs,
        })
    }
}

fn read_needs(text: &str, line: u64, problems: &mut Complaints<ListProblem>) -> Vec<Need> {
    let mut needs = Vec::new();
    for need in text.split([';', ',', '|']).map(str::trim).filter(|need| !need.is_empty()) {
        match Need::read(need) {
            Ok(need) if !needs.contains(&need) => needs.push(need),
            Ok(_) => {}
            Err(what) => problems.push(problem(line, Some("needs"), what)),
        }
    }
    needs.sort_unstable();
    needs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn good(text: &str) -> Vec<Candidate> {
        ClassList::read(text.as_bytes()).unwrap().candidates
    }

    #[track_caller]
    fn bad(text: &[u8], expected: &[&str]) {
        let problems = ClassList::read(text).unwrap_err();
        let messages: Vec<String> = problems.iter().map(ToString::to_string).collect();
        assert_eq!(messages, expected);
    }

    #[test]
    fn reads_columns_in_any_order_with_quotes_a_mark_and_either_line_ending() {
        let list = good(
            "\u{feff}Group,NAME,candidate,needs\r\nTuesday,\"Quill, A.\",0101,\
             large print; extra time 50\r\n\r\n,,0102,extra time\r\n",
        );
        assert_eq!(list.len(), 2);
        assert_eq!(list[0].name.as_deref(), Some("Quill, A."));
        assert_eq!(list[0].needs, [Need::LargePrint, Need::ExtraTime(50)]);
        assert_eq!(list[1].number, "0102");
        assert_eq!(list[1].name, None);
        assert_eq!(list[1].needs, [Need::ExtraTime(25)]);
    }

    #[test]
    fn a_number_has_at_most_32_letters_and_a_name_200() {
        let list = |number: usize, name: usize| {
            format!("candidate,name\n{},{}\n", "1".repeat(number), "a".repeat(name))
        };
        assert_eq!(good(&list(32, 200)).len(), 1);
        let told = |column, most| {
            format!(
                "line 2, column `{column}`: expected at most {most} characters, found more; shorten it"
            )
        };
        let expected = [told("candidate", 32), told("name", 200)];
        for longer in [1, 2] {
            let list = list(32 + longer, 200 + longer);
            bad(list.as_bytes(), &expected.each_ref().map(String::as_str));
        }
    }

    #[test]
    fn a_need_written_twice_is_one() {
        let list = good("candidate,needs\n1,\"large print; extra time 25, large print\"\n");
        assert_eq!(list[0].needs, [Need::LargePrint, Need::ExtraTime(25)]);
    }

    #[test]
    fn semicolons_may_stand_between_the_fields_and_other_marks_between_the_needs() {
        let needs = [Need::LargePrint, Need::ExtraTime(50)];
        for list in [
            "candidate;name;needs\r\n1;Quill, A.;large print, extra time 50\r\n",
            "candidate;needs;name\n1;large print | extra time 50;Quill, A.\n",
            "candidate;name;needs\n1;\"Quill, A.\";\"large print; extra time 50\"\n",
            "candidate,name,needs\n1,\"Quill, A.\",\"large print, extra time 50\"\n",
        ] {
            let list = good(list);
            assert_eq!(list[0].needs, needs);
            assert_eq!(list[0].name.as_deref(), Some("Quill, A."));
        }
        bad(
            b"candidate;needs\n1;large print;extra time\n2;extra time a, larg print\n",
            &[
                "line 2: expected 2 fields, found 3; put a field that holds a semicolon in double \
                 quotes",
                "line 3, column `needs`: expected `extra time` with a per cent from 1 to 200, found \
                 `extra time a`; write `extra time 25`",
                "line 3, column `needs`: expected a need, found `larg print`; did you mean `large print`?",
            ],
        );
    }

    #[test]
    fn a_name_may_hold_anything() {
        let list = good("candidate,name\n1,\"=cmd|'<b>../../$x$\"\"\"\n");
        assert_eq!(list[0].name.as_deref(), Some("=cmd|'<b>../../$x$\""));
    }

    #[test]
    fn reports_blanks_and_doubles_with_their_lines_all_at_once() {
        bad(
            b"candidate,name\r\n1,a\r\n,b\r\n1,c\r\n2,d,e\r\n",
            &[
                "line 3, column `candidate`: expected a candidate number, found a blank; give one or \
                 remove the line",
                "line 4, column `candidate`: candidate 1 is already on line 2; remove one of the two lines",
                "line 5: expected 2 fields, found 3; put a field that holds a comma in double quotes",
            ],
        );
    }

    #[test]
    fn refuses_a_list_without_the_heading() {
        bad(
            b"number\n1\n",
            &[
                "line 1: expected a heading `candidate`, found none; make the first line \
                 `candidate,name,group,room,seat,needs` or a part of it",
                "line 1, column `number`: expected `candidate`, `name`, `group`, `room`, `seat` or \
                 `needs`, found another heading; rename or remove the column",
            ],
        );
    }

    #[test]
    fn a_need_in_words_of_ones_own_is_a_note_for_the_invigilator() {
        let list = good(
            "seat,room,candidate,needs\nA4,Hall 1,1,\"extra time 25; a reader; rest breaks\"\n,,2,\n",
        );
        let note = |text: &str| Need::Note(text.to_owned());
        assert_eq!(list[0].needs, [Need::ExtraTime(25), note("a reader"), note("rest breaks")]);
        assert_eq!(list[0].room.as_deref(), Some("Hall 1"));
        assert_eq!((list[0].seat.as_deref(), list[1].seat.as_deref()), (Some("A4"), None));
    }

    #[test]
    fn a_need_that_is_nearly_one_of_the_known_is_a_mistake() {
        bad(
            b"candidate,needs\n1,large-print\n2,extra time 201\n3,extra-time\n4,Extra tme 25\n",
            &[
                "line 2, column `needs`: expected a need, found `large-print`; did you mean `large print`?",
                "line 3, column `needs`: expected `extra time` with a per cent from 1 to 200, found \
                 `extra time 201`; write `extra time 25`",
                "line 4, column `needs`: expected a need, found `extra-time`; did you mean `extra time`?",
                "line 5, column `needs`: expected a need, found `Extra tme 25`; did you mean `extra time`?",
            ],
        );
    }

    #[test]
    fn refuses_an_empty_class_and_bytes_that_are_no_text() {
        bad(
            b"candidate\n\n",
            &["line 1: expected at least one candidate, found none; add one a line"],
        );
        bad(
            b"candidate\n1\n\xff\n",
            &["line 3: expected text in UTF-8, found other bytes; save the file again as UTF-8"],
        );
    }
}
