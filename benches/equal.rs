//! Equal work: a plain page of a stem and four worked steps, from this engine and from a script.
//!
//! `cargo bench --bench equal` prints how many such pages a second each makes, in turns on one core.
//! The script is `equal.py`; it takes `python3` with `jinja2` and is left out where they are missing.
//! The engine does more for its page: it looks whether the draw is fair, follows every legal rounding,
//! and works out where each slip leads.

#![allow(clippy::float_arithmetic, reason = "rates of a bench")]

use std::process::{Command, ExitCode};
use std::time::{Duration, Instant};

use castmark::bank::Bank;
use castmark::export::{Contents, Exporter, Options, Sheet, Text};
use castmark::problem::Problem;
use mimalloc::MiMalloc;

/// As in the program.
#[global_allocator]
static ALLOCATOR: MiMalloc = MiMalloc;

/// The same page as that of the script.
const LAYOUT: &str = "\
{% for entry in entries %}
{% for block in entry.stem %}
{{ block.text }}
{% endfor %}

{% for step in entry.working %}
{{ step.number }}. {{ step.say }}
   {{ step.label }} = {{ step.named }} = {{ step.numbered }} {{ step.sign }} {{ step.result }}
{% endfor %}
{% endfor %}
";

/// How long each works in one turn.
const TURN: Duration = Duration::from_secs(3);

/// How many turns each has.
const TURNS: usize = 3;

fn main() -> ExitCode {
    let bank = Bank::bundled().expect("the bundled bank is sound");
    let template = bank.find("base-one-drug").expect("the template is there");
    let layout = Text.layout("equal.txt.jinja", LAYOUT).expect("the layout is sound").as_piece();
    let options = Options { layout: Some(layout), ..Options::default() };
    let mut number = 0;
    let mut page = || {
        number += 1;
        let problem = Problem::draw(&bank, template, number).expect("a problem is drawn");
        let sheet = Sheet::of(&bank, [problem], "", Contents::SOLUTIONS).expect("it is composed");
        Text.export(&sheet, &options).expect("it is laid out").len()
    };
    let (mut ours, mut theirs): (Vec<f64>, Vec<f64>) = Default::default();
    for _ in 0..TURNS {
        let start = Instant::now();
        let (mut made, mut bytes) = (0_u32, 0);
        while start.elapsed() < TURN {
            bytes = page();
            made += 1;
        }
        let rate = f64::from(made) / start.elapsed().as_secs_f64();
        println!("engine: {rate:>7.0} pages a second, the last of {bytes} bytes");
        ours.push(rate);
        let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/equal.py");
        let run = Command::new("python3").arg(script).arg(TURN.as_secs().to_string()).output();
        let said = run.ok().filter(|run| run.status.success());
        let said = said.map(|run| String::from_utf8_lossy(&run.stdout).into_owned());
        let mut words = said.iter().flat_map(|said| said.split_whitespace());
        if let (Some(Ok(rate)), Some(bytes)) = (words.next().map(str::parse::<f64>), words.next()) {
            println!("script: {rate:>7.0} pages a second, the last of {bytes} bytes");
            theirs.push(rate);
        }
    }
    let best = |rates: &[f64]| rates.iter().copied().fold(0.0, f64::max);
    if theirs.is_empty() {
        println!("the script did not run; it takes python3 with jinja2");
        return ExitCode::SUCCESS;
    }
    println!("engine to script: {:.2}", best(&ours) / best(&theirs));
    ExitCode::SUCCESS
}
