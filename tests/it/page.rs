//! The practice page: its engine replies as the library does, and the command writes it.

use std::collections::BTreeSet;
use std::fs;
use std::io::Read;
use std::path::Path;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use castmark::bank::Bank;
use castmark::draw::Code;
use castmark::page::{Contents, Page};
use flate2::read::DeflateDecoder;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use wasmi::{Engine, Linker, Memory, Module, Store, TypedFunc};

use super::program::{Ran, castmark};

/// A Saturday in November 2025.
const AT: i64 = 1_764_380_000;

const STALE: &str = "exports/page/engine.wasm is not made of these sources: run exports/page/build and \
                     keep what it writes";

/// The engine as the page holds it, run by an interpreter.
struct Kept {
    store: Store<()>,
    memory: Memory,
    alloc: TypedFunc<u32, u32>,
    free: TypedFunc<(u32, u32), ()>,
    open: TypedFunc<(u32, u32), u32>,
    reply: TypedFunc<(u32, u32), u32>,
}

impl Kept {
    fn new() -> Self {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("exports/page/engine.wasm");
        let engine = Engine::default();
        let module = Module::new(&engine, fs::read(file).unwrap()).unwrap();
        assert_eq!(module.imports().count(), 0, "the engine asks nothing of its host");
        let mut store = Store::new(&engine, ());
        let instance = Linker::new(&engine).instantiate_and_start(&mut store, &module).unwrap();
        Self {
            memory: instance.get_memory(&store, "memory").unwrap(),
            alloc: instance.get_typed_func(&store, "alloc").unwrap(),
            free: instance.get_typed_func(&store, "free").unwrap(),
            open: instance.get_typed_func(&store, "open").unwrap(),
            reply: instance.get_typed_func(&store, "reply").unwrap(),
            store,
        }
    }

    fn call(&mut self, function: TypedFunc<(u32, u32), u32>, text: &str) -> String {
        let length = u32::try_from(text.len()).unwrap();
        let at = self.alloc.call(&mut self.store, length).unwrap();
        self.memory.write(&mut self.store, at as usize, text.as_bytes()).unwrap();
        let result = function.call(&mut self.store, (at, length)).expect(STALE);
        self.free.call(&mut self.store, (at, length)).unwrap();
        let mut size = [0; 4];
        self.memory.read(&self.store, result as usize, &mut size).unwrap();
        let size = u32::from_le_bytes(size);
        let mut text = vec![0; size as usize];
        self.memory.read(&self.store, result as usize + 4, &mut text).unwrap();
        self.free.call(&mut self.store, (result, size + 4)).unwrap();
        String::from_utf8(text).unwrap()
    }

    fn opened(contents: &str) -> Self {
        let mut kept = Self::new();
        let said = kept.call(kept.open, contents);
        assert_eq!(said, r#"{"version":1,"reply":"open","with":{}}"#, "{STALE}");
        kept
    }

    fn reply(&mut self, request: &str) -> String {
        self.call(self.reply, request)
    }
}

/// Two engines that are asked the same and have to answer the same.
struct Both {
    library: Page,
    kept: Kept,
    state: Value,
}

impl Both {
    fn ask(&mut self, ask: &str, with: &Value) -> Value {
        let request =
            json!({"version": 1, "ask": ask, "with": with, "at": AT, "state": self.state});
        let request = request.to_string();
        let expected = self.library.reply(&request);
        let found = self.kept.reply(&request);
        assert_eq!(found, expected, "{ask} {with}: {STALE}");
        let mut reply: Value = serde_json::from_str(&expected).unwrap();
        if reply.get("error").is_none() {
            self.state = reply["state"].take();
        }
        reply["with"].take()
    }
}

/// One template in twelve goes through the engine, since an interpreter takes half a second for each;
/// all of them where `CASTMARK_DRAWS` asks for more than usual.
#[test]
fn the_engine_in_the_page_replies_as_the_library_does() {
    let every = if std::env::var("CASTMARK_DRAWS").is_ok() { 1 } else { 12 };
    let bank = Bank::bundled().unwrap();
    let templates: BTreeSet<&str> = bank.headings().map(|heading| heading.id.as_str()).collect();
    let mut contents = Contents {
        form: Contents::FORM,
        title: "Moulded dosage forms".to_owned(),
        seed: Some(3),
        files: Bank::bundled_files(),
        ..Contents::default()
    };
    contents.keep(&bank, &templates);
    let contents = serde_json::to_string(&contents).unwrap();
    let library = Page::open(&contents).unwrap();
    let mut both = Both { library, kept: Kept::opened(&contents), state: Value::Null };
    both.ask("contents", &json!({}));
    let record = json!({"attempts": [], "unfinished": []});
    both.ask("begin", &json!({"record": record, "exam": "2025-12-14"}));
    for id in templates.iter().step_by(every) {
        let code = Code::new(id, 11).to_string();
        let table = both.ask("open", &json!({"code": code}))["table"].take();
        assert_eq!(table["code"], code, "{id}");
        both.ask("act", &json!({"event": "hint"}));
        let question = &table["question"];
        let options = question["options"].as_array().map_or(0, Vec::len);
        let lines = question["lines"].as_array().map_or(0, Vec::len);
        let answer = match question["kind"].as_str().unwrap() {
            "number" | "text" | "written" => json!({"text": "1.5"}),
            "range" => json!({"ends": ["1", "2"]}),
            "truth" => json!({"truth": true, "chosen": [0]}),
            "matching" | "grouping" => json!({"pairs": vec![0; lines]}),
            "ordering" => json!({"order": (0..options).collect::<Vec<_>>()}),
            _ => json!({"chosen": [0]}),
        };
        both.ask("act", &json!({"event": "answer", "answer": answer}));
        both.ask("act", &json!({"event": "answer", "answer": {"text": "24,520"}}));
        both.ask("act", &json!({"event": "give-up"}));
        both.ask("solution", &json!({"code": code}));
        let sheet = json!({"codes": [code], "key": true, "solutions": true});
        both.ask("sheet", &sheet);
    }
    both.ask("practise", &json!({}));
    both.ask("table", &json!({}));
    both.ask("sheet", &json!({"objectives": ["theory"], "count": 3, "seed": 5}));
    both.ask("values", &json!({"template": "base-one-drug"}));
    both.ask("offered", &json!({}));
    let order = json!({
        "units": "12", "extra": "2", "mould.capacity": "2.02 g", "base.name": "theobroma oil",
        "drugs.0.name": "zinc oxide", "drugs.0.dose": "200 mg", "drugs.0.value": "4.7",
    });
    both.ask("batch", &json!({"order": order}));
    both.ask("batch", &json!({"order": {"units": "a dozen"}}));
    both.ask("today", &json!({}));
    both.ask("dance", &json!({}));
}

/// What the program wrote, and what it said.
fn page(arguments: &[&str]) -> (i32, String, String) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("practice.html");
    let output = ["page", "--output", file.to_str().unwrap()];
    let ran = Ran::of(&mut castmark([&output, arguments].concat()));
    let written = fs::read_to_string(&file).unwrap_or_default();
    (ran.code, written, ran.err)
}

/// What stands in the last element with this beginning.
fn element<'a>(page: &'a str, begins: &str, ends: &str) -> &'a str {
    let (_, rest) = page.rsplit_once(begins).unwrap_or_else(|| panic!("no {begins}"));
    rest.split(ends).next().unwrap()
}

fn unpacked(page: &str, id: &str) -> Vec<u8> {
    let text = element(page, &format!(" id=\"{id}\">"), "<");
    let packed = STANDARD.decode(text.trim()).unwrap();
    let mut bytes = Vec::new();
    DeflateDecoder::new(packed.as_slice()).read_to_end(&mut bytes).unwrap();
    bytes
}

#[test]
fn a_page_is_one_file_that_runs_its_own_script_and_nothing_else() {
    let (code, page, said) = page(&["--topic", "one-drug", "--exam", "2026-12-14"]);
    assert_eq!(code, 0, "{said}");
    assert!(page.contains(castmark::export::CAUTION), "the caution is missing");
    let script = element(&page, "<script>", "</script>");
    let hash = STANDARD.encode(Sha256::digest(script.as_bytes()));
    let policy = element(&page, "http-equiv=\"Content-Security-Policy\" content=\"", "\"");
    let policy = policy.replace("&#x27;", "'").replace("&#x2f;", "/").replace("&#39;", "'");
    assert!(
        policy.contains(&format!("script-src 'sha256-{hash}' 'wasm-unsafe-eval';")),
        "{policy}"
    );
    assert!(policy.starts_with("default-src 'none';"), "{policy}");
    for fetched in [" src=\"http", "href=\"http", "@import", "url(http"] {
        assert!(!page.contains(fetched), "{fetched}");
    }
    let kept = fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("exports/page/engine.wasm"));
    assert_eq!(unpacked(&page, "engine"), kept.unwrap());
    let contents: Contents = serde_json::from_slice(&unpacked(&page, "contents")).unwrap();
    assert_eq!(contents.exam.as_deref(), Some("2026-12-14"));
    let held = Page::open(&serde_json::to_string(&contents).unwrap()).unwrap();
    let reply = held.reply(r#"{"version": 1, "ask": "contents"}"#);
    let reply: Value = serde_json::from_str(&reply).unwrap();
    let count = &reply["with"]["count"];
    assert_eq!((&count["objectives"], &count["topics"]), (&json!(1), &json!(1)), "{count}");
}

#[test]
fn the_engine_has_two_megabytes_at_most_and_a_page_of_the_whole_bank_one_and_a_half() {
    let engine = Path::new(env!("CARGO_MANIFEST_DIR")).join("exports/page/engine.wasm");
    let length = fs::metadata(engine).unwrap().len();
    assert!(length <= 2_000_000, "{length}");
    let (_, page, said) = page(&[]);
    assert!(page.len() <= 1_500_000, "{} {said}", page.len());
}

#[test]
fn a_folder_for_a_web_space_holds_what_the_home_screen_needs() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("practice");
    let make = |arguments: &[&str]| {
        let page = ["page", "--template", "order-of-fusion"];
        Ran::of(&mut castmark([&page, arguments].concat()))
    };
    let output = make(&["--folder", place.to_str().unwrap(), "--title", "Week 3"]);
    assert_eq!(output.code, 0, "{output:?}");
    let mut names: Vec<String> = fs::read_dir(&place)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    let expected = [
        "icon-192.png",
        "icon-512.png",
        "icon.svg",
        "index.html",
        "manifest.webmanifest",
        "worker.js",
    ];
    assert_eq!(names, expected);
    let read = |name: &str| fs::read_to_string(place.join(name)).unwrap();
    let manifest: Value = serde_json::from_str(&read("manifest.webmanifest")).unwrap();
    assert_eq!(manifest["name"], "Week 3");
    for icon in manifest["icons"].as_array().unwrap() {
        assert!(place.join(icon["src"].as_str().unwrap()).exists(), "{icon}");
    }
    let page = read("index.html");
    assert!(
        page.contains("rel=\"manifest\"") && page.contains("worker-src"),
        "the page names its files"
    );
    assert!(!read("worker.js").contains(" MARK`"), "every page has a cache of its own");
    let both = make(&["--folder", "a", "--output", "b.html"]);
    assert_eq!(both.code, 2);
    assert_eq!(make(&[]).code, 2);
}

#[test]
fn the_title_of_a_page_cannot_be_markup() {
    let title = "</title></script><script>alert(1)</script>\u{2028}<!--";
    let (code, page, said) = page(&["--template", "order-of-fusion", "--title", title]);
    assert_eq!(code, 0, "{said}");
    assert_eq!(page.matches("</script>").count(), 4, "three for data and one for the script");
    assert!(!page.contains("alert(1)</script>") && !page.contains("<!--"));
    let about: Value = serde_json::from_str(element(&page, " id=\"about\">", "</script>")).unwrap();
    assert_eq!(about["title"], title);
}

#[test]
fn the_files_of_an_instructor_are_in_the_page_without_the_place_where_they_were() {
    let folder = tempfile::tempdir().unwrap();
    let bank = folder.path().join("mine");
    fs::create_dir(&bank).unwrap();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let template = "question-templates/calibration/capacity-from-total.yaml";
    let text = fs::read_to_string(root.join(template)).unwrap();
    let text = text.replace("id: capacity-from-total", "id: my-capacity");
    fs::write(bank.join("my-capacity.yaml"), text).unwrap();
    let (code, page, said) = page(&["--template", "my-capacity", "--bank", bank.to_str().unwrap()]);
    assert_eq!(code, 0, "{said}");
    let contents: Contents = serde_json::from_slice(&unpacked(&page, "contents")).unwrap();
    let paths: Vec<&str> = contents.own.iter().map(|file| file.path.as_str()).collect();
    assert_eq!(paths, ["mine/my-capacity.yaml"]);
    Page::open(&serde_json::to_string(&contents).unwrap()).unwrap();
}

#[test]
fn a_page_of_what_there_is_not_is_refused_and_not_written() {
    for (arguments, why) in [
        (&["--topic", "one-drugs"][..], "there is no topic `one-drugs`; did you mean `one-drug`?"),
        (&["--template", "base-one-drugs"], "did you mean `base-one-drug`?"),
        (&["--exam", "soon"], "expected a day such as 2026-12-14"),
        (&["--settings", "tests/it.rs"], "`tests/it.rs`: line 1"),
        (&["--rules", "tests/it.rs"], "the rules cannot be used"),
        (&["--bank", "tests/no-such-folder"], "cannot be read"),
    ] {
        let (code, page, said) = page(arguments);
        assert_eq!((code, page.as_str()), (2, ""), "{arguments:?}");
        assert!(said.contains(why), "{arguments:?}: {said}");
    }
}
