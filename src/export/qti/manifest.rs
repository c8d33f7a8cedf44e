//! The manifest: what is in the package, and what belongs together.

use super::item::Item;
use super::version::Version;
use super::xml::{Element, plain};

/// The name of the manifest, which stands at the top of a package.
pub(super) const MANIFEST: &str = "imsmanifest.xml";

/// The file of the test.
pub(super) const TEST: &str = "test.xml";

/// The manifest as a document; `identifier` is the test's.
pub(super) fn manifest(identifier: &str, items: &[Item], version: Version) -> Vec<u8> {
    let words = version.words();
    let (schema, number) = words.package;
    let metadata = plain("metadata")
        .child(plain("schema").text(schema))
        .child(plain("schemaversion").text(number));
    let file = |name: &str| plain("file").with("href", name);
    let needed =
        items.iter().map(|item| plain("dependency").with("identifierref", &item.identifier));
    let test = resource(identifier, words.test, TEST).child(file(TEST)).children(needed);
    let resources = items.iter().map(|item| {
        let drawing = item.drawing.as_ref().map(|_| file(&item.drawing_file()));
        resource(&item.identifier, words.item, &item.file())
            .child(file(&item.file()))
            .children(drawing)
    });
    let schemas = format!("{} {}", words.manifest_namespace, words.manifest_schema);
    plain("manifest")
        .with("xmlns", words.manifest_namespace)
        .with("xmlns:xsi", "http://www.w3.org/2001/XMLSchema-instance")
        .with("xsi:schemaLocation", schemas)
        .with("identifier", format!("package-{identifier}"))
        .child(metadata)
        .child(plain("organizations"))
        .child(plain("resources").child(test).children(resources))
        .document(version)
}

fn resource(identifier: &str, kind: &str, file: &str) -> Element {
    plain("resource").with("identifier", identifier).with("type", kind).with("href", file)
}
