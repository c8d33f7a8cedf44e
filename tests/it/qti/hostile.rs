//! That no text breaks a package: neither its documents nor its names of files.

use std::collections::HashSet;
use std::sync::Arc;

use castmark::bank::Bank;
use castmark::export::{Contents, Qti, Sheet};
use castmark::problem::{Problem, Response};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};

use crate::export::retold::retold;

use super::package::{Element, Package};
use super::sheet;

/// Texts that try to end what they stand in, to be read as something else, or to be no XML at all.
const HOSTILE: &[&str] = &[
    "]]> <![CDATA[ x ]]>",
    "</p></itemBody></assessmentItem><qti-response-processing/>",
    "\" onload=\"alert(1)\" x='",
    "<!DOCTYPE x [<!ENTITY e SYSTEM \"file:///etc/passwd\">]>&e;&#x0;&#1;&unknown;",
    "<?xml version=\"1.1\"?><!-- -- --> <xi:include href=\"http://example.org/\"/>",
    "\0\u{1}\u{8}\u{b}\u{c}\u{e}\u{1f}\u{7f}\u{85}\u{9f}\u{fffe}\u{ffff}\u{feff}",
    "\u{202e}txet desrever\u{2066} \u{1f4a9} \u{10ffff}",
    "../../../etc/passwd",
    "CON\\..\\x:y*?|",
    "",
];

/// Problems of every kind of answer.
fn every_kind(bank: &Bank) -> Vec<Problem> {
    let mut kinds = Vec::new();
    let mut problems = Vec::new();
    for template in bank.templates() {
        let problem = Problem::draw(bank, template, 3).unwrap();
        let kind = |response: &Response| std::mem::discriminant(response);
        let new = problem.parts.iter().any(|part| !kinds.contains(&kind(&part.response)));
        if new {
            kinds.extend(problem.parts.iter().map(|part| kind(&part.response)));
            problems.push(problem);
        }
    }
    let different: HashSet<_> = kinds.into_iter().collect();
    assert_eq!(different.len(), 9, "a kind of answer is in no template");
    problems
}

/// What is left of a tree without texts and attributes. Mathematics is left out: it is built of what a
/// result says, a number and a unit or other words.
fn shape(element: &Element) -> Vec<String> {
    let mut shape = vec![format!("{} {}", element.name, element.children.len())];
    if element.name != "math" {
        shape.extend(element.children.iter().flat_map(self::shape));
    }
    shape
}

#[test]
fn hostile_texts_change_no_element_of_an_item() {
    let bank = Bank::bundled().unwrap();
    let sheet = sheet(&bank, &every_kind(&bank));
    let plain = Package::of(Qti::V3, &retold(&sheet, &|_| "x".to_owned()));
    let plain: Vec<Vec<String>> = plain.items().iter().map(shape).collect();
    for text in HOSTILE {
        let hostile = retold(&sheet, &|_| (*text).to_owned());
        for version in [Qti::V3, Qti::V2] {
            let package = Package::of(version, &hostile);
            let found: Vec<Vec<String>> = package.items().iter().map(shape).collect();
            assert_eq!(found, plain, "{text:?}");
            for name in &package.names {
                let is_plain = |c: char| c.is_ascii_alphanumeric() || "-_./".contains(c);
                assert!(name.chars().all(is_plain) && !name.contains(".."), "{name}");
                Element::read(package.text(name));
            }
        }
    }
}

#[test]
fn no_title_changes_an_element_or_a_name() {
    let bank = Bank::bundled().unwrap();
    let problem = Problem::draw(&bank, bank.find("value-from-factor").unwrap(), 1).unwrap();
    let sheet = sheet(&bank, &[problem]);
    let shapes = |sheet: &Sheet| -> Vec<Vec<String>> {
        let package = Package::of(Qti::V3, sheet);
        for name in &package.names {
            let is_plain = |c: char| c.is_ascii_alphanumeric() || "-_./".contains(c);
            assert!(name.chars().all(is_plain) && !name.contains(".."), "{name}");
            Element::read(package.text(name));
        }
        package.items().iter().map(shape).collect()
    };
    let plain = shapes(&sheet);
    let cases = std::env::var("CASTMARK_CASES").map_or(40, |text| text.parse().unwrap());
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    let letters = any::<Vec<char>>().prop_map(|letters| letters.into_iter().collect());
    let titles = prop_oneof![letters, any::<String>()];
    let outcome = TestRunner::new(config).run(&titles, |title: String| {
        let titled = Sheet { title, ..sheet.clone() };
        prop_assert_eq!(&shapes(&titled), &plain);
        Ok(())
    });
    outcome.unwrap_or_else(|failure| panic!("{failure}"));
}

#[test]
fn what_a_text_says_comes_out_as_it_went_in() {
    let bank = Bank::bundled().unwrap();
    let problem = Problem::draw(&bank, bank.find("value-from-factor").unwrap(), 1).unwrap();
    let mut sheet = sheet(&bank, &[problem]);
    let text = "a < b & c > d ]]> \"e\" 'f' &amp; &#0; ü";
    sheet.title = text.to_owned();
    sheet.note = Some(text.to_owned()).into();
    let entry = Arc::make_mut(&mut sheet.entries[0]);
    entry.heading = Some(text.to_owned());
    entry.parts[0].ask = text.to_owned();
    let package = Package::of(Qti::V3, &sheet);
    let test = Element::read(package.text("test.xml"));
    assert_eq!(test.have("title"), text);
    assert!(test.words().contains(text));
    let item = &package.items()[0];
    assert_eq!(item.have("title"), text);
    assert!(item.words().contains(text));
}

#[test]
fn a_sheet_of_nothing_is_a_package_of_nothing() {
    let bank = Bank::bundled().unwrap();
    let sheet = Sheet::of(&bank, Vec::<Problem>::new(), "\u{1}", Contents::ALL).unwrap();
    for version in [Qti::V3, Qti::V2] {
        let package = Package::of(version, &sheet);
        assert_eq!(package.names, ["imsmanifest.xml", "test.xml"]);
        assert_eq!(Element::read(package.text("test.xml")).have("title"), "");
    }
}

#[test]
fn a_hundred_thousand_letters_make_a_name_that_fits_any_disk() {
    let bank = Bank::bundled().unwrap();
    let problem = Problem::draw(&bank, bank.find("value-from-factor").unwrap(), 1).unwrap();
    let mut sheet = sheet(&bank, &[problem]);
    Arc::make_mut(&mut sheet.entries[0]).code = Some("x".repeat(100_000));
    sheet.mark = Some("y".repeat(100_000));
    let package = Package::of(Qti::V3, &sheet);
    assert!(package.names.iter().all(|name| name.len() < 100), "{:?}", package.names);
}
