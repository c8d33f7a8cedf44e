//! A plot of bars, each with its number beside it.

use std::fmt::Write;

use super::escape;

/// Bars from 0 to 100 per cent, one under the other, with a line where enough is reached.
///
/// Nothing depends on colour: bars are filled or hatched, every bar has its number in words, and the
/// description tells what is to be seen.
#[derive(Clone, Debug)]
pub struct Plot {
    /// What is plotted.
    pub title: String,
    /// What is to be seen, in words.
    pub description: String,
    /// What the line stands for.
    pub line: String,
    /// Where the line stands, in per cent.
    pub line_at: u32,
    /// The bars.
    pub bars: Vec<PlotBar>,
}

/// One bar.
#[derive(Clone, Debug)]
pub struct PlotBar {
    /// What it stands for.
    pub label: String,
    /// How long it is, in per cent; above 100 is taken as 100.
    pub percent: u32,
}

/// Lengths are in tenths of a CSS pixel, as in the pictures of moulds.
const LABELS: u32 = 2900;
const HUNDRED: u32 = 3400;
const RIGHT: u32 = 700;
const TOP: u32 = 400;
const ROW: u32 = 300;
const BAR: u32 = 170;
const LETTERS_OF_A_LABEL: usize = 40;

impl Plot {
    /// An inline SVG; `id` begins every id in it, so that a page can hold several.
    pub fn svg(&self, id: &str) -> String {
        let rows = u32::try_from(self.bars.len()).unwrap_or(u32::MAX / ROW / 2);
        let bottom = TOP + ROW * rows;
        let (width, height) = (LABELS + HUNDRED + RIGHT, bottom + 300);
        let mut svg = String::with_capacity(2048 + 400 * self.bars.len());
        let _ = write!(
            svg,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"plot\" viewBox=\"0 0 {width} {height}\" \
             role=\"img\" aria-labelledby=\"{id}-title {id}-desc\" font-size=\"140\" \
             fill=\"currentColor\"><title id=\"{id}-title\">"
        );
        words(&mut svg, &self.title);
        let _ = write!(svg, "</title><desc id=\"{id}-desc\">");
        words(&mut svg, &self.description);
        let _ = write!(
            svg,
            "</desc><pattern id=\"{id}-hatch\" width=\"60\" height=\"60\" \
             patternUnits=\"userSpaceOnUse\"><path d=\"M-15 15 15 -15M0 60 60 0M45 75 75 45\" stroke=\"currentColor\" \
             stroke-width=\"14\"/></pattern>"
        );
        for percent in [0, 25, 50, 75, 100] {
            let x = at(percent);
            let _ = write!(
                svg,
                "<path d=\"M{x} {TOP}V{bottom}\" stroke=\"currentColor\" stroke-width=\"4\" \
                 stroke-opacity=\"0.35\"/><text x=\"{x}\" y=\"{}\" text-anchor=\"middle\">{percent} \
                 %</text>",
                bottom + 180
            );
        }
        let x = at(self.line_at);
        let _ = write!(
            svg,
            "<path d=\"M{x} {}V{bottom}\" stroke=\"currentColor\" stroke-width=\"16\" \
             stroke-dasharray=\"50 30\"/><text x=\"{x}\" y=\"{}\" text-anchor=\"end\">",
            TOP - 60,
            TOP - 110
        );
        words(&mut svg, &self.line);
        svg.push_str("</text>");
        for (y, bar) in (TOP..).step_by(ROW as usize).zip(&self.bars) {
            self.bar(&mut svg, id, y, bar);
        }
        svg.push_str("</svg>");
        svg
    }

    fn bar(&self, svg: &mut String, id: &str, y: u32, bar: &PlotBar) {
        let percent = bar.percent.min(100);
        let text_y = y + 190;
        let _ = write!(svg, "<text x=\"{}\" y=\"{text_y}\" text-anchor=\"end\">", LABELS - 80);
        let mut label: String = bar.label.chars().take(LETTERS_OF_A_LABEL).collect();
        if label.len() < bar.label.len() {
            label.push('…');
        }
        words(svg, &label);
        let fill = if percent >= self.line_at {
            "currentColor".to_owned()
        } else {
            format!("url(#{id}-hatch)")
        };
        let _ = write!(
            svg,
            "</text><rect x=\"{LABELS}\" y=\"{}\" width=\"{}\" height=\"{BAR}\" fill=\"{fill}\" \
             stroke=\"currentColor\" stroke-width=\"10\"/><text x=\"{}\" \
             y=\"{text_y}\">{percent} %</text>",
            y + (ROW - BAR) / 2,
            at(percent) - LABELS,
            LABELS + HUNDRED + 60
        );
    }
}

/// Where a percentage lies.
fn at(percent: u32) -> u32 {
    LABELS + HUNDRED / 100 * percent.min(100)
}

fn words(svg: &mut String, text: &str) {
    escape::html(svg, &escape::plain(text));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plot(bars: &[(&str, u32)]) -> String {
        let bar =
            |(label, percent): &(&str, u32)| PlotBar { label: (*label).into(), percent: *percent };
        Plot {
            title: "How far".into(),
            description: "One bar a subject.".into(),
            line: "known".into(),
            line_at: 95,
            bars: bars.iter().map(bar).collect(),
        }
        .svg("p")
    }

    #[test]
    fn every_bar_has_its_name_and_its_number() {
        let svg = plot(&[("two <drugs>", 97), ("one drug", 30)]);
        assert!(svg.contains(">two &lt;drugs&gt;</text>") && svg.contains(">97 %</text>"), "{svg}");
        assert!(svg.contains(">one drug</text>") && svg.contains(">30 %</text>"), "{svg}");
    }

    #[test]
    fn what_is_reached_is_full_and_what_is_not_is_hatched() {
        let svg = plot(&[("a", 95), ("b", 94), ("c", 200)]);
        assert_eq!(svg.matches("fill=\"url(#p-hatch)\"").count(), 1);
        assert_eq!(svg.matches("width=\"3400\"").count(), 1);
    }

    #[test]
    fn a_plot_is_told_in_words_too() {
        let svg = plot(&[]);
        assert!(svg.contains("<title id=\"p-title\">How far</title>"));
        assert!(svg.contains("<desc id=\"p-desc\">One bar a subject.</desc>"));
    }
}
