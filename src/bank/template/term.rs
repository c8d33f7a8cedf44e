//! A term of the trade in one spelling, so that two ways of writing it compare as equal.

/// A term as it is compared: small letters, singular, one spelling, without articles and marks.
///
/// Hyphens and blanks count alike, British and American spellings are one, and a Greek letter is its
/// name. A stroke behind a letter is part of the name: beta′ is not beta.
///
/// ```
/// use castmark::bank::Term;
/// assert!(Term::of("Glycero-gelatin.").is(&Term::of("the glycerogelatins")));
/// assert!(Term::of("metal molds").is(&Term::of("metal mould")));
/// assert!(Term::of("β′").is(&Term::of("beta prime")));
/// assert!(!Term::of("beta").is(&Term::of("beta prime")));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Term {
    words: Vec<String>,
    joined: String,
}

/// Words before a term that say nothing of it.
const LEADS: &[&str] = &["a", "an", "the", "it", "its", "is", "are", "they", "called", "this"];

/// Letters of the Greek alphabet that name crystal forms and the like.
const GREEK: &[(char, &str)] = &[('α', "alpha"), ('β', "beta"), ('γ', "gamma"), ('δ', "delta")];

/// Endings of British and American spelling: the first becomes the second. Words of up to four letters
/// keep theirs.
const ENDINGS: &[(&str, &str)] = &[
    ("isation", "ization"),
    ("ising", "izing"),
    ("ised", "ized"),
    ("iser", "izer"),
    ("ise", "ize"),
    ("yse", "yze"),
    ("our", "or"),
    ("tre", "ter"),
    ("bre", "ber"),
    ("ogue", "og"),
    ("gelatine", "gelatin"),
    ("glycerine", "glycerin"),
];

/// Letters that British and American spelling, or an old and a new one, write differently anywhere in a
/// word.
const WITHIN: &[(&str, &str)] = &[
    ("mould", "mold"),
    ("colour", "color"),
    ("sulph", "sulf"),
    ("aluminium", "aluminum"),
    ("grey", "gray"),
    ("ae", "e"),
    ("oe", "e"),
    ("ll", "l"),
];

impl Term {
    /// The term that a text holds.
    pub fn of(text: &str) -> Self {
        let spelt = spelt(text);
        let mut words: Vec<&str> = spelt.split_whitespace().collect();
        let leads = words.iter().take_while(|word| LEADS.contains(word)).count();
        words.drain(..if leads < words.len() { leads } else { 0 });
        let words: Vec<String> =
            words.into_iter().map(|word| one_spelling(singular(word))).collect();
        let joined = words.concat();
        Self { words, joined }
    }

    /// Returns whether both are the same term, wherever their words are parted.
    pub fn is(&self, other: &Self) -> bool {
        self.joined == other.joined
    }

    /// Returns whether nothing was left of the text.
    pub fn is_empty(&self) -> bool {
        self.joined.is_empty()
    }

    /// The words in one spelling.
    pub fn words(&self) -> &[String] {
        &self.words
    }

    /// The letters in one spelling, without blanks.
    pub fn joined(&self) -> &str {
        &self.joined
    }

    /// Returns whether the words of the other stand in this one, side by side.
    pub fn contains(&self, other: &Self) -> bool {
        let wanted = other.words.len();
        wanted > 0 && self.words.windows(wanted).any(|run| run == other.words)
    }
}

/// The text in small letters with single marks turned into words or blanks.
fn spelt(text: &str) -> String {
    let mut spelt = String::with_capacity(text.len());
    // An accent typed by itself is meant for a stroke; the normal form would part it from its letter.
    let plain = crate::words::plain_letters(&text.replace(['´', '`'], "'"));
    let mut letters = plain.chars().flat_map(char::to_lowercase).peekable();
    let mut before = ' ';
    while let Some(letter) = letters.next() {
        let ends = letters.peek().is_none_or(|next| !next.is_alphanumeric());
        let greek = GREEK.iter().find(|(known, _)| *known == letter);
        if let Some((_, name)) = greek {
            spelt.push(' ');
            spelt.push_str(name);
            spelt.push(' ');
        } else if matches!(letter, '\'' | '′' | '’') {
            let stroke = ends && before.is_alphanumeric();
            spelt.push_str(if stroke { " prime " } else { "" });
        } else {
            spelt.push(if letter.is_alphanumeric() { letter } else { ' ' });
        }
        before = letter;
    }
    spelt
}

/// The singular by rule. `bougies` and `bougie` both end in `y` here, as `bodies` and `body` do.
fn singular(word: &str) -> String {
    let cut = |ending: &str| word.strip_suffix(ending).filter(|stem| stem.len() > 1);
    if let Some(stem) = cut("ies").or_else(|| cut("ie")) {
        return format!("{stem}y");
    }
    if let Some(stem) = cut("ia").filter(|stem| stem.len() > 3) {
        return format!("{stem}ium");
    }
    if ["xes", "ches", "shes", "sses", "zes"].iter().any(|ending| word.ends_with(ending)) {
        return cut("es").unwrap_or(word).to_owned();
    }
    if ["ss", "us", "is"].iter().any(|ending| word.ends_with(ending)) {
        return word.to_owned();
    }
    cut("s").unwrap_or(word).to_owned()
}

fn one_spelling(word: String) -> String {
    let mut word = word;
    for (british, american) in WITHIN {
        if word.len() > 3 && word.contains(british) {
            word = word.replace(british, american);
        }
    }
    let ending = ENDINGS.iter().find(|(british, _)| word.len() > 4 && word.ends_with(british));
    match ending {
        Some((british, american)) => {
            format!("{}{american}", word.strip_suffix(british).unwrap_or_default())
        }
        None => word,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn alike(texts: &[&str]) {
        for text in texts {
            assert!(Term::of(text).is(&Term::of(texts[0])), "{text} is not {}", texts[0]);
        }
    }

    #[test]
    fn plural_hyphen_and_article_do_not_change_a_term() {
        alike(&["pessary", "pessaries", "Pessaries.", "a pessary", "It is a pessary"]);
        alike(&["nasal bougie", "nasal bougies", "Nasal-bougie"]);
        alike(&["water-bath", "water bath", "waterbath", "the water baths"]);
        alike(&["box", "boxes"]);
        alike(&["aurinarium", "aurinaria"]);
        alike(&["mass", "masses"]);
        alike(&["basis"]);
    }

    #[test]
    fn british_and_american_spellings_are_one() {
        alike(&["metal mould", "metal mold", "metal molds"]);
        alike(&["colouring agent", "coloring agent"]);
        alike(&["stabiliser", "stabilizer", "stabilisers"]);
        alike(&["haemorrhoids", "hemorrhoid"]);
        alike(&["sulphur", "sulfur"]);
        alike(&["gelatine", "gelatin"]);
        alike(&["labelling", "labeling"]);
        alike(&["centre", "center"]);
    }

    #[test]
    fn greek_letters_are_their_names_and_a_stroke_is_part_of_one() {
        alike(&["beta prime", "β′", "β'", "beta'", "Beta’", "β´", "ｂｅｔａ prime"]);
        alike(&["alpha form", "α form", "α-form", "αform"]);
        for (one, other) in
            [("beta", "beta prime"), ("alpha", "beta"), ("macrogol 400", "macrogol 4000")]
        {
            assert!(!Term::of(one).is(&Term::of(other)), "{one} and {other}");
        }
        assert!(Term::of(" - ").is_empty());
        assert!(Term::of("a").is(&Term::of("A")));
    }
}
