//! Feedback as pages to print: who gets which files, and that no text breaks them.

use std::fs;

use super::{BLUEPRINT, ClassFolder, files};
use crate::unpacked::unpacked;

/// Text that tries to be Typst markup, to end a string or content, or to have no glyph.
const HOSTILE: &str =
    "#panic() ]) } \\ $x$ *b* <l> @r // {{ i }} \u{1f600} \u{5d0} e\u{301}\u{323} \u{202e}";

fn class() -> String {
    format!("candidate,name,needs\n1,{HOSTILE},\n2,B,large print\n3,C,\n")
}

fn desk() -> ClassFolder {
    let desk =
        ClassFolder::with(&BLUEPRINT.replace("Marked <paper>", "Marked x#<paper>"), &class());
    let long = "x".repeat(300);
    desk.put("answers.csv", &format!("candidate,1a,1b,2b\n1,{HOSTILE},,{long}\n2,1 g,2,\n"));
    desk
}

fn names(desk: &ClassFolder) -> Vec<String> {
    let all = files(&desk.path("marks")).into_iter().map(|(name, _)| name);
    all.filter(|name| name.contains('/')).collect()
}

fn count(bytes: &[u8], piece: &str) -> usize {
    bytes.windows(piece.len()).filter(|window| *window == piece.as_bytes()).count()
}

#[test]
fn feedback_comes_as_pages_and_a_format_that_is_there_stays() {
    let desk = desk();
    desk.mark("answers.csv --to marks --format pdf");
    assert_eq!(names(&desk), ["feedback/0001-1.pdf", "feedback/0002-2.pdf"]);
    let read = |name: &str| fs::read(desk.path(name)).unwrap();
    let file = read("marks/feedback/0001-1.pdf");
    let first = unpacked(&file);
    assert!(first.starts_with(b"%PDF-1.7"));
    for piece in [
        "<pdfuaid:part>1</pdfuaid:part>",
        "/StructTreeRoot",
        "en-GB",
        "/Title(Marked x#<paper>: candidate 1)",
        "/Title(Question 1: 0 of 4 marks)",
        "/Title(Question 3: 0 of 3 marks)",
        "licensed pharmacist",
        "/MediaBox[0 0 595.276 841.89]",
    ] {
        assert!(count(&first, piece) > 0, "{piece} is missing");
    }
    // Marked again without a word about formats: the same files with the same bytes.
    desk.mark("answers.csv --to marks");
    assert_eq!(names(&desk), ["feedback/0001-1.pdf", "feedback/0002-2.pdf"]);
    assert!(read("marks/feedback/0001-1.pdf") == file);
}

#[test]
fn worked_solutions_come_in_the_formats_of_the_feedback() {
    let desk = desk();
    desk.put("answers.csv", "candidate,1a,1b\n2,1 g,2\n");
    desk.mark("answers.csv --to marks --solutions --format pdf,html,pdf --paper letter");
    assert_eq!(
        names(&desk),
        [
            "feedback/0002-2.html",
            "feedback/0002-2.pdf",
            "solutions/0002-2.html",
            "solutions/0002-2.pdf",
        ]
    );
    for name in ["feedback", "solutions"] {
        let bytes = unpacked(&fs::read(desk.path(&format!("marks/{name}/0002-2.pdf"))).unwrap());
        assert!(count(&bytes, "/MediaBox[0 0 612 792]") > 0, "{name}");
    }
    let feedback = unpacked(&fs::read(desk.path("marks/feedback/0002-2.pdf")).unwrap());
    assert!(count(&feedback, "../solutions/0002-2.pdf") > 0);
    assert!(desk.read("marks/feedback/0002-2.html").contains("../solutions/0002-2.html"));
}

#[test]
fn large_print_takes_more_pages_for_the_same_words() {
    let desk = desk();
    desk.put("answers.csv", "candidate,1a,1b\n2,1 g,2\n3,1 g,2\n");
    desk.mark("answers.csv --to marks --format pdf");
    let pages = |name: &str| {
        let file = fs::read(desk.path(&format!("marks/feedback/{name}.pdf"))).unwrap();
        let bytes = unpacked(&file);
        count(&bytes, "/MediaBox")
    };
    let (large, usual) = (pages("0002-2"), pages("0003-3"));
    assert!(large > usual, "{large} pages in large print, {usual} pages otherwise");
}

#[test]
fn a_format_that_feedback_does_not_come_in_is_told() {
    let desk = desk();
    let said = desk.refused("answers.csv --to marks --format pdf,docx");
    assert!(
        said.contains("invalid value 'docx'") && said.contains("text, markdown, html, pdf"),
        "{said}"
    );
    assert!(!desk.path("marks").exists());
}
