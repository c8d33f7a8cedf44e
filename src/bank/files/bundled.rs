//! The files that come with the program.

use super::SourceText;
use super::outline::Outline;

/// A file that comes with the program.
struct Bundled {
    /// Its path in the folder of the bank.
    path: &'static str,
    /// What its lines tell, if it holds a template.
    outline: Option<Outline<'static>>,
    text: &'static str,
}

// The build script writes `BUNDLED`, a list of them.
include!(concat!(env!("OUT_DIR"), "/bundled.rs"));

/// All of them.
pub(in crate::bank) fn bundled() -> Vec<SourceText> {
    BUNDLED.iter().map(|file| SourceText::new(file.path, file.text)).collect()
}

/// The outline of the template in a file. Of a bundled file, the build script has taken it.
pub(in crate::bank) fn outline_of(file: &SourceText) -> Option<Outline<'_>> {
    bundled_with(&file.text).map_or_else(|| Outline::of(&file.text), |bundled| bundled.outline)
}

/// The bundled file of which this is the text itself, not a copy that may have been changed.
fn bundled_with(text: &str) -> Option<&'static Bundled> {
    // A page hands its files to the engine, which leaves the bundled ones out and is a third smaller.
    if cfg!(target_family = "wasm") {
        return None;
    }
    BUNDLED.iter().find(|file| std::ptr::eq(file.text, text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bundled_file_is_known_again_and_has_the_outline_that_its_text_gives() {
        for file in bundled() {
            let found = bundled_with(&file.text).unwrap();
            assert_eq!(found.path, file.path);
            assert_eq!(found.outline, Outline::of(&file.text), "{}", file.path);
            let copy = file.text.into_owned();
            assert!(bundled_with(&copy).is_none());
        }
    }
}
