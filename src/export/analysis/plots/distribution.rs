//! The distribution of totals as bars.

use crate::analysis::Report;

use super::super::figures::{count, number};
use super::drawing::{Anchor, Drawing, Drawn, WIDE};

const LEFT: f64 = 70.0;
const TOP: f64 = 40.0;
const BOTTOM: f64 = 300.0;

/// A bar for every tenth of the marks, and a dashed line at the mean.
pub(super) fn distribution(report: &Report) -> Drawn {
    let counts = &report.distribution;
    let bars = counts.len().max(1);
    let most = counts.iter().copied().max().unwrap_or(0).max(1);
    let told: Vec<String> = counts
        .iter()
        .enumerate()
        .filter(|(_, count)| **count > 0)
        .map(|(n, here)| {
            format!(
                "{} to {} %: {}",
                100 * n / bars,
                100 * (n + 1) / bars,
                count(*here, "candidate")
            )
        })
        .collect();
    let mut drawing = Drawing::new(
        "totals",
        BOTTOM + 60.0,
        "How many candidates had which part of the marks",
        &format!("{}.", told.join("; ")),
    );
    let wide = WIDE - LEFT - 20.0;
    let x = |share: f64| LEFT + wide * share;
    let y = |count: f64| BOTTOM - (BOTTOM - TOP) * count / most as f64;
    let step = most.div_ceil(5).max(1);
    for tick in (0..=most).step_by(step) {
        let here = y(tick as f64);
        drawing.line((LEFT, here), (x(1.0), here));
        drawing.words((LEFT - 8.0, here + 5.0), Anchor::End, &tick.to_string());
    }
    for (n, count) in counts.iter().enumerate() {
        let (from, to) = (n as f64 / bars as f64, (n + 1) as f64 / bars as f64);
        let top = y(*count as f64);
        if *count > 0 {
            drawing.hatched((x(from) + 3.0, top), (x(to) - x(from) - 6.0, BOTTOM - top));
        }
        drawing.words((x(from), BOTTOM + 20.0), Anchor::Middle, &(100 * n / bars).to_string());
    }
    drawing.words((x(1.0), BOTTOM + 20.0), Anchor::Middle, "100");
    drawing.axis((LEFT, BOTTOM), (x(1.0), BOTTOM));
    if let Some(mean) = report.reliability.mean.ok().filter(|_| report.of > 0.0) {
        let here = x(mean / report.of);
        drawing.dashed((here, TOP - 14.0), (here, BOTTOM));
        drawing.words((here, TOP - 20.0), Anchor::Middle, &format!("mean {}", number(mean)));
    }
    drawing.words((x(0.5), BOTTOM + 46.0), Anchor::Middle, "per cent of the marks");
    drawing.upward((20.0, f64::midpoint(TOP, BOTTOM)), "candidates");
    drawing.finish()
}
