//! Reading what a person typed.

use super::digits::leading_number;
use super::{Exact, ReadProblem, Unit};

/// The longest answer that is read, in bytes.
pub const LONGEST_ANSWER: usize = 80;

/// What a person typed, understood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Typed {
    /// The number, with the places that were written.
    pub number: Exact,
    /// The unit, when one was written.
    pub unit: Option<Unit>,
}

/// Reads a number with or without a unit, as a person types it.
///
/// Understood are `3.2 g`, `3.2g`, `.5 g`, `5. g`, `1,234.5 mg`, `0,75 g`, `-2`, the minus sign and
/// the middle dot of printed text, narrow and unbroken spaces, `3.2e5`, `3.2 x 10^5`, and an equals
/// sign or `about` before the number. A lone comma that can only be a decimal comma is one; where it
/// could also stand between thousands, as in `1,234`, both readings are named.
///
/// # Errors
/// Why it is no number, and what to type instead.
///
/// ```
/// # use castmark::quantity::read_quantity;
/// let typed = read_quantity("1,234.50 mg").unwrap();
/// assert_eq!(typed.number.to_string(), "1234.50");
/// assert_eq!(typed.unit.unwrap().to_string(), "mg");
/// ```
pub fn read_quantity(text: &str) -> Result<Typed, ReadProblem> {
    if text.len() > LONGEST_ANSWER {
        return Err(ReadProblem::TooLong);
    }
    let narrow;
    let text = if text.contains(is_full_width) {
        narrow = text.chars().map(narrowed).collect::<String>();
        narrow.as_str()
    } else {
        text
    };
    let written = text.trim();
    if written.is_empty() {
        return Err(ReadProblem::Empty);
    }
    let (number, after) = leading_number(without_lead(written), written)?;
    let unit = after.trim();
    if unit.is_empty() {
        return Ok(Typed { number, unit: None });
    }
    match read_unit(unit.trim_end_matches('.')) {
        Some(unit) => Ok(Typed { number, unit: Some(unit) }),
        None if has_another_number(unit) => Err(ReadProblem::SeveralNumbers(written.to_owned())),
        None => Err(ReadProblem::UnknownUnit(unit.to_owned())),
    }
}

/// Returns whether a letter is one of the keyboard, but as wide as an ideograph.
fn is_full_width(letter: char) -> bool {
    matches!(letter, '\u{ff01}'..='\u{ff5e}' | '\u{3000}')
}

/// The letter in its usual width. Other compatible letters stay: a raised 5 is a power, not a digit.
fn narrowed(letter: char) -> char {
    match letter {
        '\u{3000}' => ' ',
        letter if is_full_width(letter) => {
            char::from_u32(u32::from(letter) - 0xfee0).unwrap_or(letter)
        }
        letter => letter,
    }
}

/// Reads a number without a unit.
///
/// # Errors
/// As [`read_quantity`]; a unit is an unknown word here.
pub fn read_number(text: &str) -> Result<Exact, ReadProblem> {
    let typed = read_quantity(text)?;
    match typed.unit {
        None => Ok(typed.number),
        Some(unit) => Err(ReadProblem::UnknownUnit(unit.to_string())),
    }
}

/// Splits readings at the semicolons or commas between them, each as written.
///
/// # Errors
/// When a comma could be a decimal comma as well: with these, semicolons stand between the readings.
pub fn split_readings(text: &str) -> Result<Vec<&str>, ReadProblem> {
    let between = if text.contains(';') { ';' } else { ',' };
    // `1,02 g, 1,04 g` would come apart at every comma: a comma with a digit on either side cannot
    // be told from a decimal one, unless there are decimal points.
    let letters: Vec<char> = text.chars().collect();
    let digits =
        |three: &[char]| matches!(three, [a, ',', b] if a.is_ascii_digit() && b.is_ascii_digit());
    if between == ',' && !text.contains('.') && letters.windows(3).any(digits) {
        return Err(ReadProblem::BadNumber(text.to_owned()));
    }
    Ok(text.split(between).map(str::trim).collect())
}

/// The answer behind an equals sign or a word such as `about`: neither changes the number.
fn without_lead(text: &str) -> &str {
    if text.starts_with(|first: char| first.is_ascii_digit()) {
        return text;
    }
    let text = text.trim_start_matches(['=', '≈', '~']).trim_start();
    let lead = ["about", "approximately", "approx.", "approx", "roughly", "ca."]
        .iter()
        .find(|word| text.get(..word.len()).is_some_and(|first| first.eq_ignore_ascii_case(word)));
    lead.and_then(|word| text.get(word.len()..)).map_or(text, str::trim_start)
}

/// The unit; blanks of any kind and number between its words count as one.
fn read_unit(text: &str) -> Option<Unit> {
    if text.starts_with(|first: char| first.is_ascii_digit()) {
        return None;
    }
    Unit::parse(text).ok().or_else(|| {
        let words: Vec<&str> = text.split_whitespace().collect();
        Unit::parse(&words.join(" ")).ok()
    })
}

/// Whether more digits or a sign of calculation stand where a unit should.
fn has_another_number(text: &str) -> bool {
    text.starts_with(['+', '/', '*', '×', '÷', '−', '=', '^'])
        || text.to_ascii_lowercase().replace("cm3", "").contains(|c: char| c.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn reads(text: &str, number: &str, unit: Option<&str>) {
        let typed = read_quantity(text).unwrap_or_else(|problem| panic!("{text}: {problem}"));
        assert_eq!(typed.number.to_string(), number, "{text}");
        assert_eq!(typed.unit.map(|unit| unit.to_string()).as_deref(), unit, "{text}");
    }

    #[track_caller]
    fn refuses(text: &str, message: &str) {
        assert_eq!(read_quantity(text).unwrap_err().to_string(), message);
    }

    #[test]
    fn an_answer_of_more_than_eighty_letters_is_not_read() {
        let wide = |letters: usize| format!("{:letters$}", "3.2 g");
        reads(&wide(80), "3.2", Some("g"));
        assert_eq!(read_quantity(&wide(81)), Err(ReadProblem::TooLong));
    }

    #[test]
    fn reads_numbers_with_and_without_units() {
        reads("3.2 g", "3.2", Some("g"));
        reads("3.2g", "3.2", Some("g"));
        reads("3200 mg", "3200", Some("mg"));
        reads(".5 g", "0.5", Some("g"));
        reads("5.", "5", None);
        reads("  0.90  ", "0.90", None);
        reads("12 suppositories", "12", Some("unit"));
        reads("1.02 g per unit", "1.02", Some("g/unit"));
        reads("5 % w/w", "5", Some("% w/w"));
        reads("1.2 g/mL", "1.2", Some("g/mL"));
        reads("250 mcg", "250", Some("mcg"));
        reads("250 µg", "250", Some("mcg"));
        reads("= 13.9 g.", "13.9", Some("g"));
    }

    #[test]
    fn reads_the_signs_of_printed_text() {
        reads("−0.5 g", "-0.5", Some("g"));
        reads("0·75\u{202f}g", "0.75", Some("g"));
        reads("1\u{2009}234.5 mg", "1234.5", Some("mg"));
        reads("3.2 × 10^3 mg", "3200", Some("mg"));
        reads("3.2·10^2", "320", None);
        reads("3.2e-2 g", "0.032", Some("g"));
        reads("１３．９　ｇ", "13.9", Some("g"));
        reads("１３.9 g", "13.9", Some("g"));
        reads("3.2 × 10⁵ mg", "320000", Some("mg"));
        reads("1 234 mg", "1234", Some("mg"));
    }

    #[test]
    fn a_lone_comma_that_can_only_be_decimal_is_one() {
        reads("0,75 g", "0.75", Some("g"));
        reads("12,5", "12.5", None);
        reads("0,750", "0.750", None);
        reads("1,234.5 mg", "1234.5", Some("mg"));
        reads("1,234,567", "1234567", None);
    }

    #[test]
    fn readings_are_parted_where_a_comma_can_only_part_them() {
        let parts = |text| split_readings(text).unwrap();
        assert_eq!(parts("1.02 g,1.04 g"), ["1.02 g", "1.04 g"]);
        assert_eq!(parts("1 g, 2 g"), ["1 g", "2 g"]);
        assert_eq!(parts("1,02 g; 1,04 g"), ["1,02 g", "1,04 g"]);
        for text in ["1,02 g, 1,04 g", "1,2"] {
            assert_eq!(split_readings(text), Err(ReadProblem::BadNumber(text.to_owned())));
        }
    }

    #[test]
    fn words_around_the_number_do_not_change_it() {
        reads("about 3.2 g", "3.2", Some("g"));
        reads("Approx. 3.2 g", "3.2", Some("g"));
        reads("ca. 0,75 g", "0.75", Some("g"));
        reads("~ 12", "12", None);
        reads("≈-2 °C", "-2", Some("°C"));
        reads("1.02 g each", "1.02", Some("g/unit"));
        reads("1.02 g/suppository", "1.02", Some("g/unit"));
        reads("1.02 g\u{a0}per\t pessary", "1.02", Some("g/unit"));
        reads("5 %\u{202f}w/w", "5", Some("% w/w"));
        reads("3.2 cm^3", "3.2", Some("mL"));
        refuses("about", "expected a number, found `about`; type it in digits, such as `3.2 g`");
        refuses(
            "3.2 g to 3.4 g",
            "expected one number, found more in `3.2 g to 3.4 g`; work it out and type the result alone",
        );
        refuses(
            "1e5 1",
            "expected one number, found more in `1e5 1`; work it out and type the result alone",
        );
        refuses(
            "3.2 each",
            "expected a unit such as g, mg or mL after the number, found `each`; correct it or leave \
             it out",
        );
    }

    #[test]
    fn refuses_an_ambiguous_comma_with_both_readings() {
        refuses("1,234 mg", "`1,234` can be read as 1.234 or as 1234; write `1.234` or `1234`");
    }

    #[test]
    fn refuses_what_is_no_single_number() {
        refuses("", "expected a number, found nothing; type one, such as `3.2 g`");
        refuses("base", "expected a number, found `base`; type it in digits, such as `3.2 g`");
        refuses("NaN", "expected a number, found `NaN`; type it in digits, such as `3.2 g`");
        refuses(
            "1.2.3",
            "expected a number, found `1.2.3`; write digits with one decimal point, such as `1234.5`",
        );
        refuses(
            "1,23,4",
            "expected a number, found `1,23,4`; write digits with one decimal point, such as `1234.5`",
        );
        refuses(
            "3/4",
            "expected one number, found more in `3/4`; work it out and type the result alone",
        );
        refuses(
            "13.9 or 14 g",
            "expected one number, found more in `13.9 or 14 g`; work it out and type the result alone",
        );
        refuses(
            "1 2",
            "expected one number, found more in `1 2`; work it out and type the result alone",
        );
        refuses(
            "3.2 stone",
            "expected a unit such as g, mg or mL after the number, found `stone`; correct it or leave \
             it out",
        );
        refuses(
            "0x1F",
            "expected one number, found more in `0x1F`; work it out and type the result alone",
        );
        refuses(
            &"9".repeat(40),
            &format!(
                "expected at most 28 digits, found more in `{}`; round the answer",
                "9".repeat(40)
            ),
        );
        refuses(&"9".repeat(81), "expected at most 80 letters, found more; type the answer alone");
    }
}
