//! Layouts of one's own that a blueprint names: papers, feedback and report have them without asking.

use super::*;

const CLASS: &str = "candidate,needs\n0101,\n0102,large print\n";

/// Layouts by their files, each with a word of its own.
const LAYOUTS: [(&str, &str); 5] = [
    (
        "exam.html.jinja",
        "{% extends \"paper.html.jinja\" %}\n{% block letterhead %}<p>Our hall</p>{% endblock %}\n",
    ),
    (
        "our-feedback.html.jinja",
        "{% extends \"feedback.html.jinja\" %}\n{% block cover %}<p>Our feedback</p>{% endblock %}\n",
    ),
    (
        "our-feedback.txt.jinja",
        "{{ title }} {{ candidate.number }} {{ whose }}\n{{ caution|hang(\"\") }}\n\
         {% for question in questions %}{{ question.heading }}{% for part in question.parts %} {{ part.standing }}\
         {{ part.right }}{% endfor %}\n{% endfor %}",
    ),
    (
        "our-report.html.jinja",
        "{% extends \"report.html.jinja\" %}\n{% block head %}<h1>Our report</h1>{% endblock %}\n",
    ),
    (
        "our-report.md.jinja",
        "{{ letterhead }}\n{{ caution }}\n{% for section in sections %}{{ section.title }}\n{% endfor %}",
    ),
];

/// A folder with a blueprint that names the layouts.
fn desk() -> Folder {
    let desk = folder(CLASS);
    let named: Vec<&str> = LAYOUTS.iter().map(|(name, _)| *name).collect();
    let more = format!(
        "minutes: 60\nletterhead: Invented College\nfoot: Printed in the hall\nlayouts: [{}]\n",
        named.join(", ")
    );
    desk.put("midterm.yaml", &BLUEPRINT.replace("minutes: 60\n", &more));
    for (name, text) in LAYOUTS {
        desk.put(name, text);
    }
    desk
}

/// Papers, marked and analysed.
fn marked() -> Folder {
    let desk = desk();
    make_in(&desk, ",html");
    fs::write(
        desk.path("answers.csv"),
        "candidate,question,part,answer\n0101,1,a,1 g\n0102,1,a,2 g\n",
    )
    .unwrap();
    desk.printed(
        "mark set/manifest.jsonl answers.csv --to marks --format html,text,markdown --solutions",
    );
    desk
}

#[test]
fn papers_feedback_and_report_have_the_layouts_of_the_blueprint() {
    let desk = marked();
    let paper = desk.read("set/papers/0001-0101.html");
    assert!(paper.contains("Our hall") && !paper.contains("Invented College"));
    let again = desk.printed("paper again set/manifest.jsonl --candidate 0101 --format html");
    assert_eq!(again, paper);
    let solutions = desk.read("marks/solutions/0001-0101.html");
    assert!(solutions.contains("Our hall"), "{solutions}");
    let page = desk.read("marks/feedback/0001-0101.html");
    assert!(page.contains("Our feedback") && page.contains("Invented College"), "{page}");
    assert!(page.contains("Printed in the hall"), "{page}");
    let text = desk.read("marks/feedback/0001-0101.txt");
    assert!(text.starts_with("Midterm: candidate 0101 0101 paper "), "{text}");
    assert!(text.contains("not-correctRight answer: "), "{text}");
    let markdown = desk.read("marks/feedback/0001-0101.md");
    assert!(markdown.starts_with("Invented College\n\n# Midterm: candidate 0101\n"), "{markdown}");
    let report = desk.printed("analyse marks/marks.jsonl --format html");
    assert!(report.contains("<h1>Our report</h1>") && report.contains("Printed in the hall"));
    let report = desk.printed("analyse marks/marks.jsonl --format markdown");
    assert!(
        report.starts_with("Invented College\n") && report.contains("\nThe paper as a whole\n")
    );
    let bare = desk.printed("analyse marks/marks.jsonl");
    assert!(bare.starts_with("Invented College\n\nItem analysis: Midterm\n"), "{bare}");
    assert!(bare.contains("Printed in the hall\n\nFor teaching"), "{bare}");
}

#[test]
fn letterhead_and_foot_are_on_every_list() {
    let desk = marked();
    for name in ["set/room/attendance.html", "set/key-table.html", "marks/results.html"] {
        let page = desk.read(name);
        let (letterhead, title) = (page.find("Invented College"), page.find("<h1>"));
        assert!(letterhead.is_some() && letterhead < title, "{name}");
        assert!(page.contains("Printed in the hall"), "{name}");
    }
    assert!(desk.read("set/room/attendance.txt").starts_with("Invented College\n\nMidterm"));
}

#[test]
fn an_option_takes_the_place_of_what_is_kept() {
    let desk = marked();
    for (name, base) in [("b-feedback.html.jinja", "feedback"), ("b-report.html.jinja", "report")] {
        let layout = format!(
            "{{% extends \"{base}.html.jinja\" %}}\n{{% block letterhead %}}<p>Another</p>{{% endblock %}}\n"
        );
        fs::write(desk.path(name), layout).unwrap();
    }
    let mark = "mark set/manifest.jsonl answers.csv --to marks";
    desk.printed(&format!("{mark} --layout b-feedback.html.jinja"));
    let page = desk.read("marks/feedback/0001-0101.html");
    assert!(page.contains("Another") && !page.contains("Our feedback"));
    let report =
        desk.printed("analyse marks/marks.jsonl --format html --layout b-report.html.jinja");
    assert!(report.contains("Another") && !report.contains("Our report"));
    // A layout that the blueprint names is read again by a later run; one that was an option is kept.
    fs::write(desk.path("c.txt.jinja"), "{{ title }} mine\n{{ caution }}\n").unwrap();
    make_in(&desk, ",html --layout c.txt.jinja");
    make_in(&desk, "");
    assert!(desk.read("set/papers/0001-0101.txt").starts_with("Midterm mine\n"));
    make_in(&desk, " --no-layout");
    assert!(!desk.read("set/papers/0001-0101.txt").contains("mine"));
}

#[test]
fn what_is_wrong_with_a_layout_of_feedback_or_report_is_told_with_its_place() {
    let desk = marked();
    let mark = "mark set/manifest.jsonl answers.csv --to marks --format html";
    for (name, layout, expected) in [
        (
            "a-feedback.html.jinja",
            "{% extends \"feedback.html.jinja\" %}\n{% block question %}{% endblock %}",
            "a-feedback.html.jinja:2:10: the layout that this one extends has no block `question`, so it \
             would not be printed; did you mean `questions`? The blocks are body, cover, foot, head, letterhead, \
             questions, style",
        ),
        (
            "a-feedback.html.jinja",
            "{% extends \"sheet.html.jinja\" %}\n{% block key %}{% endblock %}",
            "the layout that this one extends has no block `key`",
        ),
        (
            "a-feedback.html.jinja",
            "{{ caution }}\n{% for question in questions %}{{ question.headng }}{% endfor %}",
            "a-feedback.html.jinja:2:44: `headng` is not a field; did you mean `heading`?",
        ),
        ("a-feedback.html.jinja", "{{ title }}", "the sheet does not say the caution"),
        (
            "a.html.jinja",
            "{{ caution }}",
            "`a.html.jinja` is a layout for html, which is not made (sheet)",
        ),
        (
            "a-feedback.md.jinja",
            "{{ caution }}",
            "is a layout for markdown, which is not made (feedback)",
        ),
    ] {
        fs::write(desk.path(name), layout).unwrap();
        let said = desk.refused(&format!("{mark} --no-solutions --layout {name}"));
        assert!(said.contains(expected), "{layout}\n{said}");
    }
    let analyse = "analyse marks/marks.jsonl --format html --layout";
    for (name, layout, expected) in [
        (
            "a-report.html.jinja",
            "{{ caution }}\n{% for section in sections %}{{ section.titel }}{% endfor %}",
            "a-report.html.jinja:2:41: `titel` is not a field; did you mean `title`?",
        ),
        ("a.html.jinja", "{{ caution }}", "which is not made (sheet)"),
        ("a-report.txt.jinja", "{{ caution }}", "is a layout for text, which is not made (report)"),
    ] {
        fs::write(desk.path(name), layout).unwrap();
        let said = desk.refused(&format!("{analyse} {name}"));
        assert!(said.contains(expected), "{layout}\n{said}");
    }
}

#[test]
fn a_layout_that_the_blueprint_names_and_that_cannot_be_used_is_told_when_the_paper_is_planned() {
    let desk = desk();
    fs::remove_file(desk.path("exam.html.jinja")).unwrap();
    let said = desk.refused("paper plan midterm.yaml");
    assert!(said.contains("`layouts` of the blueprint names a layout"), "{said}");
    let text =
        BLUEPRINT.replace("minutes: 60\n", "minutes: 60\nlayouts: [exam.html, b.txt.jinja]\n");
    fs::write(desk.path("midterm.yaml"), text).unwrap();
    let said = desk.refused("paper plan midterm.yaml");
    assert!(said.contains("expected the file of a layout, found `exam.html`"), "{said}");
    assert!(said.contains("midterm.yaml:5:11"), "{said}");
}

#[test]
fn a_copied_layout_of_feedback_or_report_gives_the_same_bytes() {
    let formats = ["html", "text", "markdown"].map(|name| exporter(name).unwrap());
    let plain = folder(CLASS);
    make_in(&plain, ",html");
    let answers = "candidate,question,part,answer\n0101,1,a,1 g\n0102,1,a,2 g\n";
    fs::write(plain.path("answers.csv"), answers).unwrap();
    let mark = "mark set/manifest.jsonl answers.csv --to marks --format html,text,markdown";
    plain.printed(mark);
    for format in formats {
        let ending = format.extension();
        let bundled = plain.read(&format!("marks/feedback/0001-0101.{ending}"));
        let (name, text) = format.bundled_layout_of(DocumentKind::Feedback).unwrap();
        fs::write(plain.path(name), text).unwrap();
        plain.printed(&format!("{mark} --layout {name}"));
        assert_eq!(plain.read(&format!("marks/feedback/0001-0101.{ending}")), bundled);
        let (name, text) = format.bundled_layout_of(DocumentKind::Report).unwrap();
        fs::write(plain.path(name), text).unwrap();
        let analyse = format!("analyse marks/marks.jsonl --format {}", format.name());
        let report = plain.printed(&analyse);
        assert_eq!(plain.printed(&format!("{analyse} --layout {name}")), report);
    }
}
