//! The mould, the base displaced and the drug, drawn to scale.
//!
//! All bars have one height, so areas are in proportion to masses. A drug is drawn under the base
//! it takes the place of, hatched in the same direction but heavier, so that nothing depends on
//! colour. The same facts are given as a sentence and as bars of characters.

use std::fmt::Write;

use crate::problem::Drawing;
use crate::quantity::{Exact, Rounding};

use crate::export::writing::escape;

/// A drawing that can be drawn: its masses are there and not negative.
#[derive(Clone, Copy, Debug)]
pub struct Picture<'a> {
    pub(in crate::export) shown: &'a Drawing,
    /// The mass that fills the whole width.
    widest: Exact,
}

/// One bar of characters.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bar {
    /// What the bar stands for.
    pub label: String,
    /// Its mass: `1.67 g`.
    pub mass: String,
    /// The characters.
    pub characters: String,
}

/// Lengths are in tenths of a CSS pixel, all whole numbers.
const WIDTH: i64 = 3600;
const EDGE: i64 = 20;
const INNER: i64 = WIDTH - 2 * EDGE;
const BAR: i64 = 420;
const GAP: i64 = 190;
const TOP: i64 = 210;
const LINE: i64 = 185;
const LETTERS_IN_A_LINE: usize = 48;

impl<'a> Picture<'a> {
    /// The picture of a drawing; `None` when a mass is negative or the mould holds nothing.
    pub fn of(drawing: &'a Drawing) -> Option<Self> {
        let total = |masses: &[(String, Exact)]| {
            masses.iter().try_fold(Exact::ZERO, |sum, (_, mass)| {
                if mass.is_negative() { None } else { sum.add(*mass).ok() }
            })
        };
        if !drawing.mould.is_positive() || drawing.base.is_negative() {
            return None;
        }
        let filled = total(&drawing.displaced)?.add(drawing.base).ok()?;
        let widest = drawing.mould.max(filled).max(total(&drawing.drugs)?);
        Some(Self { shown: drawing, widest })
    }

    /// What the drawing shows, in words.
    pub fn sentence(&self) -> String {
        let listed = |masses: &[(String, Exact)]| {
            let texts: Vec<String> =
                masses.iter().map(|(label, mass)| format!("{} ({label})", grams(*mass))).collect();
            match texts.split_last() {
                Some((last, rest)) if !rest.is_empty() => {
                    format!("{} and {last}", rest.join(", "))
                }
                _ => texts.concat(),
            }
        };
        let mut text = format!("The mould holds {} of base. ", grams(self.shown.mould));
        if !self.shown.displaced.is_empty() && !self.shown.drugs.is_empty() {
            let verb = if self.shown.displaced.len() == 1 { "gives" } else { "give" };
            let displaced = listed(&self.shown.displaced);
            let drugs = listed(&self.shown.drugs);
            let _ = write!(text, "Of that, {displaced} {verb} way to {drugs}. ");
        }
        let _ = write!(text, "The base to weigh is {}.", grams(self.shown.base));
        text
    }

    /// Bars of characters, the longest `width` characters wide: what gives way, what is weighed,
    /// then the drugs.
    pub fn bars(&self, width: usize) -> Vec<Bar> {
        let widest = i64::try_from(width).unwrap_or(i64::MAX);
        let bar = |label: &str, mass: Exact, mark: &str| Bar {
            label: label.to_owned(),
            mass: grams(mass),
            characters: mark.repeat(usize::try_from(self.length(mass, widest).max(1)).unwrap_or(1)),
        };
        let mut bars = Vec::new();
        for (label, mass) in &self.shown.displaced {
            bars.push(bar(label, *mass, "/"));
        }
        bars.push(bar("base to weigh", self.shown.base, "."));
        for (label, mass) in &self.shown.drugs {
            bars.push(bar(label, *mass, "#"));
        }
        bars
    }

    /// An inline SVG; `id` begins every id in it, so that a page can hold several.
    pub fn svg(&self, id: &str) -> String {
        let legend = self.legend();
        let lines: usize = legend.iter().map(|entry| entry.lines.len()).sum();
        let bars = if self.shown.drugs.is_empty() { BAR } else { 2 * BAR + GAP };
        let height = TOP + bars + 60 + LINE * i64::try_from(lines).unwrap_or(1);
        let mut svg = String::with_capacity(4096);
        let _ = write!(
            svg,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"mould\" viewBox=\"0 0 {WIDTH} \
             {height}\" role=\"img\" aria-labelledby=\"{id}-title {id}-desc\" \
             font-size=\"132\" fill=\"currentColor\" stroke=\"none\">\
             <title id=\"{id}-title\">What fills the mould, to scale</title>\
             <desc id=\"{id}-desc\">"
        );
        escape::html(&mut svg, &escape::plain(&self.sentence()));
        svg.push_str("</desc>");
        self.patterns(&mut svg, id);
        let _ = write!(
            svg,
            "<text x=\"{EDGE}\" y=\"140\">The mould holds {} of base</text>",
            grams(self.shown.mould)
        );
        self.shapes(&mut svg, id);
        let mut y = TOP + bars + 60;
        for entry in &legend {
            let _ = write!(
                svg,
                "<rect x=\"{EDGE}\" y=\"{}\" width=\"200\" height=\"120\" fill=\"url(#{id}-{})\" \
                 stroke=\"currentColor\" stroke-width=\"10\"/>",
                y + 35,
                entry.pattern
            );
            for line in &entry.lines {
                let _ = write!(svg, "<text x=\"{}\" y=\"{}\">", EDGE + 280, y + 140);
                escape::html(&mut svg, &escape::plain(line));
                svg.push_str("</text>");
                y += LINE;
            }
        }
        svg.push_str("</svg>");
        svg
    }

    /// The bars of the mould and the drugs, with lines from the base displaced to its drug.
    fn shapes(&self, svg: &mut String, id: &str) {
        let below = TOP + BAR + GAP;
        let mut mass = Exact::ZERO;
        let mut gaps = Vec::new();
        for (n, (_, displaced)) in self.shown.displaced.iter().enumerate() {
            gaps.push(self.block(svg, &mut mass, *displaced, TOP, &format!("{id}-light{}", n % 3)));
        }
        self.block(svg, &mut mass, self.shown.base, TOP, &format!("{id}-base"));
        let wall = self.length(self.shown.mould, INNER);
        let _ = write!(
            svg,
            "<rect x=\"{EDGE}\" y=\"{TOP}\" width=\"{wall}\" height=\"{BAR}\" rx=\"12\" \
             fill=\"none\" stroke=\"currentColor\" stroke-width=\"28\"/>"
        );
        let mut mass = Exact::ZERO;
        for (n, (_, drug)) in self.shown.drugs.iter().enumerate() {
            let (left, right) =
                self.block(svg, &mut mass, *drug, below, &format!("{id}-heavy{}", n % 3));
            let Some((gap_left, gap_right)) = gaps.get(n) else { continue };
            let top = TOP + BAR + 20;
            let bottom = below - 10;
            let _ = write!(
                svg,
                "<path d=\"M{gap_left} {top}L{left} {bottom}M{gap_right} {top}L{right} {bottom}\" \
                 fill=\"none\" stroke=\"currentColor\" stroke-width=\"8\" \
                 stroke-dasharray=\"40 30\"/>"
            );
        }
    }

    /// Draws one block from the mass already laid down, adds its own, and tells its two edges.
    fn block(
        &self,
        svg: &mut String,
        laid: &mut Exact,
        mass: Exact,
        y: i64,
        pattern: &str,
    ) -> (i64, i64) {
        let left = EDGE + self.length(*laid, INNER);
        *laid = laid.add(mass).unwrap_or(*laid);
        let right = EDGE + self.length(*laid, INNER);
        let width = right - left;
        let _ = write!(
            svg,
            "<rect x=\"{left}\" y=\"{y}\" width=\"{width}\" height=\"{BAR}\" \
             fill=\"url(#{pattern})\" stroke=\"currentColor\" stroke-width=\"10\"/>"
        );
        (left, right)
    }

    /// The hatchings that are used: dots for base, light lines for what gives way, heavy for drugs.
    fn patterns(&self, svg: &mut String, id: &str) {
        svg.push_str("<defs>");
        let _ = write!(
            svg,
            "<pattern id=\"{id}-base\" width=\"72\" height=\"72\" patternUnits=\"userSpaceOnUse\">\
             <circle cx=\"36\" cy=\"36\" r=\"8\"/></pattern>"
        );
        let mut lines = |name: &str, count: usize, thickness: u8| {
            for (n, turn) in [45, 135, 0].iter().enumerate().take(count) {
                let _ = write!(
                    svg,
                    "<pattern id=\"{id}-{name}{n}\" width=\"60\" height=\"60\" \
                     patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate({turn})\">\
                     <rect width=\"60\" height=\"{thickness}\"/></pattern>"
                );
            }
        };
        lines("light", self.shown.displaced.len(), 9);
        lines("heavy", self.shown.drugs.len(), 32);
        svg.push_str("</defs>");
    }

    fn legend(&self) -> Vec<Legend> {
        let entry = |pattern: String, label: &str, mass: Exact| {
            let text = format!("{label}, {}", grams(mass));
            let lines = textwrap::wrap(&text, LETTERS_IN_A_LINE);
            Legend { pattern, lines: lines.into_iter().map(String::from).collect() }
        };
        let mut legend = Vec::new();
        for (n, (label, mass)) in self.shown.displaced.iter().enumerate() {
            legend.push(entry(format!("light{}", n % 3), label, *mass));
        }
        legend.push(entry("base".to_owned(), "base to weigh", self.shown.base));
        for (n, (label, mass)) in self.shown.drugs.iter().enumerate() {
            legend.push(entry(format!("heavy{}", n % 3), label, *mass));
        }
        legend
    }

    /// The length of a mass where the widest is `full` long, to the nearest whole number.
    pub(in crate::export) fn length(&self, mass: Exact, full: i64) -> i64 {
        mass.mul(Exact::whole(full))
            .and_then(|scaled| scaled.div(self.widest))
            .ok()
            .and_then(|length| i64::try_from(length.to_places(0).mantissa()).ok())
            .unwrap_or(0)
    }
}

/// One line of the legend under the bars.
struct Legend {
    pattern: String,
    lines: Vec<String>,
}

/// A mass as the drawing writes it: hundredths of a gram, or three figures below 1 g.
pub(in crate::export) fn grams(mass: Exact) -> String {
    let rounding = if mass < Exact::ONE { Rounding::Figures(3) } else { Rounding::Places(2) };
    format!("{} g", rounding.of_result(mass))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mass(text: &str) -> Exact {
        Exact::parse(text).unwrap()
    }

    fn drawing() -> Drawing {
        Drawing {
            mould: mass("24.48"),
            displaced: vec![("base displaced".into(), mass("1.67"))],
            drugs: vec![("zinc oxide <b>".into(), mass("8.35"))],
            base: mass("22.81"),
        }
    }

    #[test]
    fn says_in_words_what_it_shows() {
        let drawing = drawing();
        assert_eq!(
            Picture::of(&drawing).unwrap().sentence(),
            "The mould holds 24.48 g of base. Of that, 1.67 g (base displaced) gives way to \
             8.35 g (zinc oxide <b>). The base to weigh is 22.81 g."
        );
    }

    #[test]
    fn bars_are_in_proportion() {
        let drawing = drawing();
        let bars = Picture::of(&drawing).unwrap().bars(49);
        let lengths: Vec<usize> = bars.iter().map(|bar| bar.characters.len()).collect();
        // 49 marks for 24.48 g: 1.67 g is 3.3, 22.81 g is 45.7, 8.35 g is 16.7.
        assert_eq!(lengths, [3, 46, 17]);
    }

    #[test]
    fn blocks_meet_without_a_gap_and_fill_the_mould() {
        let drawing = drawing();
        let picture = Picture::of(&drawing).unwrap();
        let mut svg = String::new();
        let mut laid = Exact::ZERO;
        let (_, first_ends) = picture.block(&mut svg, &mut laid, mass("1.67"), 0, "p");
        let (second_begins, second_ends) =
            picture.block(&mut svg, &mut laid, mass("22.81"), 0, "p");
        assert_eq!(first_ends, second_begins);
        assert_eq!(second_ends, EDGE + INNER);
    }

    #[test]
    fn labels_are_escaped_in_the_picture() {
        let drawing = drawing();
        let svg = Picture::of(&drawing).unwrap().svg("d1");
        assert!(svg.contains("zinc oxide &lt;b&gt;, 8.35 g"));
        assert!(!svg.contains("<b>"));
    }

    #[test]
    fn refuses_a_negative_mass_and_an_empty_mould() {
        let negative = Drawing { base: mass("-0.01"), ..drawing() };
        let empty = Drawing { mould: Exact::ZERO, ..drawing() };
        let drug = Drawing { drugs: vec![("drug".into(), mass("-1"))], ..drawing() };
        for bad in [negative, empty, drug] {
            assert!(Picture::of(&bad).is_none());
        }
    }
}
