//! What holds for a class as a whole: problems alike in difficulty, one file for all, the code for a
//! camera, and the size of paper.

use std::fs;

use castmark::export::{Document, Exporter, Html, Options, Sheet};
use castmark::paper::{Difficulty, PaperSet, Plan, Secret, Spread};

use super::{BLUEPRINT, bank, blueprint, class, files, folder, make_in};

/// The difficulties of a template's problems in a class of 60.
fn difficulties(text: &str, template: &str) -> Vec<Difficulty> {
    let bank = bank();
    let blueprint = blueprint(&bank, text);
    let secret = Secret::new([7; 32]);
    let set = PaperSet::make(&bank, &blueprint, &secret, &class(0..60), None, 0, None).unwrap();
    let told = bank.find(template).unwrap().starts();
    let mut found = Vec::new();
    for paper in &set.papers {
        for problem in paper.problems(&bank, &blueprint, "0").unwrap() {
            if problem.template.id == template {
                let template = &problem.template;
                found.push(Difficulty::of(template, &told, &problem.draw, &problem.slots));
            }
        }
    }
    found
}

#[test]
fn the_problems_of_a_class_are_kept_alike_and_a_blueprint_says_how_much() {
    let template = "value-from-percent";
    let text = BLUEPRINT.replace("value-from-factor", template);
    let with = |figures: u32, uneven: u32| {
        let band = format!("difficulty:\n  figures: {figures}\n  uneven: {uneven}\nsections:");
        difficulties(&text.replace("sections:", &band), template)
    };
    let middle = Spread::of(&bank(), bank().find(template).unwrap()).unwrap().middle;
    for (found, figures, uneven) in
        [(difficulties(&text, template), 2, 1), (with(0, 1), 0, 1), (with(3, 0), 3, 0)]
    {
        assert_eq!(found.len(), 60);
        for found in found {
            assert!(found.figures.abs_diff(middle.figures) <= figures, "{found:?} {middle:?}");
            assert!(found.uneven.abs_diff(middle.uneven) <= uneven, "{found:?} {middle:?}");
        }
    }
    let wide = with(1000, 1000);
    assert!(wide.iter().any(|it| it.uneven.abs_diff(middle.uneven) > 1), "{wide:?} {middle:?}");
}

#[test]
fn a_narrower_band_leaves_fewer_problems_and_the_plan_tells_how_many() {
    let bank = bank();
    let there = |band: &str| {
        let text = BLUEPRINT.replace("sections:", &format!("{band}sections:"));
        let plan = Plan::of(&bank, &blueprint(&bank, &text));
        let supply = plan.supplies.iter().find(|it| it.template.id == "value-from-factor");
        supply.unwrap().there.unwrap().number()
    };
    let wide = there("difficulty: {figures: 1000, uneven: 1000}\n");
    let (usual, narrow) = (there(""), there("difficulty: {figures: 0, uneven: 0}\n"));
    assert!(narrow < usual && usual <= wide && narrow > 0, "{narrow} {usual} {wide}");
}

#[test]
fn the_code_is_printed_for_a_camera_where_candidates_read_it_and_only_if_asked() {
    let bank = bank();
    for (asked, text) in [
        (true, BLUEPRINT.replace("minutes:", "qr_code: true\nminutes:")),
        (false, BLUEPRINT.to_owned()),
    ] {
        let blueprint = blueprint(&bank, &text);
        let secret = Secret::new([7; 32]);
        let set = PaperSet::make(&bank, &blueprint, &secret, &class(0..1), None, 0, None).unwrap();
        let paper = &set.papers[0];
        let problems = paper.problems(&bank, &blueprint, "0").unwrap();
        let said = format!("aria-label=\"QR code of the paper code {}\"", paper.code);
        for document in Document::OF_CANDIDATES {
            let sheet =
                Sheet::of_paper(&bank, &blueprint, paper, problems.clone(), document).unwrap();
            let page = Html.export(&sheet, &Options::default()).unwrap();
            let page = String::from_utf8(page).unwrap();
            let wanted = asked && matches!(document, Document::Questions | Document::Slip);
            assert_eq!(page.contains(&said), wanted, "{document:?}");
        }
    }
}

#[test]
fn the_size_of_paper_is_kept_with_the_papers() {
    let desk = folder("candidate\n0101\n");
    make_in(&desk, ",html --paper letter");
    let letter = files(&desk.path("set"));
    let page = fs::read_to_string(desk.path("set/papers/0001-0101.html")).unwrap();
    assert!(page.contains("size: letter"), "{page}");
    let again = desk.run("paper again set/manifest.jsonl --candidate 0101 --format html");
    assert_eq!(again.out, page);
    make_in(&desk, ",html");
    assert_eq!(files(&desk.path("set")), letter, "a second run need not be told");
    let a4 = desk.run("paper again set/manifest.jsonl --candidate 0101 --format html --paper a4");
    assert!(a4.out.contains("size: A4"));
}

#[cfg(feature = "pdf")]
#[test]
fn names_that_no_font_can_write_are_told_by_their_numbers() {
    let desk = folder("candidate,name\n0101,Ana\n0102,\u{5f20}\u{4f1f}\n0103,\u{1f600}\n");
    fs::write(desk.path("midterm.yaml"), SHORT).unwrap();
    let told = |command: &str| {
        let output = desk.run(command);
        assert_eq!(output.code, 0, "{output:?}");
        output.err.replace('\n', " ")
    };
    let make = "paper make midterm.yaml --class class.csv --to set --documents slips --format";
    let words = "cannot write the names of candidates 0102 and 0103";
    let said = told(&format!("{make} pdf"));
    assert!(said.contains(words) && said.contains("--font"), "{said}");
    assert!(told("paper plan midterm.yaml --class class.csv").contains(words));
    assert!(!told(&format!("{make} html")).contains(words));
}

#[cfg(feature = "pdf")]
#[test]
fn a_layout_that_repeats_without_end_is_refused() {
    let desk = folder("candidate\n0101\n");
    let refused = |markup: &str| {
        let layout = format!("#set document(title: \"t\")\n{{{{ caution }}}}\n{markup}\n");
        fs::write(desk.path("own.typ.jinja"), layout).unwrap();
        let output =
            desk.run("problem --count 1 --format pdf --output a.pdf --layout own.typ.jinja");
        assert_eq!(output.code, 2, "{output:?}");
        output.err.replace('\n', " ")
    };
    let said = refused("#{ for a in range(90000) { for b in range(90000) { let c = a } } }");
    assert!(said.contains("10 seconds"), "{said}");
    let said = refused("#(\"a\" * 1000000000000)");
    assert!(said.contains("1200 MB") || said.contains("cannot be set"), "{said}");
    let said = refused("#nothing");
    assert!(said.contains("unknown variable: nothing"), "{said}");
}

/// A paper that is quick to set.
#[cfg(feature = "pdf")]
const SHORT: &str = "castmark: 1\nid: short\ntitle: Short\nminutes: 20\nqr_code: true\nsections:\n\
    \x20 - title: Section A\n    slots:\n      - template: value-from-factor\n";

#[cfg(feature = "pdf")]
#[test]
fn a_class_gets_its_pdf_files_bound_into_one_and_large_print_apart() {
    use hayro_syntax::Pdf;
    let desk = folder("candidate,needs\n0101,\n0102,\n0103,large print\n");
    fs::write(desk.path("midterm.yaml"), SHORT).unwrap();
    let output = desk.run("paper make midterm.yaml --class class.csv --to set --format pdf");
    assert_eq!(output.code, 0, "{output:?}");
    let pages = |name: &str| {
        let bytes = fs::read(desk.path(&format!("set/{name}"))).unwrap();
        Pdf::new(bytes).unwrap_or_else(|_| panic!("{name}")).pages().len()
    };
    for document in ["papers", "slips"] {
        let of = |candidate: &str| pages(&format!("{document}/{candidate}.pdf"));
        let bound = pages(&format!("{document}.pdf"));
        assert_eq!(bound, of("0001-0101") + of("0002-0102"), "{document}");
        assert_eq!(pages(&format!("{document}-large-print.pdf")), of("0003-0103"), "{document}");
    }
    // Markers read the others, so they are in ordinary print for all.
    for document in ["keys", "schemes"] {
        let of = |candidate: &str| pages(&format!("{document}/{candidate}.pdf"));
        let all = of("0001-0101") + of("0002-0102") + of("0003-0103");
        assert_eq!(pages(&format!("{document}.pdf")), all, "{document}");
        assert!(!desk.path(&format!("set/{document}-large-print.pdf")).exists());
    }
    let before = files(&desk.path("set"));
    let output = desk.run("paper make midterm.yaml --class class.csv --to set");
    assert_eq!(output.code, 0, "{output:?}");
    assert!(files(&desk.path("set")) == before, "made again, the files are the same");
}
