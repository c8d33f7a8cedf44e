//! How fast the work is done: `cargo bench`.
//!
//! Drawing, solving and laying out a sheet has two neighbours to be compared with: the layout alone
//! for a sheet that is ready, and the same page out of bare minijinja with every text prepared.

#[cfg(feature = "pdf")]
#[path = "bare.rs"]
mod bare;

use std::hint::black_box;

use castmark::bank::Bank;
use castmark::draw::Code;
#[cfg(feature = "pdf")]
use castmark::export::Pdf;
use castmark::export::{Contents, Exporter, Html, Options, Sheet};
use castmark::formula::{Formula, Program, Scope, Shape, Slot};
use castmark::marking::{Entry, Item, Settings, mark, mark_problem};
use castmark::problem::Problem;
use castmark::quantity::{Dimension, Exact};
use divan::Bencher;
use mimalloc::MiMalloc;
use minijinja::{Environment, UndefinedBehavior, Value, context};

const TEMPLATE: &str = "base-one-drug";

/// As in the program.
#[global_allocator]
static ALLOCATOR: MiMalloc = MiMalloc;

fn main() {
    divan::main();
}

fn bank() -> Bank {
    Bank::bundled().expect("the bundled bank is sound")
}

fn sheet(bank: &Bank, problem: &Problem) -> Sheet {
    let problems = std::slice::from_ref(problem);
    Sheet::of(bank, problems.iter().cloned(), "Practice", Contents::ALL)
        .expect("a sheet can be composed")
}

#[divan::bench]
fn load_the_whole_bank() -> Bank {
    bank()
}

/// Files of the greatest size that take longest: a complaint for every line, or values that each follow
/// from the next.
#[divan::bench(args = ["unknown keys", "wrong values", "values in reverse"])]
fn read_a_large_template(bencher: Bencher<'_, '_>, kind: &str) {
    let head = "castmark: 1\nid: large\ntitle: Large\nobjective: base-quantity\ntopic: plain\nlevel: 1\n\
                minutes: 3\nconvention: none\nabout: A large file.\n";
    let foot = "stem: [\"{{ v0 }}\", \"The mass is {{ v0 }}\"]\nparts:\n  p: { ask: Q?, answer: v0, unit: g, \
                round: 1 place, tolerance: 0.05, marks: 2 }\n";
    let lines = |line: &dyn Fn(usize) -> String| -> String {
        let mut length = head.len() + foot.len() + 100;
        let fits = |line: &String| {
            length += line.len();
            length < 256 * 1024
        };
        (0..).map(line).take_while(fits).collect()
    };
    let values = match kind {
        "unknown keys" => lines(&|n| format!("k{n}: 1\n")),
        "wrong values" => "values:\n".to_owned() + &lines(&|n| format!("  v{n}: 1\n")),
        _ => {
            let value = |n| format!("  v{n}: {{ unit: g, is: v{}, round: 1 place }}\n", n + 1);
            let values: String = (0..2000).map(value).collect();
            format!("values:\n{values}  v2000: {{ unit: g, fixed: 1 }}\n")
        }
    };
    let text = format!("{head}{values}{foot}");
    let file = castmark::bank::SourceText::new("large.yaml", text);
    bencher.bench_local(|| Bank::load(std::slice::from_ref(&file)).is_ok());
}

#[divan::bench]
fn draw_and_solve_a_problem(bencher: Bencher<'_, '_>) {
    let bank = bank();
    let mut number = 0;
    bencher.bench_local(|| {
        number += 1;
        Problem::from_code(&bank, &Code::new(TEMPLATE, number)).expect("a problem is drawn")
    });
}

#[divan::bench]
fn draw_solve_and_lay_out_as_html(bencher: Bencher<'_, '_>) {
    let bank = bank();
    let mut number = 0;
    bencher.bench_local(|| {
        number += 1;
        let problem = Problem::from_code(&bank, &Code::new(TEMPLATE, number)).expect("drawn");
        Html.export(&sheet(&bank, &problem), &Options::default()).expect("laid out")
    });
}

/// The layout alone, for a sheet that is already composed.
#[divan::bench]
fn lay_out_a_composed_sheet_as_html(bencher: Bencher<'_, '_>) {
    let bank = bank();
    let problem = Problem::from_code(&bank, &Code::new(TEMPLATE, 1)).expect("drawn");
    let sheet = sheet(&bank, &problem);
    bencher.bench_local(|| Html.export(&sheet, &Options::default()).expect("laid out"));
}

/// The same bytes out of minijinja with nothing worked out: a layout made for this one page, with a
/// hole for each of its texts, and the texts ready.
#[divan::bench]
fn bare_minijinja_render_of_the_same_bytes(bencher: Bencher<'_, '_>) {
    let bank = bank();
    let problem = Problem::from_code(&bank, &Code::new(TEMPLATE, 1)).expect("drawn");
    let page = Html.export(&sheet(&bank, &problem), &Options::default()).expect("laid out");
    let page = String::from_utf8(page).expect("text");
    let (layout, texts) = with_holes(&page);
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.add_template("bare", &layout).expect("the layout is sound");
    let layout = environment.get_template("bare").expect("it is there");
    let render = || layout.render(context! { texts => texts.clone() }).expect("rendered");
    assert_eq!(render(), page, "the bare render makes the same page");
    bencher.bench_local(render);
}

/// A page as a layout with a hole for each text of its body, and the texts.
fn with_holes(page: &str) -> (String, Value) {
    let (head, body) = page.split_at(page.find("<body").expect("a page has a body"));
    let mut layout = format!("{{% raw %}}{head}{{% endraw %}}");
    let mut texts = Vec::new();
    for piece in body.split_inclusive('>') {
        let (text, tag) = piece.split_at(piece.find('<').unwrap_or(piece.len()));
        if text.trim().is_empty() {
            layout.push_str(text);
        } else {
            layout += &["{{ texts[", &texts.len().to_string(), "] }}"].concat();
            texts.push(text);
        }
        layout.push_str(tag);
    }
    // The last line break of a layout is not printed.
    layout.push('\n');
    (layout, texts.into_iter().collect())
}

/// A sheet as PDF: the layout, the pages and the file.
#[cfg(feature = "pdf")]
#[divan::bench]
fn set_a_composed_sheet_as_pdf(bencher: Bencher<'_, '_>) {
    let bank = bank();
    let mut number = 0;
    bencher
        .with_inputs(|| {
            number += 1;
            let problem = Problem::from_code(&bank, &Code::new(TEMPLATE, number)).expect("drawn");
            sheet(&bank, &problem)
        })
        .bench_local_values(|sheet| Pdf.export(&sheet, &Options::default()).expect("set"));
}

/// The same pages out of bare Typst, with the markup ready.
#[cfg(feature = "pdf")]
#[divan::bench]
fn bare_typst_compile_of_the_same_markup(bencher: Bencher<'_, '_>) {
    let bank = bank();
    let press = bare::Press::new();
    let mut number = 0;
    bencher
        .with_inputs(|| {
            number += 1;
            let problem = Problem::from_code(&bank, &Code::new(TEMPLATE, number)).expect("drawn");
            Pdf.markup(&sheet(&bank, &problem), &Options::default()).expect("laid out")
        })
        .bench_local_values(|markup| press.set(markup));
}

/// Masses, counts and a displacement value, under names.
struct Names;

impl Scope for Names {
    fn find(&self, name: &str) -> Option<(usize, Shape)> {
        let names = ["number", "capacity", "drug_mass", "value"];
        let dimensions =
            [Dimension::COUNT, Dimension::MASS_PER_UNIT, Dimension::MASS, Dimension::NUMBER];
        let slot = names.iter().position(|known| *known == name)?;
        Some((slot, Shape::Number(dimensions[slot])))
    }

    fn names(&self) -> Vec<&str> {
        Vec::new()
    }
}

/// Five operations, one of them a division that does not come out even.
#[divan::bench(sample_size = 1000)]
fn run_a_formula(bencher: Bencher<'_, '_>) {
    let text = "(number + 2 unit) * (capacity - 0.02 g/unit) - drug_mass / value";
    let program = Formula::parse(text).expect("read").compile(&Names).expect("checked");
    let slots = ["12", "1.02", "0.60", "4.7"]
        .map(|number| Slot::Number(Exact::parse(number).expect("a number")));
    bencher.bench_local(|| black_box(&program).run(black_box(&slots)).expect("a value"));
}

#[divan::bench]
fn read_and_check_a_formula() -> Program {
    let text = "(number + 2 unit) * (capacity - 0.02 g/unit) - drug_mass / value";
    Formula::parse(black_box(text)).expect("read").compile(&Names).expect("checked")
}

#[divan::bench(args = ["right", "rounded", "slip", "rubbish"])]
fn mark_one_answer(bencher: Bencher<'_, '_>, kind: &str) {
    let bank = bank();
    let problem = Problem::from_code(&bank, &Code::new(TEMPLATE, 1)).expect("drawn");
    let part = problem.parts.len() - 1;
    let key = problem.parts[part].response.number().expect("the part is numeric");
    let answer = match kind {
        "right" => format!("{} {}", key.shown, key.unit.symbol()),
        "rounded" => format!("{}", key.high.to_places(6)),
        "slip" => {
            format!("{} g", key.slips.first().map_or(key.shown, |slip| slip.value).to_places(2))
        }
        _ => "fourteen or so".to_owned(),
    };
    bencher.bench(|| mark(black_box(&problem), part, black_box(&answer)));
}

/// A problem of three parts. Either all is right, or the first answer is wrong and carried on rightly
/// through the others, or the last is wrong besides.
#[divan::bench(args = ["right", "carried on", "wrong at the end"])]
fn mark_a_problem_with_follow_through(bencher: Bencher<'_, '_>, kind: &str) {
    let bank = bank();
    let problem = Problem::from_code(&bank, &Code::new(TEMPLATE, 1)).expect("drawn");
    let first = problem.template.parts[0].wanted.number().expect("the part is numeric").slot;
    let right = problem.parts[0].response.number().expect("the part is numeric").exact;
    let third = right.div(Exact::whole(3)).and_then(|third| right.add(third)).expect("a number");
    let own = if kind == "right" { right } else { third };
    let carried = [(first, own.to_places(2))];
    let following = problem.following(&carried).expect("worked again");
    let mut answers: Vec<String> = (0..problem.parts.len())
        .map(|part| format!("{} g", following.exact(part).expect("a number").to_places(2)))
        .collect();
    if kind == "wrong at the end" {
        "1.23 g".clone_into(&mut answers[2]);
    }
    let entries: Vec<Entry<'_>> = answers
        .iter()
        .enumerate()
        .map(|(part, answer)| Entry { item: Item::Part(part), answer })
        .collect();
    let settings = Settings::default();
    bencher.bench(|| mark_problem(black_box(&problem), black_box(&entries), &settings));
}
