//! Sheets as PDF: what every file has, and that no text breaks it.

use castmark::bank::Bank;
use castmark::export::{
    CandidateField, Contents, Exporter, Options, PaperSize, Pdf, Sheet, TypeSize,
};
use castmark::problem::Problem;

use super::retold::retold;
use super::sample::sheet;
use crate::unpacked::unpacked;

/// Text that tries to be Typst markup, to end a string or content, or to have no glyph.
const HOSTILE: &str = "#panic() #let $x$ *b* _i_ `c` <l> @r \\ // /* ]) } \" ' = - + 1. ~ -- ... \
     {{ i }} \u{1f600} \u{5d0}\u{5d1} \u{645}\u{631} \u{6c49} e\u{301}\u{323} \u{1b}[31m\u{202e}\0\t";

#[track_caller]
fn pdf(sheet: &Sheet, options: &Options) -> Vec<u8> {
    Pdf.export(sheet, options).unwrap_or_else(|problem| panic!("{problem}"))
}

fn has(bytes: &[u8], piece: &str) -> bool {
    bytes.windows(piece.len()).any(|window| window == piece.as_bytes())
}

#[test]
fn a_pdf_is_tagged_and_names_its_language_and_title() {
    for contents in [Contents::QUESTIONS, Contents::KEY, Contents::SOLUTIONS, Contents::ALL] {
        let made = unpacked(&pdf(&sheet(contents), &Options::default()));
        assert!(made.starts_with(b"%PDF-1.7"));
        for piece in ["/StructTreeRoot", "/MarkInfo", "/Marked true", "/Lang", "en-GB"] {
            assert!(has(&made, piece), "{piece} is missing");
        }
        assert!(has(&made, "/DisplayDocTitle true") && has(&made, "paper 2"));
        assert!(has(&made, "<pdfuaid:part>1</pdfuaid:part>"), "it does not say PDF/UA-1");
        assert!(!has(&made, "/CreationDate") && !has(&made, "xmp:CreateDate"));
    }
}

#[test]
fn the_same_sheet_gives_the_same_bytes() {
    let make = |contents| pdf(&sheet(contents), &Options::default());
    let first = make(Contents::ALL);
    make(Contents::KEY);
    assert!(first == make(Contents::ALL));
}

#[test]
fn every_paper_and_type_size_can_be_set() {
    for paper in PaperSize::ALL {
        for type_size in TypeSize::ALL {
            let options = Options { paper, type_size, ..Options::default() };
            let made = unpacked(&pdf(&sheet(Contents::KEY), &options));
            let size = match paper {
                PaperSize::A4 => "/MediaBox[0 0 595.276 841.89]",
                PaperSize::Letter => "/MediaBox[0 0 612 792]",
            };
            assert!(has(&made, size), "{paper:?}");
        }
    }
}

#[test]
fn hostile_texts_can_be_set() {
    pdf(&retold(&sheet(Contents::ALL), &|_| HOSTILE.into()), &Options::default());
}

#[test]
fn endless_words_and_empty_texts_can_be_set() {
    let mut long = sheet(Contents::QUESTIONS);
    long.entries.truncate(1);
    long.title = "x".repeat(200);
    long.note = Some(format!("{} {}", "x".repeat(10_000), "word ".repeat(1_000))).into();
    long.candidate = CandidateField::Number("9".repeat(200));
    pdf(&long, &Options::default());
    pdf(&retold(&sheet(Contents::ALL), &|_| String::new()), &Options::default());
    pdf(&Sheet { entries: Vec::new(), ..sheet(Contents::ALL) }, &Options::default());
}

#[test]
fn a_question_paper_as_pdf_holds_nothing_of_the_key() {
    let markup = Pdf.markup(&sheet(Contents::QUESTIONS), &Options::default()).unwrap();
    for secret in ["24\\.0", "23\\.9", "took off", "warm spatula", "a hollow"] {
        assert!(!markup.contains(secret), "{secret}");
    }
    assert!(Pdf.markup(&sheet(Contents::ALL), &Options::default()).unwrap().contains("24\\.0"));
}

#[test]
fn formulas_and_drawings_are_said_in_words() {
    let markup = Pdf.markup(&sheet(Contents::SOLUTIONS), &Options::default()).unwrap();
    for said in [
        "[number cast × dose in each unit], [#math.equation(alt: \"12 × 200 mg\"",
        "#drawn(alt: \"The mould holds 24.48 g of base.",
    ] {
        assert!(markup.contains(said), "{said}\n{markup}");
    }
}

#[test]
fn a_layout_that_makes_no_sound_pages_is_told() {
    let layout = Pdf
        .layout("own.typ", "#set document(title: \"t\")\n{{ caution }} #nothing({{ marks }})")
        .unwrap();
    let options = Options { layout: Some(layout), ..Options::default() };
    let problem = Pdf.export(&sheet(Contents::ALL), &options).unwrap_err().to_string();
    assert_eq!(
        problem,
        "own.typ:2:16: the pages cannot be set: unknown variable: nothing at `nothing`; mend this piece \
         of Typst markup"
    );
}

#[test]
fn a_copied_layout_sets_the_same_pages() {
    let (file, source) = Pdf.bundled_layout().unwrap();
    let layout = Some(Pdf.layout(file, source).unwrap());
    let options = Options { layout, ..Options::default() };
    assert!(
        pdf(&sheet(Contents::KEY), &options) == pdf(&sheet(Contents::KEY), &Options::default())
    );
}

#[test]
fn the_problems_of_the_bank_can_be_set() {
    let bank = Bank::bundled().unwrap_or_else(|report| panic!("{}", report.plain()));
    let problems: Vec<Problem> = bank
        .templates()
        .iter()
        // One in six: setting pages is slow where nothing is optimised.
        .step_by(6)
        .map(|template| {
            Problem::draw(&bank, template, 7).unwrap_or_else(|problem| panic!("{problem}"))
        })
        .collect();
    let sheet =
        Sheet::of(&bank, problems.iter().cloned(), "Some templates once", Contents::ALL).unwrap();
    pdf(&sheet, &Options { type_size: TypeSize::Large, ..Options::default() });
}
