//! Numbers put into words.

/// The bands by which facility and discrimination are put into words.
///
/// They are conventions from teaching texts, not laws, and a mastery test is rightly easier than
/// they say. A report prints the bands it used.
#[derive(Clone, Debug, PartialEq)]
pub struct Bands {
    /// Facility from which an item is easy.
    pub easy_from: f64,
    /// Facility below which an item is hard.
    pub hard_below: f64,
    /// Correlation from which discrimination is good.
    pub good_from: f64,
    /// Correlation from which discrimination is fair.
    pub fair_from: f64,
    /// The class below which no verdict in words is given.
    pub smallest_class: usize,
}

/// How easy an item was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Facility {
    /// Most got it.
    Easy,
    /// Between easy and hard.
    Middling,
    /// Few got it.
    Hard,
}

/// How well an item told the stronger from the weaker.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Discrimination {
    /// Well.
    Good,
    /// Fairly.
    Fair,
    /// Poorly.
    Poor,
    /// The wrong way round: look at the key.
    Reversed,
}

impl Default for Bands {
    /// 0.70 and 0.30 for facility, 0.30 and 0.20 for discrimination, and no verdict below a class
    /// of 20 (a judgement).
    fn default() -> Self {
        Self { easy_from: 0.7, hard_below: 0.3, good_from: 0.3, fair_from: 0.2, smallest_class: 20 }
    }
}

impl Bands {
    /// Facility in words; `None` for a class too small for a verdict.
    pub fn facility(&self, value: f64, candidates: usize) -> Option<Facility> {
        (candidates >= self.smallest_class).then_some(if value >= self.easy_from {
            Facility::Easy
        } else if value < self.hard_below {
            Facility::Hard
        } else {
            Facility::Middling
        })
    }

    /// Discrimination in words; `None` for a class too small for a verdict.
    pub fn discrimination(&self, value: f64, candidates: usize) -> Option<Discrimination> {
        (candidates >= self.smallest_class).then_some(if value < 0.0 {
            Discrimination::Reversed
        } else if value >= self.good_from {
            Discrimination::Good
        } else if value >= self.fair_from {
            Discrimination::Fair
        } else {
            Discrimination::Poor
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_class_gets_no_verdict() {
        assert_eq!(Bands::default().facility(0.9, 19), None);
        assert_eq!(Bands::default().facility(0.9, 20), Some(Facility::Easy));
    }

    #[test]
    fn a_negative_discrimination_points_at_the_key() {
        let bands = Bands::default();
        assert_eq!(bands.discrimination(-0.01, 30), Some(Discrimination::Reversed));
        assert_eq!(bands.discrimination(0.3, 30), Some(Discrimination::Good));
    }
}
