//! Letters that other keyboards and programs write in another form.

/// The text with letters, digits and blanks of another form as plain ones: of full width, joined as in
/// `ﬁ`, raised or lowered, or with their accent written apart.
///
/// What a keyboard, a phone or a copied page brings to an answer becomes what Unicode's normal form NFKC
/// makes of it; rarer letters stay as they are. The whole normal form takes 90 kB of tables, which every
/// practice page would carry.
///
/// ```
/// assert_eq!(castmark::words::plain_letters("ﬁne １５\u{a0}µg"), "fine 15 μg");
/// ```
pub fn plain_letters(text: &str) -> String {
    if text.is_ascii() {
        return text.to_owned();
    }
    let mut plain = String::with_capacity(text.len());
    for letter in text.chars() {
        if let Some((_, letters)) = JOINED.iter().find(|(joined, _)| *joined == letter) {
            plain.push_str(letters);
            continue;
        }
        let letter = single(letter);
        match plain.pop().map(|before| (before, with_accent(before, letter))) {
            Some((_, Some(accented))) => plain.push(accented),
            Some((before, None)) => plain.extend([before, letter]),
            None => plain.push(letter),
        }
    }
    plain
}

/// What stands for several letters.
const JOINED: [(char, &str); 14] = [
    ('…', "..."),
    ('″', "′′"),
    ('½', "1⁄2"),
    ('¼', "1⁄4"),
    ('¾', "3⁄4"),
    ('℃', "°C"),
    ('№', "No"),
    ('ﬀ', "ff"),
    ('ﬁ', "fi"),
    ('ﬂ', "fl"),
    ('ﬃ', "ffi"),
    ('ﬄ', "ffl"),
    ('ﬅ', "st"),
    ('ﬆ', "st"),
];

/// A letter, digit or blank in its plain form.
fn single(letter: char) -> char {
    let moved = |by: u32, to: char| {
        char::from_u32(u32::from(letter) - by + u32::from(to)).unwrap_or(letter)
    };
    match letter {
        '\u{a0}' | '\u{2000}'..='\u{200a}' | '\u{202f}' | '\u{205f}' | '\u{3000}' => ' ',
        '\u{2011}' => '\u{2010}',
        '\u{ff01}'..='\u{ff5e}' => moved(0xff01, '!'),
        '⁰' | '⁴'..='⁹' => moved(0x2070, '0'),
        '₀'..='₉' => moved(0x2080, '0'),
        '¹' => '1',
        '²' => '2',
        '³' => '3',
        '⁺' | '₊' => '+',
        '⁻' | '₋' => '−',
        'ⁿ' => 'n',
        'ª' => 'a',
        'º' => 'o',
        'µ' => 'μ',
        '\u{2126}' => 'Ω',
        '\u{212a}' => 'K',
        '\u{212b}' => 'Å',
        letter => letter,
    }
}

/// A letter with an accent that was written behind it.
fn with_accent(letter: char, accent: char) -> Option<char> {
    let (_, pairs) = ACCENTS.iter().find(|(known, _)| *known == accent)?;
    let mut pairs = pairs.chars();
    while let (Some(plain), Some(accented)) = (pairs.next(), pairs.next()) {
        if plain == letter {
            return Some(accented);
        }
    }
    None
}

/// Accents by themselves, each with pairs of a letter and the same letter with it.
const ACCENTS: [(char, &str); 13] = [
    ('\u{300}', "AÀEÈIÌOÒUÙaàeèiìoòuù"),
    ('\u{301}', "AÁCĆEÉIÍLĹNŃOÓRŔSŚUÚYÝZŹaácćeéiílĺnńoórŕsśuúyýzź"),
    ('\u{302}', "AÂCĈEÊGĜHĤIÎJĴOÔSŜUÛWŴYŶaâcĉeêgĝhĥiîjĵoôsŝuûwŵyŷ"),
    ('\u{303}', "AÃIĨNÑOÕUŨaãiĩnñoõuũ"),
    ('\u{304}', "AĀEĒIĪOŌUŪaāeēiīoōuū"),
    ('\u{306}', "AĂEĔGĞIĬOŎUŬaăeĕgğiĭoŏuŭ"),
    ('\u{307}', "CĊEĖGĠIİZŻcċeėgġzż"),
    ('\u{308}', "AÄEËIÏOÖUÜYŸaäeëiïoöuüyÿ"),
    ('\u{30a}', "AÅUŮaåuů"),
    ('\u{30b}', "OŐUŰoőuű"),
    ('\u{30c}', "CČDĎEĚLĽNŇRŘSŠTŤZŽcčdďeělľnňrřsštťzž"),
    ('\u{327}', "CÇGĢKĶLĻNŅRŖSŞTŢcçgģkķlļnņrŗsştţ"),
    ('\u{328}', "AĄEĘIĮUŲaąeęiįuų"),
];

#[cfg(test)]
mod tests {
    use unicode_normalization::UnicodeNormalization;

    use super::*;

    #[track_caller]
    fn check(text: &str) {
        assert_eq!(plain_letters(text), text.nfkc().collect::<String>(), "{text:?}");
    }

    #[test]
    fn letters_of_another_form_become_what_the_normal_form_makes_of_them() {
        let spacing_accents = ['\u{a8}', '\u{af}', '\u{b4}', '\u{b8}'];
        let single = ('\u{20}'..='\u{ff}').filter(|letter| !spacing_accents.contains(letter));
        let others = ('\u{2000}'..='\u{2016}')
            .chain('\u{2080}'..='\u{208b}')
            .chain('\u{fb00}'..='\u{fb06}')
            .chain('\u{ff01}'..='\u{ff5e}')
            .chain("…″′℃№⁰⁴⁵⁶⁷⁸⁹⁺⁻ⁿΩÅK\u{2126}\u{212a}\u{212b}\u{202f}\u{205f}\u{3000}".chars());
        for letter in single.chain(others) {
            check(&format!("a{letter}b"));
        }
    }

    #[test]
    fn a_letter_and_its_accent_become_one() {
        for (accent, pairs) in ACCENTS {
            assert_eq!(pairs.chars().count() % 2, 0);
            for plain in pairs.chars().step_by(2) {
                check(&format!("x{plain}{accent}y"));
            }
        }
        check("caf\u{65}\u{301} na\u{69}\u{308}ve");
        assert_eq!(plain_letters("q\u{301}"), "q\u{301}", "there is no such letter");
        assert_eq!(plain_letters("\u{301}"), "\u{301}");
    }
}
