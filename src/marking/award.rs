//! What an answer earns, decided in one place.
//!
//! Standing, rule and words are read from the award; nothing works marks out a second time.

use super::{Cause, Cost, Counts, Fault, Finding, FollowThrough, Note, Rule, Settings, Sharing};

/// What an answer earns, by which rule, and what was forgiven.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Award {
    /// The marks it earns.
    pub marks: u32,
    /// The marks it could earn.
    pub of: u32,
    /// The rule that decided.
    pub rule: Rule,
    /// The faults that would have cost marks and are counted at another answer.
    pub forgiven: Vec<Fault>,
}

/// What the marks depend on besides the answer itself.
#[derive(Clone, Copy, Debug)]
pub(super) struct Situation<'a> {
    /// The marks the answer could earn.
    pub of: u32,
    /// How many of them are for the method.
    pub method: u32,
    /// Whether it is a step of the working, which earns no marks.
    pub is_step: bool,
    /// The rules of marking.
    pub settings: &'a Settings,
    /// The faults that are counted at another answer.
    pub forgiven: Faults,
}

/// A set of faults.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Faults {
    /// Whether a wrong unit is among them.
    pub unit: bool,
    /// Whether a wrong rounding is.
    pub rounding: bool,
}

impl Faults {
    fn contains(self, fault: Fault) -> bool {
        match fault {
            Fault::Unit => self.unit,
            Fault::Rounding => self.rounding,
        }
    }
}

/// A fault that an answer has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Present {
    fault: Fault,
    /// Whether it costs marks each time, whatever is counted once.
    each_time: bool,
}

/// What an answer earns: the only place that decides it.
pub(super) fn award(finding: &Finding, notes: &[Note], at: &Situation<'_>) -> Award {
    let (whole, rule) = by_finding(finding, notes, at);
    let present = present(finding, notes, at.settings);
    let charged = |forgiven: Faults| -> Vec<Fault> {
        let faults = present.iter().filter(|one| {
            let never = at.settings.counts(one.fault) == Counts::Never;
            one.each_time || !never && !forgiven.contains(one.fault)
        });
        faults.map(|one| one.fault).collect()
    };
    let faults = charged(at.forgiven);
    let marks = whole.min(left(&faults, at));
    let all = charged(Faults::default());
    let forgiven: Vec<Fault> = all.iter().copied().filter(|one| !faults.contains(one)).collect();
    let costly = faults.iter().copied().min_by_key(|fault| left(&[*fault], at));
    let rule = match costly {
        Some(Fault::Unit) if marks < whole => Rule::Unit,
        Some(Fault::Rounding) if marks < whole => Rule::Rounding,
        _ if marks > whole.min(left(&all, at)) => Rule::CountedOnce,
        _ => rule,
    };
    Award { marks, of: at.of, rule, forgiven }
}

/// The faults of an answer that may be forgiven at another one's cost, each once.
pub(super) fn forgivable(finding: &Finding, notes: &[Note], settings: &Settings) -> Vec<Fault> {
    let once = |fault: Fault| matches!(settings.counts(fault), Counts::Question | Counts::Paper);
    let present = present(finding, notes, settings);
    let free = present.iter().filter(|one| !one.each_time && once(one.fault));
    free.map(|one| one.fault).collect()
}

/// The marks that the finding earns before any fault is charged.
fn by_finding(finding: &Finding, notes: &[Note], at: &Situation<'_>) -> (u32, Rule) {
    let Situation { of, method, settings, .. } = *at;
    match finding {
        Finding::Unread(_) => return (0, Rule::Unread),
        Finding::ByHand(_) => return (0, Rule::ByHand),
        _ if at.is_step => return (0, Rule::Step),
        Finding::Pieces(pieces) => return (pieces.marks(of), Rule::Share(pieces.sharing())),
        Finding::Follows(_) => {
            let all = settings.follow_through == FollowThrough::All || method == 0;
            return (if all { of } else { method.min(of) }, Rule::FollowThrough);
        }
        Finding::Accepted(_) | Finding::Known(_) | Finding::Unexplained(_) => {}
    }
    let (marks, rule) = match finding {
        Finding::Accepted(_) => (of, Rule::RightAnswer),
        Finding::Known(causes) => by_causes(causes, at),
        _ if notes.iter().any(is_not_followed) => (0, Rule::NotFollowed),
        _ => (0, Rule::NoMethod),
    };
    let is_working = |note: &Note| matches!(note, Note::WorkingWrong { .. });
    if marks > 0 && notes.iter().any(is_working) {
        let left = marks.saturating_sub(method);
        return (if settings.accuracy_needs_method { 0 } else { left }, Rule::Working);
    }
    (marks, rule)
}

fn is_not_followed(note: &Note) -> bool {
    matches!(note, Note::FollowsTrivially | Note::FollowsSenselessly)
}

fn by_causes(causes: &[Cause], at: &Situation<'_>) -> (u32, Rule) {
    let Situation { of, method, settings, .. } = *at;
    let has = |wanted: fn(&Cause) -> bool| causes.iter().any(wanted);
    // A wrong rule that leads to the very same number is then just the cause of it.
    if has(|one| matches!(one, Cause::PowerOfTen(_))) {
        return (settings.moved_point_costs.leaves(of, method), Rule::MovedPoint);
    }
    if has(|one| matches!(one, Cause::WrongUnit { .. })) {
        return (of, Rule::Unit);
    }
    let is_slip = has(|one| matches!(one, Cause::Slip { .. }));
    // A coarse number that could have come of a wrong rule does not show the right one.
    if has(|one| matches!(one, Cause::TooCoarse { .. } | Cause::CutShort { .. })) && !is_slip {
        return (of, Rule::Rounding);
    }
    if has(|one| matches!(one, Cause::OtherTerm(_))) {
        return (0, Rule::Share(Sharing::Whole));
    }
    if has(|one| matches!(one, Cause::Slip { keeps_method: true, .. })) {
        return (method.min(of), Rule::OneSlip);
    }
    (0, Rule::NoMethod)
}

/// Every fault that is present.
fn present(finding: &Finding, notes: &[Note], settings: &Settings) -> Vec<Present> {
    let mut found: Vec<Present> = Vec::new();
    let mut add =
        |fault: Fault, each_time: bool| match found.iter_mut().find(|it| it.fault == fault) {
            Some(known) => known.each_time |= each_time,
            None => found.push(Present { fault, each_time }),
        };
    for cause in finding.causes() {
        match cause {
            Cause::WrongUnit { thousandfold, .. } => {
                add(Fault::Unit, *thousandfold && !settings.thousandfold_is_counted_once);
            }
            Cause::TooCoarse { gross, .. } | Cause::CutShort { gross, .. } => {
                add(Fault::Rounding, *gross && !settings.gross_rounding_is_counted_once);
            }
            _ => {}
        }
    }
    for note in notes {
        match note {
            Note::UnitMissing { .. } if settings.unit_must_be_written => add(Fault::Unit, false),
            Note::FewPlaces { .. } if settings.places_must_be_written => {
                add(Fault::Rounding, false);
            }
            _ => {}
        }
    }
    found
}

/// What these faults leave of all marks. The marks for accuracy can be lost only once.
fn left(faults: &[Fault], at: &Situation<'_>) -> u32 {
    let costs = || faults.iter().map(|fault| at.settings.costs(*fault));
    let accuracy = if costs().any(|cost| cost == Cost::Accuracy) {
        at.of.saturating_sub(at.method)
    } else {
        0
    };
    let others = costs().filter(|cost| *cost != Cost::Accuracy);
    let others: u32 = others.map(|cost| at.of.saturating_sub(cost.leaves(at.of, at.method))).sum();
    at.of.saturating_sub(accuracy).saturating_sub(others)
}
