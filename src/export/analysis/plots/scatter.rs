//! Facility against discrimination, a point an item.

use crate::analysis::Report;

use super::super::figures::number;
use super::super::items::are_numbered;
use super::drawing::{Anchor, Drawing, Drawn, WIDE};

const LEFT: f64 = 80.0;
const TOP: f64 = 30.0;
const BOTTOM: f64 = 400.0;

/// How much room a letter and a line of a label need.
const LETTER: f64 = 8.0;
const LINE: f64 = 15.0;

/// One point with its label.
struct Point {
    label: String,
    facility: f64,
    item_rest: f64,
}

/// A plot of the items; `None` when none has both numbers. Beside it whether labels are row numbers.
pub(super) fn scatter(report: &Report) -> Option<(Drawn, bool)> {
    let numbered = are_numbered(report);
    let points: Vec<Point> = report
        .items
        .iter()
        .enumerate()
        .filter_map(|(n, row)| {
            Some(Point {
                label: if numbered { (n + 1).to_string() } else { row.item.name.clone() },
                facility: row.item.facility.ok()?,
                item_rest: row.item.item_rest.ok()?,
            })
        })
        .collect();
    if points.is_empty() {
        return None;
    }
    let told: Vec<String> = points
        .iter()
        .map(|point| {
            let (facility, item_rest) = (number(point.facility), number(point.item_rest));
            format!("{}: facility {facility}, item-rest {item_rest}", point.label)
        })
        .collect();
    let mut drawing = Drawing::new(
        "items",
        BOTTOM + 60.0,
        "Facility and discrimination of the items",
        &format!("{}.", told.join("; ")),
    );
    let lowest = points.iter().map(|point| point.item_rest).fold(0.0, f64::min);
    // The axis begins at a whole fifth below every point.
    let fifths = (1..=5).find(|n| f64::from(-*n) / 5.0 <= lowest).unwrap_or(5);
    let low = -f64::from(fifths) / 5.0;
    let x = |facility: f64| LEFT + (WIDE - LEFT - 40.0) * facility;
    let y = |item_rest: f64| BOTTOM - (BOTTOM - TOP) * (item_rest - low) / (1.0 - low);
    for n in 0..=5 {
        let facility = f64::from(n) / 5.0;
        drawing.line((x(facility), TOP), (x(facility), BOTTOM));
        drawing.words((x(facility), BOTTOM + 20.0), Anchor::Middle, &format!("{facility:.1}"));
    }
    for n in -fifths..=5 {
        let item_rest = f64::from(n) / 5.0;
        drawing.line((x(0.0), y(item_rest)), (x(1.0), y(item_rest)));
        drawing.words((LEFT - 8.0, y(item_rest) + 5.0), Anchor::End, &format!("{item_rest:.1}"));
    }
    drawing.axis((x(0.0), y(0.0)), (x(1.0), y(0.0)));
    bands(&mut drawing, report, &x, &y);
    draw(&mut drawing, &points, &x, &y);
    drawing.words((x(0.5), BOTTOM + 46.0), Anchor::Middle, "facility: hard to easy");
    drawing.upward((24.0, f64::midpoint(TOP, BOTTOM)), "correlation with the other items");
    Some((drawing.finish(), numbered))
}

/// Borders of the bands, where a verdict is given at all.
fn bands(drawing: &mut Drawing, report: &Report, x: &dyn Fn(f64) -> f64, y: &dyn Fn(f64) -> f64) {
    if report.is_small() {
        return;
    }
    let bands = &report.settings.bands;
    for facility in [bands.hard_below, bands.easy_from] {
        drawing.dashed((x(facility), TOP), (x(facility), BOTTOM));
    }
    drawing.words((x(bands.hard_below) - 6.0, TOP - 8.0), Anchor::End, "hard");
    drawing.words((x(bands.easy_from) + 6.0, TOP - 8.0), Anchor::Start, "easy");
    drawing.dashed((x(0.0), y(bands.fair_from)), (x(1.0), y(bands.fair_from)));
    drawing.words((x(1.0) + 4.0, y(bands.fair_from) + 5.0), Anchor::Start, "fair");
}

/// The points, each label at the first of several places about its point where it covers nothing.
fn draw(drawing: &mut Drawing, points: &[Point], x: &dyn Fn(f64) -> f64, y: &dyn Fn(f64) -> f64) {
    let centres: Vec<(f64, f64)> =
        points.iter().map(|point| (x(point.facility), y(point.item_rest))).collect();
    let mut taken: Vec<[f64; 4]> =
        centres.iter().map(|(x, y)| [x - 5.0, y - 5.0, x + 5.0, y + 5.0]).collect();
    for (point, at) in points.iter().zip(&centres) {
        drawing.point(*at);
        let wide = LETTER * point.label.chars().count() as f64;
        let about = (1..=4).map(f64::from).flat_map(|n| {
            let (far, rise) = (8.0, LINE * (n - 1.0));
            [
                (at.0 + far, at.1 + 5.0 - rise),
                (at.0 - far - wide, at.1 + 5.0 - rise),
                (at.0 + far, at.1 + 5.0 + rise),
                (at.0 - far - wide, at.1 + 5.0 + rise),
                (at.0 - wide / 2.0, at.1 - 9.0 - rise),
                (at.0 - wide / 2.0, at.1 + 19.0 + rise),
            ]
        });
        let area = |(x, y): (f64, f64)| [x, y - 12.0, x + wide, y + 3.0];
        let free = |corner: &(f64, f64)| {
            let new = area(*corner);
            new[2] < WIDE && !taken.iter().any(|old| overlap(old, &new))
        };
        let corner = about.clone().find(free).unwrap_or((at.0 + 8.0, at.1 + 5.0));
        taken.push(area(corner));
        drawing.words(corner, Anchor::Start, &point.label);
    }
}

fn overlap(one: &[f64; 4], other: &[f64; 4]) -> bool {
    one[0] < other[2] && other[0] < one[2] && one[1] < other[3] && other[1] < one[3]
}
