//! Text outside of all kept states: one text object holds as much of it as can be, a place is told from the
//! one before, and what stands on one line is shown in one go.

use super::object::{put, string};
use super::subset::Subset;

/// Millionths of a point in a hundredth.
const HUNDREDTH: i64 = 10_000;

/// How far a letter may be from its place without being moved, in thousandths of the height of a letter.
const NEAR: i64 = 1;

/// A piece of what waits to be shown.
#[derive(Debug)]
enum Shown {
    Text(Vec<u8>),
    /// How far the next letter is moved to the left, in thousandths of the height of a letter.
    Back(i64),
}

/// Where text is written.
#[derive(Debug, Default)]
pub(super) struct Pen {
    /// How many tags were open when the text object began; nothing outside of one.
    within: Option<usize>,
    /// The place that the next one is told from, in hundredths of a point.
    origin: [i64; 2],
    /// How far from the left edge the last letter ends on the line of the origin, in millionths of a point;
    /// nothing where that is not known.
    end: Option<i64>,
    waiting: Vec<Shown>,
}

impl Pen {
    /// How many tags were open when the text object began; nothing outside of one.
    pub(super) fn within(&self) -> Option<usize> {
        self.within
    }

    /// Begins a text object, if none is open; so many tags are.
    pub(super) fn open(&mut self, out: &mut Vec<u8>, tags: usize) {
        if self.within.is_none() {
            *self = Self { within: Some(tags), ..Self::default() };
            out.extend(b"BT\n");
        }
    }

    /// Ends the text object, if one is open.
    pub(super) fn close(&mut self, out: &mut Vec<u8>) {
        self.show(out);
        if self.within.take().is_some() {
            out.extend(b"ET\n");
        }
    }

    /// Goes to a place, in millionths of a point; letters are so high there.
    pub(super) fn go(&mut self, out: &mut Vec<u8>, [x, y]: [i64; 2], height: i64) {
        let to = [x, y].map(|number| rounded(number, HUNDREDTH));
        let gap = self.end.filter(|_| to[1] == self.origin[1]).map(|end| end - x);
        if let Some(gap) = gap.filter(|gap| gap.abs() <= height) {
            let back = rounded(gap * 1000, height);
            if back.abs() > NEAR {
                self.back(back, height);
            }
            return;
        }
        self.show(out);
        let [right, up] = [0, 1].map(|at| to[at] - self.origin[at]);
        put(out, format_args!("{} {} Td\n", Parts(right, 100), Parts(up, 100)));
        (self.origin, self.end) = (to, Some(to[0] * HUNDREDTH));
    }

    /// Moves the next letter to the left.
    pub(super) fn back(&mut self, back: i64, height: i64) {
        self.end = self.end.map(|end| end - rounded(back * height, 1000));
        match self.waiting.last_mut() {
            Some(Shown::Back(before)) => *before += back,
            _ => self.waiting.push(Shown::Back(back)),
        }
    }

    /// Notes a text to be shown in a font; nothing where the font has no such letter.
    pub(super) fn text(&mut self, text: &[u8], font: Option<&Subset>, height: i64) -> Option<()> {
        let written = match font {
            Some(font) => {
                let (written, far) = font.recoded(text)?;
                self.end = self.end.map(|end| end + rounded(far * height / 1000, 1000));
                written
            }
            None => {
                self.end = None;
                text.to_vec()
            }
        };
        match self.waiting.last_mut() {
            Some(Shown::Text(before)) => before.extend(written),
            _ => self.waiting.push(Shown::Text(written)),
        }
        Some(())
    }

    /// Writes what waits to be shown.
    pub(super) fn show(&mut self, out: &mut Vec<u8>) {
        let waiting = std::mem::take(&mut self.waiting);
        match &waiting[..] {
            [] => {}
            [Shown::Text(text)] => {
                string(out, text);
                out.extend(b"Tj\n");
            }
            pieces => {
                out.push(b'[');
                for piece in pieces {
                    match piece {
                        Shown::Text(text) => string(out, text),
                        Shown::Back(back) => put(out, format_args!("{back}")),
                    }
                }
                out.extend(b"]TJ\n");
            }
        }
    }
}

/// A number as it is written, in millionths; nothing where it is none.
pub(super) fn millionths(number: &str) -> Option<i64> {
    let (sign, digits) = match number.strip_prefix('-') {
        Some(digits) => (-1, digits),
        None => (1, number.strip_prefix('+').unwrap_or(number)),
    };
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let is_number = |digits: &str| digits.bytes().all(|digit| digit.is_ascii_digit());
    if !is_number(whole) || !is_number(part) || whole.len() > 9 {
        return None;
    }
    // Further digits are less than a millionth.
    let part = format!("{part:0<6}");
    let digits: i64 = format!("0{whole}{}", &part[..6]).parse().ok()?;
    Some(sign * digits)
}

/// A number of so many parts in wholes.
pub(super) fn rounded(number: i64, parts: i64) -> i64 {
    let half = if number < 0 { -parts / 2 } else { parts / 2 };
    number.saturating_add(half) / parts.max(1)
}

/// A number of parts, so many of which make a whole: a hundred or a thousand, say.
pub(super) struct Parts(pub i64, pub i64);

impl std::fmt::Display for Parts {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self(number, mut of) = *self;
        let sign = if number < 0 { "-" } else { "" };
        let (whole, mut part) = (number.abs() / of, number.abs() % of);
        f.write_str(sign)?;
        if whole > 0 || part == 0 {
            write!(f, "{whole}")?;
        }
        if part > 0 {
            f.write_str(".")?;
        }
        while part > 0 {
            of /= 10;
            write!(f, "{}", part / of)?;
            part %= of;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_to_the_millionth_and_written_to_the_hundredth() {
        let written = |text| Parts(rounded(millionths(text).unwrap(), HUNDREDTH), 100).to_string();
        assert_eq!(written("56.692913"), "56.69");
        assert_eq!(written("-0.256"), "-.26");
        assert_eq!(written(".5"), ".5");
        assert_eq!(written("-0.004"), "0");
        assert_eq!(written("100.1"), "100.1");
        assert_eq!(Parts(-10_205, 1000).to_string(), "-10.205");
        assert_eq!(millionths("1.23456789"), Some(1_234_567));
        for none in ["1e5", "--1", "1.2.3", "12345678901"] {
            assert_eq!(millionths(none), None, "{none}");
        }
    }

    #[test]
    fn a_place_is_told_from_the_one_before() {
        let (mut pen, mut out) = (Pen::default(), Vec::new());
        pen.open(&mut out, 0);
        for (x, y) in
            [(50_004_000, 700_000_000), (50_000_000, 687_500_000), (80_000_000, 687_500_000)]
        {
            pen.go(&mut out, [x, y], 11_000_000);
            pen.text(b"a", None, 11_000_000).unwrap();
        }
        pen.close(&mut out);
        let out = String::from_utf8(out).unwrap();
        assert_eq!(out, "BT\n50 700 Td\n(a)Tj\n0 -12.5 Td\n(a)Tj\n30 0 Td\n(a)Tj\nET\n");
    }
}
