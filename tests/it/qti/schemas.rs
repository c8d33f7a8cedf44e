//! The documents by the schemas of the standard, where a folder of them is at hand.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use castmark::bank::Bank;
use castmark::export::{Exporter, Options, Qti};

use super::package::{Package, is_of};
use super::{drawn, draws, sheet};

/// Names the folder.
const VARIABLE: &str = "CASTMARK_QTI_SCHEMAS";

/// The file of that name in a folder or below it.
fn find(folder: &Path, name: &str) -> Option<PathBuf> {
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap().flatten() {
            if entry.path().is_dir() {
                folders.push(entry.path());
            } else if entry.file_name() == name {
                return Some(entry.path());
            }
        }
    }
    None
}

/// The later version is the earlier one in other words, as another test holds, so the schemas of the
/// earlier one check both.
#[test]
fn every_document_is_valid_by_the_schemas_of_the_standard() {
    let Some(folder) = std::env::var_os(VARIABLE).map(PathBuf::from) else {
        eprintln!("skipped: {VARIABLE} names no folder of schemas");
        return;
    };
    let have = |name| find(&folder, name).unwrap_or_else(|| panic!("no {name} in {VARIABLE}"));
    let (items, manifests) = (have("imsqti_v2p2.xsd"), have("imscp_v1p1.xsd"));
    let place = tempfile::tempdir().unwrap();
    let (mut documents, mut lists) = (Vec::new(), Vec::new());
    let bank = Bank::bundled().unwrap();
    for (number, problems) in drawn(&bank, draws()).enumerate() {
        let bytes = Qti::V2.export(&sheet(&bank, &problems), &Options::default()).unwrap();
        let package = Package::read(&bytes);
        for (name, bytes) in package.files.iter().filter(|(name, _)| is_of(name, "xml")) {
            let file = place.path().join(format!("{number}-{}", name.replace('/', "-")));
            fs::write(&file, bytes).unwrap();
            if name == "imsmanifest.xml" { &mut lists } else { &mut documents }.push(file);
        }
    }
    for (schema, files) in [(items, documents), (manifests, lists)] {
        assert!(!files.is_empty());
        for files in files.chunks(200) {
            let mut check = Command::new("xmllint");
            if let Some(catalog) = find(&folder, "catalog.xml") {
                check.env("XML_CATALOG_FILES", catalog);
            }
            check.args(["--nonet", "--noout", "--schema"]).arg(&schema).args(files);
            let found = check.output().expect("xmllint is needed for the check");
            assert!(found.status.success(), "{}", String::from_utf8_lossy(&found.stderr));
        }
    }
}
