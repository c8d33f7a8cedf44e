//! The plots of a student's progress, as wide as a phone.

use std::fmt::Write;

use crate::export::writing::escape;

/// The width, in units that are one CSS pixel on a phone 360 pixels wide, so that letters of 13 units
/// stay readable there.
const WIDTH: usize = 328;
const LETTERS: usize = 13;
const ROW: usize = 46;
const BAR: usize = 16;

/// Bars of three shares, one under the other, each with its words above it.
///
/// Nothing depends on colour: the first share is filled, the second hatched, the third empty.
#[derive(Clone, Debug)]
pub struct Shares {
    /// What is plotted.
    pub title: String,
    /// The bars: the words, and the three numbers.
    pub bars: Vec<(String, [usize; 3])>,
}

/// A number that grows from day to day, with what is expected of it.
#[derive(Clone, Debug)]
pub struct Course {
    /// What is plotted.
    pub title: String,
    /// The days in order, each with the number at its end.
    pub days: Vec<(i64, usize)>,
    /// The day and the number expected.
    pub expected: Option<(i64, usize)>,
    /// The most the number can be.
    pub most: usize,
    /// How a day is written.
    pub written: fn(i64) -> String,
}

impl Shares {
    /// An inline SVG; `id` begins every id in it, so that a page can hold several.
    pub fn svg(&self, id: &str) -> String {
        let told: Vec<&str> = self.bars.iter().map(|(words, _)| words.as_str()).collect();
        let height = ROW * self.bars.len();
        let mut svg = opened(id, height, &self.title, &told.join("; "));
        let _ = write!(
            svg,
            "<pattern id=\"{id}-hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\">\
             <path d=\"M-2 2 2 -2M0 6 6 0M4 8 8 4\" stroke=\"currentColor\" stroke-width=\"1.4\"/>\
             </pattern>"
        );
        for (row, (words, shares)) in self.bars.iter().enumerate() {
            let y = ROW * row;
            text(&mut svg, 0, y + 18, "start", words);
            let all: usize = shares.iter().sum();
            let mut before = 0;
            let fills = ["currentColor".to_owned(), format!("url(#{id}-hatch)"), "none".to_owned()];
            for (share, fill) in shares.iter().zip(fills) {
                let at = |count: usize| (WIDTH - 2) * count / all.max(1);
                let (from, to) = (at(before), at(before + share));
                before += share;
                if to > from {
                    let _ = write!(
                        svg,
                        "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{BAR}\" fill=\"{fill}\" \
                         stroke=\"currentColor\"/>",
                        from + 1,
                        y + 24,
                        to - from
                    );
                }
            }
        }
        svg.push_str("</svg>");
        svg
    }
}

/// Where the plot of a course lies in its picture.
const LEFT: usize = 30;
const TOP: usize = 20;
const TALL: usize = 130;

impl Course {
    /// An inline SVG; `id` begins every id in it, so that a page can hold several.
    pub fn svg(&self, id: &str) -> String {
        let mut svg = opened(id, TOP + TALL + 30, &self.title, &self.words());
        let (Some((first, _)), Some((last, now))) = (self.days.first(), self.days.last()) else {
            svg.push_str("</svg>");
            return svg;
        };
        let end = self.expected.map_or(*last, |(day, _)| day.max(*last));
        let long = usize::try_from(end - first).unwrap_or(0).max(1);
        let x =
            |day: i64| LEFT + (WIDTH - LEFT - 8) * usize::try_from(day - first).unwrap_or(0) / long;
        let y = |number: usize| TOP + TALL - TALL * number.min(self.most) / self.most.max(1);
        for number in [0, self.most / 2, self.most] {
            let line = y(number);
            let _ = write!(
                svg,
                "<path d=\"M{LEFT} {line}H{}\" stroke=\"currentColor\" stroke-opacity=\"0.4\"/>",
                WIDTH - 8
            );
            text(&mut svg, LEFT - 5, line + 4, "end", &number.to_string());
        }
        let mut path = String::new();
        for (index, (day, number)) in self.days.iter().enumerate() {
            let _ =
                write!(path, "{}{} {}", if index == 0 { 'M' } else { 'L' }, x(*day), y(*number));
            let _ = write!(
                svg,
                "<circle cx=\"{}\" cy=\"{}\" r=\"3\" fill=\"currentColor\"/>",
                x(*day),
                y(*number)
            );
        }
        let _ = write!(
            svg,
            "<path d=\"{path}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"2\"/>"
        );
        if let Some((day, number)) = self.expected {
            let _ = write!(
                svg,
                "<path d=\"M{} {}L{} {}\" stroke=\"currentColor\" stroke-width=\"2\" \
                 stroke-dasharray=\"5 4\"/><circle cx=\"{}\" cy=\"{}\" r=\"4\" fill=\"none\" \
                 stroke=\"currentColor\" stroke-width=\"2\"/>",
                x(*last),
                y(*now),
                x(day),
                y(number),
                x(day),
                y(number)
            );
        }
        text(&mut svg, LEFT, TOP + TALL + 20, "start", &(self.written)(*first));
        text(&mut svg, WIDTH - 1, TOP + TALL + 20, "end", &(self.written)(end));
        svg.push_str("</svg>");
        svg
    }

    /// What is to be seen, in words.
    pub fn words(&self) -> String {
        let day = |(day, number): &(i64, usize)| format!("{}: {number}", (self.written)(*day));
        let mut told: Vec<String> = self.days.iter().map(day).collect();
        if let Some(expected) = &self.expected {
            told.push(format!("expected on {}", day(expected)));
        }
        told.join("; ")
    }
}

fn opened(id: &str, height: usize, title: &str, description: &str) -> String {
    let mut svg = String::with_capacity(4096);
    let _ = write!(
        svg,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"plot\" viewBox=\"0 0 {WIDTH} {height}\" \
         role=\"img\" aria-labelledby=\"{id}-title {id}-desc\" font-size=\"{LETTERS}\" \
         fill=\"currentColor\"><title id=\"{id}-title\">"
    );
    words(&mut svg, title);
    let _ = write!(svg, "</title><desc id=\"{id}-desc\">");
    words(&mut svg, description);
    svg.push_str(".</desc>");
    svg
}

fn text(svg: &mut String, x: usize, y: usize, anchor: &str, said: &str) {
    let _ = write!(svg, "<text x=\"{x}\" y=\"{y}\" text-anchor=\"{anchor}\">");
    words(svg, said);
    svg.push_str("</text>");
}

fn words(svg: &mut String, text: &str) {
    escape::html(svg, &escape::plain(text));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_bar_has_its_words_and_three_looks() {
        let bars = vec![("two <drugs>: 1 ready".to_owned(), [1, 1, 2])];
        let svg = Shares { title: "How far".to_owned(), bars }.svg("p");
        assert!(svg.contains(">two &lt;drugs&gt;: 1 ready</text>"), "{svg}");
        for fill in ["\"currentColor\" stroke", "url(#p-hatch)", "fill=\"none\""] {
            assert!(svg.contains(fill), "{fill} is not in {svg}");
        }
        assert!(svg.contains("<title id=\"p-title\">How far</title>"));
    }

    #[test]
    fn shares_fill_the_width_and_no_more() {
        let bars = vec![("a".to_owned(), [7, 0, 0]), ("b".to_owned(), [0, 0, 0])];
        let svg = Shares { title: String::new(), bars }.svg("p");
        assert_eq!(svg.matches("<rect ").count(), 1);
        assert!(svg.contains("width=\"326\""), "{svg}");
    }

    #[test]
    fn a_course_is_told_in_words_too_and_its_forecast_is_dashed() {
        let course = Course {
            title: "Ready".to_owned(),
            days: vec![(1, 0), (3, 4)],
            expected: Some((9, 12)),
            most: 20,
            written: |day| format!("day {day}"),
        };
        assert_eq!(course.words(), "day 1: 0; day 3: 4; expected on day 9: 12");
        let svg = course.svg("c");
        assert!(svg.contains("stroke-dasharray") && svg.contains(">day 9</text>"), "{svg}");
        let empty = Course { days: Vec::new(), expected: None, ..course };
        assert!(empty.svg("c").ends_with("</svg>"));
    }
}
