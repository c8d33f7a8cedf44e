//! Sheets as bytes: how each format looks, what is kept out of it, and what layouts may do.

#[path = "export/markup.rs"]
mod markup;
#[cfg(feature = "pdf")]
#[path = "export/pages.rs"]
mod pages;
#[path = "export/retold.rs"]
pub(crate) mod retold;
#[path = "export/sample.rs"]
mod sample;

use castmark::bank::Bank;
use castmark::export::{
    CAUTION, CandidateField, Contents, Csv, DocumentKind, EXPORTERS, Entry, Exporter, Html, Json,
    Markdown, Options, PaperSize, Sheet, Text, TypeSize, exporter, exporters_of,
};
use castmark::problem::Problem;

use retold::retold;
use sample::sheet;

/// Text that tries to be markup, to end a string or a style, or to move the cursor.
const HOSTILE: &str = "</title></style></textarea>-->\"'><script>alert(1)</script> &lt;b&gt; \\ \
     *a* _b_ `c` [d](http://e) | f ~~g~~ $h$ {{ i }} {% j %}\u{1b}[31m\u{202e}\0\t";

#[track_caller]
fn text(exporter: &dyn Exporter, sheet: &Sheet, options: &Options) -> String {
    let bytes = exporter.export(sheet, options).unwrap_or_else(|problem| panic!("{problem}"));
    String::from_utf8(bytes).expect("sheets are UTF-8")
}

/// The formats that are text.
fn written() -> impl Iterator<Item = &'static dyn Exporter> {
    exporters_of(DocumentKind::Sheet).filter(|exporter| exporter.is_text())
}

fn every_contents() -> [Contents; 4] {
    [Contents::QUESTIONS, Contents::KEY, Contents::SOLUTIONS, Contents::ALL]
}

#[test]
fn every_format_looks_as_it_did() {
    for exporter in written() {
        let made = text(exporter, &sheet(Contents::ALL), &Options::default());
        insta::assert_snapshot!(format!("all_as_{}", exporter.name()), made);
    }
}

#[test]
fn plain_text_looks_as_it_did_in_forty_columns() {
    let options = Options { width: 40, ..Options::default() };
    insta::assert_snapshot!(text(&Text, &sheet(Contents::ALL), &options));
}

#[test]
fn worked_solutions_alone_repeat_the_question() {
    insta::assert_snapshot!(text(&Text, &sheet(Contents::SOLUTIONS), &Options::default()));
}

#[test]
fn plain_text_keeps_to_its_width() {
    for contents in every_contents() {
        for width in [30, 40, 57, 80, 132] {
            let options = Options { width, ..Options::default() };
            for line in text(&Text, &sheet(contents), &options).lines() {
                assert!(line.chars().count() <= width, "wider than {width}: {line}");
                assert_eq!(line, line.trim_end(), "blanks at the end of a line");
            }
        }
    }
}

#[test]
fn a_sheet_is_the_same_every_time() {
    for exporter in written() {
        let make = || text(exporter, &sheet(Contents::ALL), &Options::default());
        assert_eq!(make(), make(), "{}", exporter.name());
    }
}

#[test]
fn every_sheet_carries_the_caution() {
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    for exporter in written() {
        for contents in every_contents() {
            let made = text(exporter, &sheet(contents), &Options::default());
            assert!(words(&made).contains(CAUTION), "{}", exporter.name());
        }
    }
}

#[test]
fn a_question_paper_holds_nothing_of_the_key() {
    let secrets = ["24.0 g", "23.9", "took off", "displaces 0.511", "warm spatula", "a hollow"];
    for exporter in written() {
        let made = text(exporter, &sheet(Contents::QUESTIONS), &Options::default());
        for secret in secrets {
            assert!(!made.contains(secret), "{} gives away {secret}", exporter.name());
        }
    }
}

#[test]
fn a_layout_of_ones_own_cannot_reach_the_key_of_a_question_paper() {
    let layout = Text.layout("own", "{{ entries[0].parts[0].key.answer }}").unwrap();
    let options = Options { layout: Some(layout), ..Options::default() };
    let problem = Text.export(&sheet(Contents::QUESTIONS), &options).unwrap_err().to_string();
    assert_eq!(
        problem,
        "own:1:28: there is no `answer` here on this sheet; the guide exports/layouts/README.md \
         lists what a layout can use"
    );
}

#[test]
fn hostile_text_stays_text_in_html() {
    // As long as the hostile text, since a long formula is set in another way.
    let harmless = "x".repeat(HOSTILE.chars().count());
    for contents in every_contents() {
        let plain = retold(&sheet(contents), &|_| harmless.clone());
        let hostile = retold(&sheet(contents), &|_| HOSTILE.into());
        let shape = |sheet: &Sheet| -> Vec<(String, usize)> {
            let tags = markup::read(&text(&Html, sheet, &Options::default()));
            // A label that is longer takes more lines in the drawing; nothing else may differ.
            tags.into_iter()
                .filter(|tag| tag.name != "text")
                .map(|tag| (tag.name, tag.depth))
                .collect()
        };
        assert_eq!(shape(&plain), shape(&hostile));
    }
}

#[test]
fn hostile_text_stays_text_in_markdown() {
    let plain = retold(&sheet(Contents::ALL), &|_| "x".into());
    let hostile = retold(&sheet(Contents::ALL), &|_| HOSTILE.into());
    let lines = |sheet: &Sheet| -> Vec<usize> {
        let made = text(&Markdown, sheet, &Options::default());
        let bars = |line: &str| line.replace(r"\\", "").replace(r"\|", "").matches('|').count();
        made.lines().map(bars).collect()
    };
    assert_eq!(lines(&plain), lines(&hostile));
    let made = text(&Markdown, &hostile, &Options::default());
    assert!(!made.contains("<script") || made.contains(r"\<script"));
    assert!(!made.replace(r"\<", "").contains('<'));
    assert!(!made.replace(r"\[", "").contains('['));
}

#[test]
fn no_control_character_reaches_a_sheet() {
    for exporter in written() {
        let hostile = retold(&sheet(Contents::ALL), &|_| HOSTILE.into());
        let made = text(exporter, &hostile, &Options::default());
        // JSON writes them as escapes, since programs want the text as it was.
        let direction = exporter.name() != "json" && made.contains('\u{202e}');
        let control = made.chars().any(|c| c.is_control() && c != '\n');
        assert!(!control && !direction, "{}", exporter.name());
    }
}

#[test]
fn html_is_one_sound_document() {
    for contents in every_contents() {
        let made = text(&Html, &sheet(contents), &Options::default());
        let tags = markup::read(&made);
        let count = |name: &str| tags.iter().filter(|tag| tag.name == name).count();
        assert_eq!((count("h1"), count("main"), count("head")), (1, 1, 1));
        assert_eq!(tags.first().and_then(|tag| tag.get("lang")), Some("en-GB"));
        assert_eq!(count("script") + count("link") + count("img") + count("iframe"), 0);
        let outside = made.replace("xmlns=\"http://www.w3.org/", "");
        assert!(!outside.contains("http") && !outside.contains("@import"));
        for tag in &tags {
            assert!(!tag.attributes.iter().any(|(key, _)| key.starts_with("on")), "{tag:?}");
        }
    }
}

#[test]
fn html_headings_go_down_one_level_at_a_time() {
    for contents in every_contents() {
        let mut last = 0;
        for tag in markup::read(&text(&Html, &sheet(contents), &Options::default())) {
            let level = tag.name.strip_prefix('h').and_then(|level| level.parse::<u32>().ok());
            if let Some(level) = level {
                assert!(level <= last + 1, "h{level} under h{last}");
                last = level;
            }
        }
    }
}

#[test]
fn html_names_point_at_things_that_are_there() {
    let tags = markup::read(&text(&Html, &sheet(Contents::ALL), &Options::default()));
    let mut ids: Vec<&str> = tags.iter().filter_map(|tag| tag.get("id")).collect();
    ids.sort_unstable();
    let all = ids.len();
    ids.dedup();
    assert_eq!(ids.len(), all, "an id is used twice");
    for tag in &tags {
        let named = tag.get("aria-labelledby").into_iter().flat_map(str::split_whitespace);
        let skipped = tag.get("href").and_then(|target| target.strip_prefix('#'));
        let filled = tag.get("fill").and_then(|fill| fill.strip_prefix("url(#")?.strip_suffix(')'));
        for id in named.chain(skipped).chain(filled) {
            assert!(ids.contains(&id), "nothing is called {id}");
        }
    }
}

#[test]
fn html_tables_have_captions_and_heads() {
    let tags = markup::read(&text(&Html, &sheet(Contents::ALL), &Options::default()));
    for (n, tag) in tags.iter().enumerate() {
        match tag.name.as_str() {
            "table" => assert_eq!(tags[n + 1].name, "caption"),
            "th" => assert!(tag.get("scope").is_some()),
            _ => {}
        }
    }
}

#[test]
fn paper_and_type_size_reach_the_page_rules() {
    let options =
        Options { paper: PaperSize::Letter, type_size: TypeSize::Large, ..Options::default() };
    let made = text(&Html, &sheet(Contents::QUESTIONS), &options);
    assert!(made.contains("size: letter;"));
    assert!(made.contains("font: 18pt/"));
    assert!(text(&Html, &sheet(Contents::KEY), &Options::default()).contains("size: A4;"));
}

#[test]
fn a_sheet_for_nobody_asks_for_no_number() {
    let mut sheet = sheet(Contents::QUESTIONS);
    for (candidate, asked) in [(CandidateField::None, false), (CandidateField::Blank, true)] {
        sheet.candidate = candidate;
        for exporter in [&Text as &dyn Exporter, &Markdown, &Html] {
            let made = text(exporter, &sheet, &Options::default());
            assert_eq!(made.contains("Candidate number"), asked, "{}", exporter.name());
        }
    }
}

#[test]
fn an_empty_sheet_is_still_a_sheet() {
    let sheet = Sheet { entries: Vec::new(), ..sheet(Contents::ALL) };
    for exporter in written() {
        assert!(text(exporter, &sheet, &Options::default()).contains("paper 2"));
    }
}

#[test]
fn every_template_of_the_bank_makes_a_sheet_in_every_format() {
    let bank = Bank::bundled().unwrap_or_else(|report| panic!("{}", report.plain()));
    let problems: Vec<Problem> = bank
        .templates()
        .iter()
        .map(|template| {
            Problem::draw(&bank, template, 7).unwrap_or_else(|problem| panic!("{problem}"))
        })
        .collect();
    for contents in [Contents::QUESTIONS, Contents::ALL] {
        let sheet =
            Sheet::of(&bank, problems.iter().cloned(), "Every template once", contents).unwrap();
        assert_eq!(sheet.entries.len(), problems.len());
        assert_eq!(sheet.marks(), problems.iter().map(Problem::marks).sum::<u32>());
        for exporter in written() {
            text(exporter, &sheet, &Options::default());
        }
        markup::read(&text(&Html, &sheet, &Options::default()));
        for line in text(&Text, &sheet, &Options::default()).lines() {
            assert!(line.chars().count() <= 80, "too wide: {line}");
        }
    }
}

#[test]
fn a_problem_without_solutions_wanted_brings_no_working() {
    let bank = Bank::bundled().unwrap_or_else(|report| panic!("{}", report.plain()));
    let Some(template) = bank.templates().first() else { panic!("the bank is empty") };
    let problem = Problem::draw(&bank, template, 1).unwrap();
    let entry = |contents| Entry::of(&bank, &problem, contents).unwrap();
    assert!(entry(Contents::QUESTIONS).working.is_empty());
    assert_eq!(entry(Contents::SOLUTIONS).working.len(), template.working.len());
    assert_eq!(entry(Contents::KEY).code, problem.code.as_ref().map(ToString::to_string));
}

#[test]
fn every_exporter_is_found_by_its_name() {
    for each in EXPORTERS {
        assert_eq!(exporter(each.name()).map(Exporter::extension), Some(each.extension()));
    }
    assert!(exporter("paperback").is_none());
}

#[test]
fn what_makes_reports_or_tables_alone_makes_no_sheet() {
    let names = |kind| exporters_of(kind).map(Exporter::name).collect::<Vec<_>>();
    assert!(names(DocumentKind::Sheet).contains(&"qti3"));
    assert!(names(DocumentKind::Report).contains(&"csv"));
    assert_eq!(
        Csv.export(&sheet(Contents::ALL), &Options::default()).unwrap_err().to_string(),
        "no sheet can be made as csv; choose text, markdown, html or json"
    );
    for each in EXPORTERS {
        for kind in DocumentKind::ALL {
            let has_layout = each.bundled_layout_of(kind).is_some();
            assert!(each.makes(kind) || !has_layout, "{} {}", each.name(), kind.name());
        }
    }
}

#[test]
fn json_says_which_version_its_names_have() {
    let made = text(&Json, &sheet(Contents::ALL), &Options::default());
    let value: serde_json::Value = serde_json::from_str(&made).unwrap();
    assert_eq!(value["castmark_sheet"], 1);
    assert_eq!(value["entries"][0]["parts"][1]["key"]["accepted"]["low"], "23.9");
}

#[test]
fn a_layout_can_change_one_block_and_keep_the_others() {
    let own = "{% extends \"sheet.txt.jinja\" %}{% block head %}{{ title|upper }}\n\
               {{ caution|hang(\"\") }}\n{% endblock %}";
    let layout = Text.layout("own.jinja", own).unwrap();
    let options = Options { layout: Some(layout), ..Options::default() };
    let made = text(&Text, &sheet(Contents::KEY), &options);
    assert!(made.starts_with("MOULDED DOSAGE FORMS: PAPER 2\nFor teaching"), "{made:.80}");
    assert!(made.contains("\nKey\n"), "{made}");
}

#[test]
fn a_layout_that_leaves_the_caution_out_is_refused() {
    let own = "{% extends \"sheet.txt.jinja\" %}{% block head %}{{ title }}\n{% endblock %}";
    let layout = Text.layout("own.jinja", own).unwrap();
    let options = Options { layout: Some(layout), ..Options::default() };
    assert_eq!(
        Text.export(&sheet(Contents::KEY), &options).unwrap_err().to_string(),
        "own.jinja: the sheet does not say the caution; write `{{ caution }}` where every reader sees it"
    );
}

#[test]
fn a_copied_layout_gives_the_same_sheet() {
    for exporter in written() {
        let Some((file, source)) = exporter.bundled_layout() else { continue };
        let layout = exporter.layout(file, source).unwrap();
        let options = Options { layout: Some(layout), ..Options::default() };
        let sheet = sheet(Contents::ALL);
        assert_eq!(text(exporter, &sheet, &options), text(exporter, &sheet, &Options::default()));
    }
}

/// What is told about a layout of one's own.
#[track_caller]
fn told_of(source: &str) -> String {
    match Html.layout("my.html.jinja", source) {
        Err(problem) => problem.to_string(),
        Ok(layout) => {
            let options = Options { layout: Some(layout), ..Options::default() };
            Html.export(&sheet(Contents::ALL), &options).unwrap_err().to_string()
        }
    }
}

#[track_caller]
fn check_layout(source: &str, expected: &str) {
    assert_eq!(told_of(source), expected);
}

#[test]
fn tells_a_field_that_is_not_there() {
    check_layout(
        "<h1>{{ title }}</h1>\n<p>{{ titel }}</p>",
        "my.html.jinja:2:7: `titel` is not a field; did you mean `title`? the guide exports/layouts/README.md lists what a layout can use",
    );
}

#[test]
fn tells_a_field_of_a_field_that_is_not_there() {
    check_layout(
        "{% for entry in entries %}\n  {{ entry.heeding }}\n{% endfor %}",
        "my.html.jinja:2:12: `heeding` is not a field; did you mean `heading`? the guide exports/layouts/README.md lists what a layout can use",
    );
}

#[test]
fn tells_a_tag_that_is_not_closed() {
    check_layout(
        "{% for entry in entries %}\n{{ entry.number }}",
        "my.html.jinja:2:17: the layout cannot be read: unexpected end of input, expected end of block; mend the tag at this place",
    );
}

#[test]
fn tells_a_filter_that_does_not_exist() {
    check_layout(
        "{{ title|shout }}",
        "my.html.jinja:1:10: filter shout is unknown; the guide exports/layouts/README.md lists what a layout can use",
    );
}

#[test]
fn tells_a_layout_that_is_not_there_to_be_included() {
    check_layout(
        "{% include \"/etc/passwd\" %}",
        "my.html.jinja:1:4: no layout to include: tried to include non-existing template '/etc/passwd'; a layout can include or extend only the one of its own format, by its file name",
    );
}

#[test]
fn tells_a_decimal_number() {
    check_layout(
        "{{ marks / 3 }}",
        "my.html.jinja:1:4: a layout writes whole numbers and texts, not decimal numbers; the guide exports/layouts/README.md lists what a layout can use",
    );
}

#[test]
fn tells_a_layout_that_never_ends() {
    check_layout(
        "{% for a in range(20000) %}{% for b in range(20000) %}{{ a }}{% endfor %}{% endfor %}",
        "my.html.jinja:1:1: the layout takes too long; look for a loop inside a loop that runs over everything",
    );
}

#[test]
fn tells_a_layout_that_makes_too_much_or_writes_what_is_no_text() {
    let doubled = "{% set x = [1] %}".to_owned() + &"{% set x = [x, x] %}".repeat(40) + "{{ x }}";
    let texts = "{% set x = 'x' * 64 %}".to_owned() + &"{% set x = x ~ x %}".repeat(40);
    let cases = [
        (doubled.as_str(), "expected a list that is used at once"),
        (texts.as_str(), "the layout takes too long"),
        ("{{ [entries]|map('string')|list }}", "expected a list that is used at once"),
        ("{{ entries|map('string')|list }}", "map is unknown"),
        ("{% set x = range(9) + range(9) %}{{ x }}", "not a list or a group of fields"),
        ("{{ entries }}", "not a list or a group of fields"),
        (
            "{{ ('a ' * 4000000)|hang('x' * 1000000, 'y' * 1000000) }}",
            "expected at most 200 bytes beside a text, found 1000000",
        ),
        ("{{ ('a ' * 4000000)|hang('xxxxxxxx', 'yyyyyyyy') }}", "the layout takes too long"),
        ("{{ columns(['a' * 1000000] * 1000, []) }}", "the layout takes too long"),
        ("{% set ns = namespace(x=[1]) %}", "namespace is unknown"),
    ];
    for (layout, expected) in cases {
        let told = told_of(layout);
        assert!(told.contains(expected), "{layout:.60}: {told}");
    }
}

#[test]
fn refuses_a_layout_made_for_another_format() {
    let layout = Some(Text.layout("own", "{{ title }}").unwrap());
    let options = Options { layout, ..Options::default() };
    let problem = |exporter: &dyn Exporter| {
        exporter.export(&sheet(Contents::ALL), &options).unwrap_err().to_string()
    };
    assert_eq!(
        problem(&Html),
        "the layout is for text, but the sheet is wanted as html; give a layout made for html"
    );
    assert_eq!(problem(&Json), "a sheet as json takes no layout; leave the layout out");
    assert_eq!(
        Json.layout("own", "{{ title }}").unwrap_err().to_string(),
        "own: a sheet as json takes no layout; leave the layout out or choose another format"
    );
}
