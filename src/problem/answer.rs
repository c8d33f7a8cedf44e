//! The answer of a key as a candidate would type it, and the sources behind it.

use crate::bank::{Bank, Source};
use crate::quantity::Quantity;

use super::{MatchingKey, NumberKey, Problem, Response, letter};

impl Response {
    /// The key of a numeric part.
    pub fn number(&self) -> Option<&NumberKey> {
        match self {
            Self::Number(key) => Some(key),
            _ => None,
        }
    }

    /// The answer as a candidate would type it: `13.9 g`, `B`, `A C`, `true B`, `1c 2a`, `30 to 36 °C`;
    /// empty for a written answer, which has points instead.
    pub fn answer(&self) -> String {
        let capital = |place: &usize| letter(*place, 'A');
        match self {
            Self::Number(key) => Quantity::new(key.shown, key.unit).to_string(),
            Self::Choice(key) => {
                let right =
                    (0..key.options.len()).filter(|place| key.right.get(*place) == Some(&true));
                right.map(|place| capital(&place)).collect::<Vec<_>>().join(" ")
            }
            Self::Judgement(key) => match &key.right {
                Some(right) => format!("{} {}", key.truth, capital(right)),
                None => key.truth.to_string(),
            },
            Self::Matching(MatchingKey { answers, .. }) => {
                let pair =
                    |(line, place): (usize, &usize)| format!("{}{}", line + 1, letter(*place, 'a'));
                answers.iter().enumerate().map(pair).collect::<Vec<_>>().join(" ")
            }
            Self::Ordering(key) => key.order.iter().map(capital).collect::<Vec<_>>().join(" "),
            Self::Text(key) => key.answers.first().cloned().unwrap_or_default(),
            Self::Range(key) => {
                format!("{} to {} {}", key.low, key.high, key.unit.symbol()).trim_end().to_owned()
            }
            Self::Written(_) => String::new(),
        }
    }

    /// The ids of the sources behind the answer, each once; none for a number, whose sources are
    /// those of its values.
    pub fn sources(&self) -> Vec<&str> {
        let right = |right: &bool| *right;
        let ids: Vec<&str> = match self {
            Self::Number(_) => Vec::new(),
            Self::Choice(key) => {
                let options = key.options.iter().zip(&key.right);
                options
                    .filter(|(_, is)| right(is))
                    .map(|(option, _)| option.source.as_str())
                    .collect()
            }
            Self::Judgement(key) => {
                let reason = key.right.and_then(|right| key.reasons.get(right));
                [key.source.as_str()]
                    .into_iter()
                    .chain(reason.map(|it| it.source.as_str()))
                    .collect()
            }
            Self::Matching(key) => key.sources.iter().map(String::as_str).collect(),
            Self::Ordering(key) => vec![&key.source],
            Self::Text(key) => vec![&key.source],
            Self::Range(key) => vec![&key.source],
            Self::Written(key) => key.points.iter().map(|point| point.source.as_str()).collect(),
        };
        let mut once: Vec<&str> = Vec::new();
        for id in ids {
            if !id.is_empty() && !once.contains(&id) {
                once.push(id);
            }
        }
        once
    }
}

impl Problem {
    /// The sources behind the values and answers, each once, in the order in which they are met.
    pub fn sources<'b>(&self, bank: &'b Bank) -> Vec<&'b Source> {
        let picked = self.draw.picked.iter().flat_map(|(name, option)| {
            let sources =
                self.template.option(name, *option).map(|option| option.sources.as_slice());
            sources.unwrap_or_default().iter().map(String::as_str)
        });
        let answers = self.parts.iter().flat_map(|part| part.response.sources());
        let mut once: Vec<&Source> = Vec::new();
        for source in picked.chain(answers).filter_map(|id| bank.facts().source(id)) {
            if !once.iter().any(|known| known.id == source.id) {
                once.push(source);
            }
        }
        once
    }
}
