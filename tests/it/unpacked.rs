//! A PDF with its packed objects in the open, so that they can be looked for.

use hayro_syntax::Pdf;
use hayro_syntax::object::{Name, Object};

/// The bytes of a file, and behind them what is packed in it.
pub(crate) fn unpacked(file: &[u8]) -> Vec<u8> {
    let pdf = Pdf::new(file.to_vec()).unwrap_or_else(|problem| panic!("{problem:?}"));
    let mut open = file.to_vec();
    for object in pdf.objects() {
        let Object::Stream(stream) = object else { continue };
        let kind: Option<Name<'_>> = stream.dict().get("Type");
        if kind.is_some_and(|kind| &*kind == b"ObjStm") {
            open.extend(stream.decoded().unwrap_or_else(|problem| panic!("{problem:?}")).iter());
        }
    }
    open
}
