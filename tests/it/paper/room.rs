//! What the room and the markers get beside the papers, chosen documents, files by room, and what a
//! later run makes again.

use std::fs;
use std::path::Path;

use castmark::bank::Bank;
use castmark::problem::Problem;
use serde_json::Value;

use super::{Folder, files, folder, make_in};

const LIST: &str = "candidate,name,room,seat,needs\n\
    0101,Quill,Hall 1,A10,\n0102,\"=cmd, <b>x\",Hall 1,A9,\"extra time 25; a reader\"\n\
    0103,,../Annex,,large print\n0104,王小明,,,extra time 50\n";

fn read(desk: &Folder, name: &str) -> String {
    fs::read_to_string(desk.path(name)).unwrap()
}

fn names(desk: &Folder) -> Vec<String> {
    files(&desk.path("set")).into_iter().map(|(name, _)| name).collect()
}

/// Every answer of the class, as the keys have it, that is no mere letter or short number.
fn answers(desk: &Folder) -> Vec<String> {
    let text = read(desk, "set/key-table.csv");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows = reader.records().map(Result::unwrap);
    let keys: Vec<String> = rows
        .flat_map(|row| row.iter().skip(2).map(str::to_owned).collect::<Vec<_>>())
        .filter_map(|cell| cell.split_once(": ").map(|(_, key)| key.to_owned()))
        .filter(|key| key.contains('.') && key.len() > 5)
        .collect();
    assert!(keys.len() > 5, "{keys:?}");
    keys
}

#[test]
fn the_room_gets_lists_by_room_without_any_answer() {
    let desk = folder(LIST);
    make_in(&desk, ",html,markdown,json --starts 9:30");
    let attendance = read(&desk, "set/room/attendance.txt");
    for told in ["\nHall 1\n", "Room ../Annex", "No room in the class list", "On the list: 2."] {
        assert!(attendance.contains(told), "{told}\n{attendance}");
    }
    // Seats are in the order in which people count.
    assert!(attendance.find("A9").unwrap() < attendance.find("A10").unwrap(), "{attendance}");
    let sheet = read(&desk, "set/room/invigilator.txt").replace('\u{a0}', " ");
    // 60 minutes from 9:30, and 25 and 50 per cent more.
    for told in [
        "60 minutes",
        "10:30",
        "75 minutes",
        "10:45",
        "90 minutes",
        "11:00",
        "extra time 25; a reader",
    ] {
        assert!(sheet.contains(told), "{told}\n{sheet}");
    }
    let page = read(&desk, "set/room/seats.html");
    assert!(
        page.contains("=cmd, &lt;b&gt;x") && page.contains("王小明") && page.contains("seat A9")
    );
    assert!(page.contains("size: A4") && page.contains("licensed pharmacist"));
    let labels: Value = serde_json::from_str(&read(&desk, "set/room/labels.json")).unwrap();
    let boxes = labels["blocks"][0]["boxes"].as_array().unwrap();
    assert_eq!(boxes.len(), 2 * 3 + 1, "two for each room, and one in large print");
    let answers = answers(&desk);
    for (name, bytes) in files(&desk.path("set/room")) {
        let text = String::from_utf8(bytes).unwrap();
        for secret in answers.iter().map(String::as_str).chain(["looks", "\"place\""]) {
            assert!(!text.contains(secret), "{name} holds {secret}");
        }
    }
}

#[test]
fn without_a_time_the_ends_are_written_by_hand() {
    let desk = folder("candidate\n1\n");
    make_in(&desk, " --documents room");
    assert_eq!(
        names(&desk),
        [
            "manifest.jsonl",
            "room/attendance.txt",
            "room/invigilator.txt",
            "room/labels.txt",
            "room/seats.txt"
        ]
    );
    let sheet = read(&desk, "set/room/invigilator.txt");
    assert!(sheet.contains("The paper began at ________"), "{sheet}");
}

#[test]
fn a_marker_has_every_candidates_key_in_one_line() {
    let desk = folder("candidate\n0101\n0102\n");
    make_in(&desk, "");
    let bank = Bank::bundled().unwrap();
    let set = castmark::paper::PaperSet::read(&read(&desk, "set/manifest.jsonl")).unwrap();
    let blueprint = super::blueprint(&bank, super::BLUEPRINT);
    let text = read(&desk, "set/key-table.csv");
    let rows: Vec<Vec<String>> = csv::Reader::from_reader(text.as_bytes())
        .records()
        .map(|row| row.unwrap().iter().map(str::to_owned).collect())
        .collect();
    for (paper, row) in set.papers.iter().zip(&rows) {
        let problems = paper.problems(&bank, &blueprint, &set.made_by).unwrap();
        assert_eq!(row[..2], [paper.candidate.number.clone(), paper.code.to_string()]);
        let parts = problems.iter().zip(1..).flat_map(|(problem, number): (&Problem, usize)| {
            let several = problem.parts.len() > 1;
            problem.parts.iter().zip('a'..).map(move |(part, letter)| {
                let letter = if several { letter.to_string() } else { String::new() };
                format!("{number}{letter}: {}", part.response.answer())
            })
        });
        let parts: Vec<String> = parts.collect();
        assert_eq!(row[2..2 + parts.len()], parts);
    }
    let printed = read(&desk, "set/key-table.txt");
    assert!(
        printed.contains("for markers") || printed.contains("keys of all candidates"),
        "{printed}"
    );
}

#[test]
fn the_empty_table_of_answers_can_be_typed_into_and_is_then_left_alone() {
    let desk = folder("candidate\n0101\n0102\n");
    make_in(&desk, "");
    let table = read(&desk, "set/answers.csv");
    let code = |line: usize| table.lines().nth(line).unwrap().split(',').nth(1).unwrap().to_owned();
    assert!(table.starts_with("\u{feff}candidate,paper,status,1a,"), "{table}");
    // A row that nobody has filled in is told, and so is a paper of somebody else.
    let said = desk.refused("mark set/manifest.jsonl set/answers.csv --to marks");
    assert!(said.contains("line 2: candidate 0101 has a row but no answer"), "{said}");
    let filled = table
        .replace(&format!("0101,{},,", code(1)), &format!("0101,{},,1 g", code(1)))
        .replace(&format!("0102,{},,", code(2)), &format!("0102,{},absent,", code(2)));
    fs::write(desk.path("set/answers.csv"), &filled).unwrap();
    let output = desk.run("mark set/manifest.jsonl set/answers.csv --to marks");
    assert_eq!(output.code, 0, "{output:?}");
    let said = desk.refused("paper make midterm.yaml --class class.csv --to set");
    assert!(said.contains("`set/answers.csv` is not empty any more"), "{said}");
    assert_eq!(read(&desk, "set/answers.csv"), filled);
}

#[test]
fn a_grid_has_a_line_for_each_part_and_the_code_for_a_camera() {
    let desk = folder("candidate,needs\n0101,\n0102,large print\n");
    make_in(&desk, ",html --documents grids");
    let page = read(&desk, "set/grids/0001-0101.html");
    assert!(
        page.contains("QR code of the paper code") && page.contains("<td class=\"short\">1a</td>"),
        "{page}"
    );
    assert!(page.contains("body{font-size:11pt}"));
    assert!(read(&desk, "set/grids/0002-0102.html").contains("body{font-size:18pt}"));
    let bound = read(&desk, "set/grids.html");
    assert_eq!(bound.matches("</html>").count(), 1);
    assert!(names(&desk).contains(&"set/grids-large-print.html".replace("set/", "")));
    // A later run makes what is there, and nothing else.
    let before = names(&desk);
    let output = desk.run("paper make midterm.yaml --class class.csv --to set");
    assert_eq!(output.code, 0, "{output:?}");
    assert_eq!(names(&desk), before);
}

#[test]
fn files_are_bound_by_room_and_the_room_of_a_late_candidate_alone_is_made_again() {
    let desk = folder(LIST);
    make_in(&desk, " --documents papers,slips --by room");
    let of = |name: &str| fs::read(desk.path(&format!("set/{name}"))).unwrap();
    let bound: Vec<String> =
        names(&desk).into_iter().filter(|name| name.starts_with("by-room")).collect();
    assert_eq!(
        bound,
        [
            "by-room/0001-Annex/papers-large-print.txt",
            "by-room/0001-Annex/slips-large-print.txt",
            "by-room/0002-Hall-1/papers.txt",
            "by-room/0002-Hall-1/slips.txt",
            "by-room/0003-others/papers.txt",
            "by-room/0003-others/slips.txt",
        ]
    );
    let hall = of("by-room/0002-Hall-1/papers.txt");
    let text = String::from_utf8(hall.clone()).unwrap();
    assert!(text.find("0102").unwrap() < text.find("0101").unwrap(), "in the order of seats");
    fs::write(desk.path("class.csv"), format!("{LIST}0105,,../Annex,,\n")).unwrap();
    let said = make_in(&desk, " --by room");
    assert!(said.contains("to print: 0005-0105 (new)"), "{said}");
    assert!(said.contains("changed as well: by-room/0001-Annex\n"), "{said}");
    assert_eq!(of("by-room/0002-Hall-1/papers.txt"), hall);
    assert!(names(&desk).contains(&"by-room/0001-Annex/papers.txt".to_owned()));
}

#[test]
fn what_has_not_changed_is_not_made_again_and_what_has_is_named() {
    let desk = folder("candidate,name\n0101,Quill\n0102,\n");
    make_in(&desk, "");
    // A mark in a file shows whether it was made again.
    let marked = desk.path("set/papers/0001-0101.txt");
    fs::write(&marked, "kept as it was\n").unwrap();
    fs::write(desk.path("class.csv"), "candidate,name\n0101,Quill\n0102,Reed\n0103,\n").unwrap();
    let said = make_in(&desk, "");
    assert!(
        said.contains("to print: 0002-0102 (changed in the class list), 0003-0103 (new)"),
        "{said}"
    );
    assert!(said.contains("changed as well: room/attendance.txt"), "{said}");
    assert_eq!(fs::read_to_string(&marked).unwrap(), "kept as it was\n");
    assert!(read(&desk, "set/papers/0002-0102.txt").contains("Reed"));
    // Another size of paper makes everything again.
    make_in(&desk, " --paper letter");
    assert_ne!(fs::read_to_string(&marked).unwrap(), "kept as it was\n");
}

#[test]
fn what_cannot_be_chosen_is_refused_with_what_can() {
    let desk = folder("candidate,room\n1,\n");
    for (more, expected) in [
        ("--by group", "expected a column `group` in the class list to bind by, found none"),
        ("--by room", "expected a column `room` in the class list to bind by, found none"),
        ("--documents papers,posters", "invalid value 'posters'"),
        ("--starts 25:00", "expected a time of the day such as 09:30, found `25:00`"),
        ("--across 0", "invalid value '0'"),
    ] {
        let said =
            desk.refused(&format!("paper make midterm.yaml --class class.csv --to set {more}"));
        assert!(said.contains(expected), "{more}: {said}");
    }
    assert!(!Path::new(&desk.path("set")).exists());
    fs::write(desk.path("class.csv"), "candidate,needs\n1,larg print\n").unwrap();
    let said = desk.refused("paper make midterm.yaml --class class.csv --to set");
    assert!(said.contains("found `larg print`; did you mean `large print`?"), "{said}");
    fs::write(
        desk.path("midterm.yaml"),
        super::BLUEPRINT.replace("minutes: 60", "minutes: 60\nstarts: noon"),
    )
    .unwrap();
    let said = desk.refused("paper plan midterm.yaml");
    assert!(said.contains("expected a time of the day such as 09:30, found `noon`"), "{said}");
}

/// The blueprint of these tests with a cover page, a letterhead and a foot.
fn with_front() -> String {
    super::BLUEPRINT.replace(
        "minutes: 60",
        "minutes: 60\nletterhead: Invented College <of> Dispensing\nfoot: Return this paper.\ncover:\n  \
         institution: Invented College\n  rubric: [Answer all questions.]\n  materials: [a calculator, a ruler]\n  \
         declaration: I keep the rules.\n  sealed: true",
    )
}

#[test]
fn a_paper_has_a_cover_a_letterhead_and_a_foot_and_keys_have_no_cover() {
    let desk = folder("candidate\n0101\n");
    fs::write(desk.path("midterm.yaml"), with_front()).unwrap();
    make_in(&desk, ",html,markdown");
    for (name, there) in [
        ("papers/0001-0101.txt", true),
        ("papers/0001-0101.html", true),
        ("papers/0001-0101.md", true),
        ("keys/0001-0101.txt", false),
        ("slips/0001-0101.html", false),
    ] {
        let text = read(&desk, &format!("set/{name}")).replace('\u{a0}', " ");
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for piece in [
            "Do not open this paper until you are told to.",
            "I keep the rules.",
            "a calculator; a ruler",
        ] {
            assert_eq!(words.contains(piece), there, "{name}: {piece}\n{text}");
        }
        assert!(words.contains("Return this paper."), "{name}");
    }
    assert!(
        read(&desk, "set/papers/0001-0101.html").contains("Invented College &lt;of&gt; Dispensing")
    );
}

#[test]
fn papers_are_printed_by_a_layout_of_ones_own_and_made_again_by_it() {
    let desk = folder("candidate\n0101\n");
    let layout = "{% extends \"paper.html.jinja\" %}\n{% block letterhead %}<p>Our own hall</p>{% endblock %}\n";
    fs::write(desk.path("exam.html.jinja"), layout).unwrap();
    make_in(&desk, ",html --layout exam.html.jinja");
    let page = read(&desk, "set/papers/0001-0101.html");
    assert!(page.contains("Our own hall"), "{page}");
    assert!(!read(&desk, "set/papers/0001-0101.txt").contains("Our own hall"));
    let again =
        "paper again set/manifest.jsonl --candidate 0101 --format html --layout exam.html.jinja";
    assert_eq!(desk.run(again).out, page);
}

#[test]
fn what_is_wrong_with_a_layout_is_told_with_its_line_and_the_right_word() {
    let desk = folder("candidate\n0101\n");
    let said = |name: &str, layout: &str, more: &str| {
        fs::write(desk.path(name), layout).unwrap();
        desk.refused(&format!(
            "paper make midterm.yaml --class class.csv --to set --format text{more} --layout {name}"
        ))
    };
    let own = |block: &str| format!("{{% extends \"sheet.txt.jinja\" %}}\n{block}\n");
    for (layout, expected) in [
        (
            own("{% block haed %}x{% endblock %}"),
            "a.txt.jinja:2:10: the layout that this one extends has no block `haed`",
        ),
        (
            own("{% block head %}{{ titel|upper }}{{ caution }}{% endblock %}"),
            "`titel` is not a field; did you mean `title`?",
        ),
        (
            own("{% block head %}{% for a in details %}x{% endblock %}"),
            "an `{% endfor %}` or `{% endif %}` is missing",
        ),
        (own("{% block head %}{{ title }}{% endblock %}"), "the sheet does not say the caution"),
    ] {
        let said = said("a.txt.jinja", &layout, "");
        assert!(said.contains(expected), "{layout}\n{said}");
    }
    let good = own("{% block head %}{{ caution }}{% endblock %}");
    let said_of = said("a.html.jinja", "{{ caution }}", "");
    assert!(said_of.contains("is a layout for html, which is not made"), "{said_of}");
    let said_of = said("a.jinja", &good, "");
    assert!(said_of.contains("expected a layout that ends in .html.jinja"), "{said_of}");
    fs::write(desk.path("b.txt.jinja"), &good).unwrap();
    let said_of = said("a.txt.jinja", &good, " --layout b.txt.jinja");
    assert!(said_of.contains("is a second layout for text"), "{said_of}");
    assert!(!desk.path("set").exists());
}
