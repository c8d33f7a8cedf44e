//! An inline SVG: a line, a word, a box, and the frame that tells in words what is drawn.

use std::fmt::Write;

use crate::export::writing::escape;

/// A finished drawing.
#[derive(Clone, Debug)]
pub(in crate::export::analysis) struct Drawn {
    /// The SVG.
    pub svg: String,
    /// What is drawn, in words; the SVG says it as well.
    pub told: String,
}

/// A drawing in the making. Nothing depends on colour: all is drawn in the colour of the text, full,
/// hatched or shaded. Lengths are in CSS pixels of a drawing 720 wide.
#[derive(Debug)]
pub(super) struct Drawing {
    id: &'static str,
    svg: String,
    told: String,
}

/// How wide every drawing is.
pub(super) const WIDE: f64 = 720.0;

/// Where a word hangs.
#[derive(Clone, Copy, Debug)]
pub(super) enum Anchor {
    /// It begins here.
    Start,
    /// It is centred here.
    Middle,
    /// It ends here.
    End,
}

impl Drawing {
    /// A drawing so high; `id` begins every id in it, so that a page can hold several.
    pub(super) fn new(id: &'static str, high: f64, title: &str, description: &str) -> Self {
        let mut svg = String::with_capacity(4096);
        let _ = write!(
            svg,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDE} {high:.0}\" role=\"img\" \
             aria-labelledby=\"{id}-title {id}-desc\" font-size=\"14\" fill=\"currentColor\">\
             <title id=\"{id}-title\">"
        );
        escape::html(&mut svg, &escape::plain(title));
        let _ = write!(svg, "</title><desc id=\"{id}-desc\">");
        escape::html(&mut svg, &escape::plain(description));
        let _ = write!(
            svg,
            "</desc><pattern id=\"{id}-hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\">\
             <path d=\"M-1.5 1.5 1.5 -1.5M0 6 6 0M4.5 7.5 7.5 4.5\" stroke=\"currentColor\" \
             stroke-width=\"1.4\"/></pattern>"
        );
        Self { id, svg, told: format!("{title}: {description}") }
    }

    /// A thin line of the grid.
    pub(super) fn line(&mut self, from: (f64, f64), to: (f64, f64)) {
        self.stroke(from, to, "stroke-opacity=\"0.35\"");
    }

    /// A strong line of an axis.
    pub(super) fn axis(&mut self, from: (f64, f64), to: (f64, f64)) {
        self.stroke(from, to, "stroke-width=\"1.5\"");
    }

    /// A dashed line, for a border between bands.
    pub(super) fn dashed(&mut self, from: (f64, f64), to: (f64, f64)) {
        self.stroke(from, to, "stroke-width=\"1.5\" stroke-dasharray=\"6 4\"");
    }

    fn stroke(&mut self, from: (f64, f64), to: (f64, f64), how: &str) {
        let _ = write!(
            self.svg,
            "<path d=\"M{:.1} {:.1}L{:.1} {:.1}\" stroke=\"currentColor\" {how}/>",
            from.0, from.1, to.0, to.1
        );
    }

    /// Words.
    pub(super) fn words(&mut self, at: (f64, f64), anchor: Anchor, text: &str) {
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let _ =
            write!(self.svg, "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"{anchor}\">", at.0, at.1);
        escape::html(&mut self.svg, &escape::plain(text));
        self.svg.push_str("</text>");
    }

    /// Words that run upwards, centred.
    pub(super) fn upward(&mut self, at: (f64, f64), text: &str) {
        let _ = write!(
            self.svg,
            "<text transform=\"translate({:.1} {:.1}) rotate(-90)\" text-anchor=\"middle\">",
            at.0, at.1
        );
        escape::html(&mut self.svg, &escape::plain(text));
        self.svg.push_str("</text>");
    }

    /// A hatched box.
    pub(super) fn hatched(&mut self, at: (f64, f64), size: (f64, f64)) {
        let fill = format!("fill=\"url(#{}-hatch)\"", self.id);
        self.rect(at, size, &fill);
    }

    /// A box shaded from not at all to dark, as far as dark words can still be read on it.
    pub(super) fn shaded(&mut self, at: (f64, f64), size: (f64, f64), shade: f64) {
        let shade = 0.5 * shade.clamp(0.0, 1.0);
        self.rect(at, size, &format!("fill-opacity=\"{shade:.2}\""));
    }

    fn rect(&mut self, at: (f64, f64), size: (f64, f64), fill: &str) {
        let _ = write!(
            self.svg,
            "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\" {fill} \
             stroke=\"currentColor\"/>",
            at.0, at.1, size.0, size.1
        );
    }

    /// A point.
    pub(super) fn point(&mut self, at: (f64, f64)) {
        let _ = write!(self.svg, "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"4.5\"/>", at.0, at.1);
    }

    /// The finished drawing.
    pub(super) fn finish(mut self) -> Drawn {
        self.svg.push_str("</svg>");
        Drawn { svg: self.svg, told: self.told }
    }
}
