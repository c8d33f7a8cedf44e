//! The document: style, script, engine and contents in one file of HTML.

use std::fmt::Write as _;
use std::io::Write as _;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use castmark::export::CAUTION;
use castmark::page::Contents;
use flate2::Compression;
use flate2::write::DeflateEncoder;
use minijinja::{AutoEscape, Environment, UndefinedBehavior, Value, context};
use serde_json::json;
use sha2::{Digest, Sha256};

use crate::cli::outcome::Failure;

include!(concat!(env!("OUT_DIR"), "/script.rs"));

/// The library for a browser, as `exports/page/build` makes it.
const ENGINE: &[u8] = include_bytes!("../../../exports/page/engine.wasm");

const LAYOUT: &str = include_str!("../../../exports/page/page.html.jinja");
const STYLE: &str = include_str!("../../../exports/page/style.css");

/// Where a page will stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Destination {
    /// In a file by itself.
    Alone,
    /// Beside the files with which a browser puts it on the home screen.
    Home,
}

/// A page as one file.
#[derive(Debug)]
pub(super) struct Document(String);

impl Document {
    /// The page with these contents, for that place.
    ///
    /// # Errors
    /// When the layout cannot be filled in, which a test rules out.
    pub(super) fn of(contents: &Contents, destination: Destination) -> Result<Self, Failure> {
        let script = SCRIPT.to_owned();
        let held = serde_json::to_string(contents).map_err(Failure::unusable)?;
        let about = json!({
            "title": contents.title,
            "made": contents.made,
            "version": env!("CARGO_PKG_VERSION"),
            "exam": contents.exam,
            "contents": mark(&held),
            "caution": CAUTION,
            "home": destination == Destination::Home,
        });
        let safe = |text: String| Value::from_safe_string(text);
        let fields = context! {
            title => &contents.title,
            lang => "en-GB",
            caution => CAUTION,
            version => env!("CARGO_PKG_VERSION"),
            made => castmark::page::date_in_words(&contents.made),
            home => destination == Destination::Home,
            policy => policy(&script, destination),
            style => safe(STYLE.to_owned()),
            script => safe(script),
            about => safe(in_element(&about.to_string())),
            contents => safe(packed(held.as_bytes())?),
            engine => safe(packed(ENGINE)?),
        };
        let mut environment = Environment::new();
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        environment.set_auto_escape_callback(|_| AutoEscape::Html);
        let text = environment.render_str(LAYOUT, fields).map_err(Failure::unusable)?;
        Ok(Self(text))
    }

    /// Its text.
    pub(super) fn text(&self) -> &str {
        &self.0
    }
}

/// What the page may do: run its own script and engine, and show pictures that it holds. Styles may
/// stand in elements, as those of a sheet shown in a frame do; nothing can be fetched, by them neither.
fn policy(script: &str, destination: Destination) -> String {
    let hash = STANDARD.encode(Sha256::digest(script.as_bytes()));
    let home = match destination {
        Destination::Alone => "img-src data:",
        Destination::Home => "img-src data: 'self'; manifest-src 'self'; worker-src 'self'",
    };
    format!(
        "default-src 'none'; script-src 'sha256-{hash}' 'wasm-unsafe-eval'; style-src \
         'unsafe-inline'; {home}; base-uri 'none'; form-action 'none'"
    )
}

/// A mark by which a browser knows contents again: eight letters.
pub(super) fn mark(contents: &str) -> String {
    let mut mark = String::new();
    for byte in Sha256::digest(contents.as_bytes()).iter().take(4) {
        let _ = write!(mark, "{byte:02x}");
    }
    mark
}

/// JSON that cannot end the element in which it stands.
fn in_element(json: &str) -> String {
    json.replace('<', "\\u003c")
}

/// Bytes deflated, as text.
fn packed(bytes: &[u8]) -> Result<String, Failure> {
    let mut encoder = DeflateEncoder::new(Vec::new(), Compression::best());
    let packed = encoder.write_all(bytes).and_then(|()| encoder.finish());
    Ok(STANDARD.encode(packed.map_err(Failure::unusable)?))
}
