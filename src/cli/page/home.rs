//! The folder with which a browser puts a page on the home screen: the page, a manifest, icons, and a
//! worker that keeps them on the device.

use std::fs;
use std::path::Path;

use castmark::page::Contents;
use serde_json::json;

use super::document::{Destination, Document, mark};
use crate::cli::disk::{Readers, Target, plainly};
use crate::cli::outcome::Failure;

const WORKER: &str = include_str!("../../../exports/page/home/worker.js");
const ICON: &[u8] = include_bytes!("../../../exports/page/home/icon.svg");
const SMALL_ICON: &[u8] = include_bytes!("../../../exports/page/home/icon-192.png");
const LARGE_ICON: &[u8] = include_bytes!("../../../exports/page/home/icon-512.png");

/// The name of the page in the folder, which a web space shows for the folder itself.
const PAGE: &str = "index.html";

/// More letters do not fit below an icon.
const SHORT: usize = 12;

/// Writes the folder; returns how many bytes the page has. Other files in it stay as they are.
///
/// # Errors
/// When the folder or a file of it cannot be written; the page is written last.
pub(super) fn write(contents: &Contents, folder: &Path) -> Result<usize, Failure> {
    fs::create_dir_all(folder).map_err(|error| {
        Failure::unusable(format!("`{}` cannot be written: {}", folder.display(), plainly(&error)))
    })?;
    let page = Document::of(contents, Destination::Home)?;
    let worker = WORKER.replacen(" MARK`", &format!(" {}`", mark(page.text())), 1);
    let manifest = manifest(&contents.title);
    let files: [(&str, &[u8]); 6] = [
        ("icon.svg", ICON),
        ("icon-192.png", SMALL_ICON),
        ("icon-512.png", LARGE_ICON),
        ("manifest.webmanifest", manifest.as_bytes()),
        ("worker.js", worker.as_bytes()),
        (PAGE, page.text().as_bytes()),
    ];
    let prepare = |(name, bytes): (&str, _)| -> Result<_, Failure> {
        Ok((Target::prepare(&folder.join(name), Readers::Usual)?, bytes))
    };
    let targets: Vec<(Target, &[u8])> = files.into_iter().map(prepare).collect::<Result<_, _>>()?;
    for (target, bytes) in targets {
        target.write(bytes)?;
    }
    Ok(page.text().len())
}

/// What a browser needs to know of the page to put it on the home screen.
fn manifest(title: &str) -> String {
    let short: String = title.chars().take(SHORT).collect();
    let icon = |name: &str, sizes: &str, kind: &str| json!({"src": name, "sizes": sizes, "type": kind, "purpose": "any maskable"});
    let manifest = json!({
        "name": title,
        "short_name": short.trim(),
        "lang": "en-GB",
        "start_url": "./",
        "scope": "./",
        "display": "standalone",
        "background_color": "#fffefb",
        "theme_color": "#6b3a17",
        "icons": [
            icon("icon.svg", "any", "image/svg+xml"),
            icon("icon-192.png", "192x192", "image/png"),
            icon("icon-512.png", "512x512", "image/png"),
        ],
    });
    format!("{manifest:#}\n")
}
