//! The drawing of a mould as Typst shapes, for pages.
//!
//! The same bars as in the [`Picture`] of a web page. Lengths are shares of the width of the page,
//! and the legend is ordinary text, so that it grows with the letters.

use std::fmt::Write;

use crate::quantity::Exact;

use crate::export::writing::escape;
use crate::export::writing::picture::{Picture, grams};

/// The width of the drawing in hundredths of a per cent.
const FULL: i64 = 10_000;

/// Hatchings, in the order in which masses take them: light for base, heavy for drugs.
const TURNS: [&str; 3] = ["\"rising\"", "\"falling\"", "\"level\""];

impl Picture<'_> {
    /// A figure in Typst markup, with the sentence as its alternative text. The layout has the
    /// functions it calls: `bars`, `bar`, `wall`, `drop` and `legend`.
    pub(in crate::export) fn typst(&self) -> String {
        let mut out = format!("#drawn(alt: {}, ", escape::typst_quoted(&self.sentence()));
        out.push_str("bars({\n");
        let mut legend = String::new();
        let mut laid = Exact::ZERO;
        let mut gaps = Vec::new();
        for (n, (label, mass)) in self.shown.displaced.iter().enumerate() {
            let hatch = format!("light({})", TURNS[n % TURNS.len()]);
            gaps.push(self.bar(&mut out, &mut laid, *mass, 0, &hatch));
            line(&mut legend, &hatch, label, *mass);
        }
        self.bar(&mut out, &mut laid, self.shown.base, 0, "dots");
        line(&mut legend, "dots", "base to weigh", self.shown.base);
        let _ = writeln!(out, "wall({})", share(self.length(self.shown.mould, FULL)));
        let mut laid = Exact::ZERO;
        for (n, (label, mass)) in self.shown.drugs.iter().enumerate() {
            let hatch = format!("heavy({})", TURNS[n % TURNS.len()]);
            let (left, right) = self.bar(&mut out, &mut laid, *mass, 1, &hatch);
            line(&mut legend, &hatch, label, *mass);
            if let Some((gap_left, gap_right)) = gaps.get(n) {
                let _ = writeln!(out, "drop({}, {})", share(*gap_left), share(left));
                let _ = writeln!(out, "drop({}, {})", share(*gap_right), share(right));
            }
        }
        let mould =
            escape::typst_quoted(&format!("The mould holds {} of base", grams(self.shown.mould)));
        let _ = write!(out, "}}), {mould}, (\n{legend}))");
        out
    }

    /// Draws one block from the mass already laid down, adds its own, and tells its two edges.
    fn bar(
        &self,
        out: &mut String,
        laid: &mut Exact,
        mass: Exact,
        row: u8,
        hatch: &str,
    ) -> (i64, i64) {
        let left = self.length(*laid, FULL);
        *laid = laid.add(mass).unwrap_or(*laid);
        let right = self.length(*laid, FULL);
        let _ = writeln!(out, "bar({row}, {}, {}, {hatch})", share(left), share(right - left));
        (left, right)
    }
}

/// One line of the legend.
fn line(legend: &mut String, hatch: &str, label: &str, mass: Exact) {
    let text = escape::typst_quoted(&format!("{label}, {}", grams(mass)));
    let _ = writeln!(legend, "({hatch}, {text}),");
}

/// Hundredths of a per cent, as Typst writes a ratio.
fn share(hundredths: i64) -> String {
    format!("{}.{:02}%", hundredths / 100, hundredths % 100)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::Drawing;

    fn mass(text: &str) -> Exact {
        Exact::parse(text).unwrap()
    }

    #[test]
    fn blocks_are_shares_of_the_width_and_labels_are_strings() {
        let drawing = Drawing {
            mould: mass("20"),
            displaced: vec![("base \"displaced\"".into(), mass("5"))],
            drugs: vec![("zinc #oxide".into(), mass("12"))],
            base: mass("15"),
        };
        let markup = Picture::of(&drawing).unwrap().typst();
        assert!(markup.contains("bar(0, 0.00%, 25.00%, light(\"rising\"))"));
        assert!(markup.contains("bar(0, 25.00%, 75.00%, dots)"));
        assert!(markup.contains("bar(1, 0.00%, 60.00%, heavy(\"rising\"))"));
        assert!(markup.contains("drop(25.00%, 60.00%)"));
        assert!(markup.contains("\"base \\\"displaced\\\", 5.00 g\""));
        assert!(markup.contains("\"zinc #oxide, 12.00 g\""));
    }
}
