//! That packages are whole: every file is listed, every identifier is declared, nothing is fetched.

use std::collections::BTreeSet;

use castmark::bank::Bank;
use castmark::export::{CAUTION, Contents, Exporter, Options, Qti, Sheet};
use castmark::problem::Problem;

use super::package::{Element, Package, is_of};
use super::{drawn, draws, sheet};

const VERSIONS: [Qti; 2] = [Qti::V3, Qti::V2];

/// Problems of several templates, of each two.
fn some(bank: &Bank) -> Vec<Problem> {
    drawn(bank, 2).step_by(9).flatten().collect()
}

#[test]
fn both_versions_are_one_tree_in_other_words() {
    let bank = Bank::bundled().unwrap();
    for problems in drawn(&bank, draws()) {
        let sheet = sheet(&bank, &problems);
        let [later, earlier] = VERSIONS.map(|version| Package::of(version, &sheet));
        assert_eq!(later.items(), earlier.items());
        let [later_test, earlier_test] =
            [&later, &earlier].map(|package| Element::read(package.text("test.xml")));
        assert_eq!(later_test, earlier_test);
        assert!(later.text("test.xml").contains("<qti-assessment-test "));
        assert!(earlier.text("test.xml").contains("<assessmentTest "));
    }
}

#[test]
fn the_manifest_lists_every_file_once_and_no_other() {
    let bank = Bank::bundled().unwrap();
    for version in VERSIONS {
        let package = Package::of(version, &sheet(&bank, &some(&bank)));
        assert_eq!(package.names.first().map(String::as_str), Some("imsmanifest.xml"));
        let manifest = Element::read(package.text("imsmanifest.xml"));
        let files = manifest.named("file").into_iter().map(|file| file.have("href"));
        let mut listed: Vec<&str> = files.collect();
        let held = package.names.iter().map(String::as_str).filter(|it| *it != "imsmanifest.xml");
        let mut held: Vec<&str> = held.collect();
        listed.sort_unstable();
        held.sort_unstable();
        assert_eq!(listed, held);
        let resources = manifest.named("resource");
        let names: BTreeSet<&str> = resources.iter().map(|it| it.have("identifier")).collect();
        assert_eq!(names.len(), resources.len());
        let needed = manifest.named("dependency");
        assert_eq!(needed.len() + 1, resources.len());
        assert!(needed.iter().all(|it| names.contains(it.have("identifierref"))));
        let test = Element::read(package.text("test.xml"));
        for item in test.named("assessmentItemRef") {
            let named = Element::read(package.text(item.have("href")));
            assert_eq!(named.have("identifier"), item.have("identifier"));
        }
    }
}

#[test]
fn every_identifier_that_is_used_is_declared() {
    let bank = Bank::bundled().unwrap();
    for problems in drawn(&bank, draws()) {
        for item in Package::of(Qti::V3, &sheet(&bank, &problems)).items() {
            check_identifiers(&item);
        }
    }
}

#[track_caller]
fn check_identifiers(item: &Element) {
    let declared = |name: &str| -> BTreeSet<&str> {
        let all = item.named(name);
        let names: BTreeSet<&str> = all.iter().map(|it| it.have("identifier")).collect();
        assert_eq!(names.len(), all.len(), "declared twice");
        names
    };
    let (responses, outcomes) = (declared("responseDeclaration"), declared("outcomeDeclaration"));
    assert!(responses.is_disjoint(&outcomes));
    let mut asked = BTreeSet::new();
    for element in item.all() {
        asked.extend(element.get("responseIdentifier"));
        asked.extend(element.get("stringIdentifier"));
        match element.name.as_str() {
            "variable" => {
                let name = element.have("identifier");
                assert!(responses.contains(name) || outcomes.contains(name), "{name}");
            }
            "correct" | "mapResponse" => assert!(responses.contains(element.have("identifier"))),
            "setOutcomeValue" => assert!(outcomes.contains(element.have("identifier"))),
            "modalFeedback" | "feedbackBlock" => {
                assert!(outcomes.contains(element.have("outcomeIdentifier")));
            }
            _ => {}
        }
    }
    assert_eq!(asked, responses, "an answer without its room, or room without its answer");
    for declaration in item.named("responseDeclaration") {
        let choices: BTreeSet<&str> = item
            .all()
            .into_iter()
            .filter(|it| it.get("responseIdentifier") == Some(declaration.have("identifier")))
            .flat_map(Element::all)
            .filter(|it| it.name.starts_with("simple") && it.name.ends_with("Choice"))
            .map(|it| it.have("identifier"))
            .collect();
        let keys = declaration.named("mapEntry").into_iter().map(|entry| entry.have("mapKey"));
        let values = declaration.named("value").into_iter().map(|it| it.text.as_str());
        for value in keys.chain(values).filter(|_| !choices.is_empty()) {
            let known = value.split(' ').all(|choice| choices.contains(choice));
            assert!(known, "{value} is not among {choices:?}");
        }
    }
}

#[test]
fn a_package_fetches_nothing_and_is_the_same_every_time() {
    let bank = Bank::bundled().unwrap();
    let sheet = sheet(&bank, &some(&bank));
    for version in VERSIONS {
        let package = Package::of(version, &sheet);
        let made = || version.export(&sheet, &Options::default()).unwrap();
        assert_eq!(made(), made());
        for name in package.names.iter().filter(|name| is_of(name, "xml")) {
            for element in Element::read(package.text(name)).all() {
                for (attribute, value) in &element.attributes {
                    assert!(!value.contains("://"), "{name}: {attribute}={value}");
                }
                if let Some(image) = element.get("src") {
                    assert!(package.files.contains_key(&format!("items/{image}")), "{image}");
                    assert!(element.have("alt").len() > 20, "a drawing without words");
                }
                let active = ["object", "script", "stylesheet", "iframe", "include", "a"];
                assert!(!active.contains(&element.name.as_str()), "{name}: <{}>", element.name);
            }
        }
    }
}

#[test]
fn the_drawing_is_a_file_of_its_own_that_xml_can_read() {
    let bank = Bank::bundled().unwrap();
    let template = bank.find("base-one-drug").unwrap();
    let problem = Problem::draw(&bank, template, 4).unwrap();
    let package = Package::of(Qti::V3, &sheet(&bank, &[problem]));
    let drawing = package.names.iter().find(|name| is_of(name, "svg")).unwrap();
    let drawing = Element::read(package.text(drawing));
    assert_eq!(drawing.name, "svg");
    assert!(drawing.named("desc")[0].text.contains("The base to weigh is"));
}

#[test]
fn every_item_carries_the_caution_and_its_sources_come_after_the_end() {
    let bank = Bank::bundled().unwrap();
    let sheet = sheet(&bank, &some(&bank));
    assert!(sheet.entries.iter().any(|entry| !entry.sources.is_empty()));
    let mut told = String::new();
    for item in Package::of(Qti::V3, &sheet).items() {
        let rubrics = item.named("rubricBlock");
        let rubric = rubrics.iter().find(|it| it.have("view") == "candidate").unwrap();
        assert_eq!(rubric.children[0].text, CAUTION);
        let after = rubric.named("feedbackBlock");
        assert_eq!(after.len(), 1);
        assert_eq!(after[0].have("showHide"), "show");
        let before = item.named("itemBody")[0].words().replace(&after[0].words(), "");
        let mut sources = sheet.entries.iter().flat_map(|entry| &*entry.sources);
        assert!(!before.contains("Working"), "{before}");
        assert!(!sources.any(|source| before.contains(&source.value)), "{before}");
        told.push_str(&after[0].words());
    }
    let plain = |text: &str| text.replace('\u{a0}', " ");
    // Items lie in the order of their names, so each source is looked for in all of them.
    for source in sheet.entries.iter().flat_map(|entry| &*entry.sources) {
        assert!(plain(&told).contains(&plain(&source.value)), "{}", source.value);
    }
}

#[test]
fn a_package_of_questions_alone_holds_nothing_of_the_key() {
    let bank = Bank::bundled().unwrap();
    let sheet = Sheet::of(&bank, some(&bank), "Questions", Contents::QUESTIONS).unwrap();
    for version in VERSIONS {
        let left_out = version.left_out(&sheet);
        assert!(
            left_out.iter().any(|it| it.contains("not in the package: marking")),
            "{left_out:?}"
        );
        for item in Package::of(version, &sheet).items() {
            for name in [
                "correctResponse",
                "mapping",
                "responseProcessing",
                "modalFeedback",
                "feedbackBlock",
            ] {
                assert!(item.named(name).is_empty(), "<{name}> gives answers away");
            }
        }
    }
}

#[test]
fn problems_of_one_template_are_variants_of_which_a_candidate_gets_one() {
    let bank = Bank::bundled().unwrap();
    let draw = |id: &str, number| Problem::draw(&bank, bank.find(id).unwrap(), number).unwrap();
    let problems = [
        draw("base-one-drug", 1),
        draw("value-from-factor", 1),
        draw("base-one-drug", 2),
        draw("base-one-drug", 3),
    ];
    let package = Package::of(Qti::V3, &sheet(&bank, &problems));
    let test = Element::read(package.text("test.xml"));
    let sections = test.named("assessmentSection").into_iter().map(|section| {
        (section.named("selection")[0].have("select"), section.named("assessmentItemRef").len())
    });
    assert_eq!(sections.collect::<Vec<_>>(), [("1", 3), ("1", 1)]);
    let marks = problems[0].marks() + problems[1].marks();
    assert_eq!(test.named("outcomeDeclaration")[0].have("normalMaximum"), marks.to_string());
}

#[test]
fn the_same_problem_twice_has_two_identifiers() {
    let bank = Bank::bundled().unwrap();
    let problem = Problem::draw(&bank, bank.find("base-one-drug").unwrap(), 1).unwrap();
    let code = problem.code.clone().unwrap().to_string();
    let package = Package::of(Qti::V2, &sheet(&bank, &[problem.clone(), problem]));
    let items: Vec<String> =
        package.items().iter().map(|item| item.have("identifier").to_owned()).collect();
    assert_eq!(items, [code.clone(), format!("{code}-2")]);
}
