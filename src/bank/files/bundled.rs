//! The files that come with the program.

use std::borrow::Cow;

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

/// The outline of a file, which that of the program has already.
pub(in crate::bank) fn outline(file: &SourceText) -> Option<Outline<'_>> {
    known(&file.text).map_or_else(|| Outline::of(&file.text), |known| known.outline)
}

/// The file of the program with this text.
fn known(text: &Cow<'static, str>) -> Option<&'static Bundled> {
    // A page hands its engine the files, which is a third smaller without these.
    if cfg!(target_family = "wasm") {
        return None;
    }
    let Cow::Borrowed(text) = text else { return None };
    BUNDLED.iter().find(|known| std::ptr::eq(known.text, *text))
}
