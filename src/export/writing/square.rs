//! A short text as a square of dark and light cells that a camera reads: a QR code (ISO/IEC 18004).

use std::fmt::Write;

use qrcode::{Color, EcLevel, QrCode};

/// The square of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Square {
    text: String,
    /// Row by row, whether a cell is dark.
    cells: Vec<Vec<bool>>,
}

/// How many cells about the square stay light, as the standard wants.
const QUIET: usize = 4;

impl Square {
    /// The square of a text; nothing for one that is far too long. It is of level M, which mends about a
    /// seventh of what it carries.
    pub fn of(text: &str) -> Option<Self> {
        let code = QrCode::with_error_correction_level(text, EcLevel::M).ok()?;
        let cells = code.to_colors();
        let rows = cells.chunks(code.width().max(1));
        let dark = |row: &[Color]| row.iter().map(|cell| *cell == Color::Dark).collect();
        Some(Self { text: text.to_owned(), cells: rows.map(dark).collect() })
    }

    /// How many cells it is wide and high, without the light edge.
    pub fn width(&self) -> usize {
        self.cells.len()
    }

    /// Whether a cell is dark.
    pub fn is_dark(&self, column: usize, row: usize) -> bool {
        self.cells.get(row).and_then(|cells| cells.get(column)).copied().unwrap_or(false)
    }

    /// What it is, in words.
    pub(in crate::export) fn sentence(&self) -> String {
        format!("QR code of the paper code {}", self.text)
    }

    /// The square as an SVG with its light edge; `head` holds attributes of the outermost element.
    pub(in crate::export) fn svg(&self, head: &str) -> String {
        let size = self.width() + 2 * QUIET;
        let mut svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {size} {size}\"{head}>\
             <path fill=\"#fff\" d=\"M0 0h{size}v{size}H0z\"/><path fill=\"#000\" d=\""
        );
        for (row, cells) in self.cells.iter().enumerate() {
            let mut column = 0;
            // Cells side by side are one shape, so that no seam shows between them.
            for run in cells.chunk_by(|one, other| one == other) {
                if run.first() == Some(&true) {
                    let (x, y, long) = (column + QUIET, row + QUIET, run.len());
                    let _ = write!(svg, "M{x} {y}h{long}v1h-{long}z");
                }
                column += run.len();
            }
        }
        svg.push_str("\"/></svg>");
        svg
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The picture that a camera would take: five dots for a cell.
    fn read(square: &Square) -> Result<String, String> {
        const DOTS: usize = 5;
        let side = (square.width() + 2 * QUIET) * DOTS;
        let mut picture = rqrr::PreparedImage::prepare_from_greyscale(side, side, |x, y| {
            let cell = |at: usize| (at / DOTS).checked_sub(QUIET);
            let dark = cell(x).zip(cell(y)).is_some_and(|(x, y)| square.is_dark(x, y));
            if dark { 0 } else { 255 }
        });
        let found = picture.detect_grids();
        let found = found.first().ok_or("no square found")?;
        found.decode().map(|(_, text)| text).map_err(|error| error.to_string())
    }

    #[test]
    fn another_program_reads_what_was_written() {
        for text in ["k7m2-9qfxt", "0", "a longer text, with signs: é 漢 <&>"] {
            assert_eq!(read(&Square::of(text).unwrap()), Ok(text.to_owned()));
        }
    }

    #[test]
    fn it_is_read_with_cells_spoilt() {
        let mut square = Square::of("k7m2-9qfxt").unwrap();
        for row in &mut square.cells[9..11] {
            row[10] = !row[10];
        }
        assert_eq!(read(&square), Ok("k7m2-9qfxt".to_owned()));
    }

    #[test]
    fn a_text_that_no_square_holds_has_none() {
        assert_eq!(Square::of(&"a".repeat(5000)), None);
    }

    #[test]
    fn the_drawing_has_a_light_edge_of_four_cells() {
        let svg = Square::of("k7m2-9qfxt").unwrap().svg("");
        assert!(svg.contains("viewBox=\"0 0 29 29\""), "{svg}");
        assert!(svg.contains("M4 4h7v1h-7z"), "the finder pattern begins at the edge: {svg}");
    }
}
