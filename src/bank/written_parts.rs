//! What a template asks, as written.

use super::written::Texts;

/// One thing asked: a number, or one of the kinds of theory.
#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PartText {
    pub(super) ask: String,
    pub(super) answer: Option<String>,
    pub(super) unit: Option<String>,
    pub(super) round: Option<String>,
    pub(super) tolerance: Option<String>,
    pub(super) density: Option<String>,
    pub(super) marks: String,
    pub(super) method_marks: Option<String>,
    pub(super) verdict: Option<Vec<VerdictText>>,
    pub(super) one_option: Option<OptionsText>,
    pub(super) several_options: Option<OptionsText>,
    pub(super) true_or_false: Option<JudgementText>,
    pub(super) matching: Option<MatchingText>,
    pub(super) grouping: Option<GroupingText>,
    pub(super) ordering: Option<OrderingText>,
    pub(super) find_error: Option<FindErrorText>,
    pub(super) short_text: Option<ShortText>,
    pub(super) range: Option<RangeText>,
    pub(super) written: Option<WrittenText>,
}

/// One of the verdicts of a part.
#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct VerdictText {
    pub(super) answer: String,
    pub(super) when: Option<String>,
    pub(super) because: Option<String>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OptionsText {
    pub(super) of: Option<String>,
    pub(super) which: Option<String>,
    pub(super) has: Option<String>,
    pub(super) statements: Option<String>,
    pub(super) about: Option<String>,
    pub(super) show: String,
    #[serde(default)]
    pub(super) right: Vec<String>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct JudgementText {
    pub(super) statement: String,
    pub(super) reasons: Option<String>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MatchingText {
    pub(super) rows: String,
    pub(super) left: String,
    pub(super) right: String,
    pub(super) pairs: String,
    pub(super) extra: Option<String>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct GroupingText {
    pub(super) rows: String,
    pub(super) item: String,
    pub(super) group: String,
    #[serde(default)]
    pub(super) among: Vec<String>,
    pub(super) items: String,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OrderingText {
    pub(super) steps: String,
    pub(super) show: String,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FindErrorText {
    pub(super) lines: String,
    pub(super) fault: String,
    pub(super) show: String,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ShortText {
    pub(super) of: String,
    #[serde(default)]
    pub(super) also_column: Vec<String>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RangeText {
    pub(super) of: String,
    pub(super) tolerance: String,
    #[serde(default)]
    pub(super) any_source: bool,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WrittenText {
    pub(super) points: Option<Vec<PointText>>,
    pub(super) of: Option<String>,
    pub(super) lines: String,
}

/// A point of a written answer.
#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PointText {
    pub(super) is: Texts,
    pub(super) source: String,
}
