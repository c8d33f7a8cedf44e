//! Two runs at once on one folder, begun at random offsets and killed at random: what was
//! acknowledged is kept, and of a run that was refused nothing is.
//!
//! `CASTMARK_PAIRS=200` asks for so many pairs, which take some minutes.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Stdio};
use std::thread::{self, sleep};
use std::time::{Duration, Instant};

use castmark::paper::PaperSet;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use serde_json::Value;

use super::program::Folder;

const BLUEPRINT: &str = "\
castmark: 1
id: pairs
title: Pairs
minutes: 30
sections:
  - title: Section A
    slots:
      - template: base-one-drug
      - template: value-from-factor
";

/// How many pairs are run when nobody asks for more: each kind twice, once with a kill.
const USUAL: u64 = 10;

/// How many kinds of pairs there are.
const KINDS: u64 = 5;

/// How a run ended.
#[derive(Clone, Debug, PartialEq, Eq)]
enum End {
    Done,
    Refused(String),
    Killed,
}

/// A run of the pair: its command, when it begins, and how long after that it is killed.
struct Run {
    line: String,
    begins: Duration,
    killed: Option<Duration>,
}

/// A folder in which the program is run, and all that it has acknowledged there.
struct SharedFolder {
    folder: Folder,
    /// The candidates of the set.
    candidates: BTreeSet<String>,
    /// Who has given marks by hand.
    markers: BTreeSet<String>,
    /// How long a run takes that nothing disturbs.
    usual: Duration,
    chance: ChaCha8Rng,
}

impl SharedFolder {
    fn new(seed: u64) -> Self {
        let mut desk = Self {
            folder: Folder::new(),
            candidates: BTreeSet::new(),
            markers: BTreeSet::new(),
            usual: Duration::ZERO,
            chance: ChaCha8Rng::seed_from_u64(seed),
        };
        fs::write(desk.path("pairs.yaml"), BLUEPRINT).unwrap();
        fs::write(desk.path("answers.csv"), "candidate,1a\n0101,3.6\n0102,x\n").unwrap();
        let first = ["0101", "0102", "0103"].map(str::to_owned);
        let begun = Instant::now();
        let line = desk.make("set", &first);
        assert_eq!(desk.alone(&line), End::Done);
        desk.usual = begun.elapsed();
        desk.candidates.extend(first);
        let line = desk.mark("marks", "first");
        assert_eq!(desk.alone(&line), End::Done);
        desk.markers.insert("first".to_owned());
        desk
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path(name)
    }

    /// The command that makes papers for these candidates.
    fn make(&self, to: &str, candidates: &[String]) -> String {
        let list = format!("class-{}.csv", candidates[candidates.len() - 1]);
        fs::write(self.path(&list), format!("candidate\n{}\n", candidates.join("\n"))).unwrap();
        format!("paper make pairs.yaml --class {list} --to {to} --format text")
    }

    /// The command that marks the set with a mark by hand of this marker.
    fn mark(&self, to: &str, who: &str) -> String {
        let table = format!("hand-{who}.csv");
        let row = format!("0101,1,a,1,{who},a reason,2027-03-20");
        fs::write(
            self.path(&table),
            format!("candidate,question,part,marks,who,why,when\n{row}\n"),
        )
        .unwrap();
        format!("mark set/manifest.jsonl answers.csv --to {to} --hand {table}")
    }

    fn start(&self, line: &str) -> Child {
        self.folder.command(line).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap()
    }

    fn alone(&self, line: &str) -> End {
        end(self.start(line))
    }

    /// Runs two commands, the second at a random time after the first; about half of the pairs have a
    /// run that is killed, at a random time too.
    fn together(&mut self, lines: [String; 2], kills: bool) -> [End; 2] {
        let usual = u64::try_from(self.usual.as_micros()).unwrap();
        let mut some = || Duration::from_micros(self.chance.next_u64() % (usual * 5 / 4));
        let (begins, killed) = ([Duration::ZERO, some()], some());
        let which = usize::from(self.chance.next_u64() % 2 == 1);
        let runs = lines.into_iter().zip(begins).enumerate().map(|(place, (line, begins))| Run {
            line,
            begins,
            killed: (kills && place == which).then_some(killed),
        });
        let runs: Vec<Run> = runs.collect();
        let here = &*self;
        let ends: Vec<End> = thread::scope(|scope| {
            let running = runs.iter().map(|run| {
                scope.spawn(move || {
                    sleep(run.begins);
                    let mut child = here.start(&run.line);
                    if let Some(killed) = run.killed {
                        sleep(killed);
                        child.kill().unwrap();
                    }
                    end(child)
                })
            });
            let running: Vec<_> = running.collect();
            running.into_iter().map(|run| run.join().unwrap()).collect()
        });
        ends.try_into().unwrap()
    }

    /// The set in a folder, whose files must be those of its papers.
    fn set(&self, folder: &str) -> Option<PaperSet> {
        let folder = self.path(folder);
        if !folder.exists() {
            return None;
        }
        let text = fs::read_to_string(folder.join("manifest.jsonl")).unwrap();
        let set = PaperSet::read(&text).unwrap();
        let papers = set.papers.iter().enumerate();
        let expected: BTreeSet<String> = papers
            .map(|(place, it)| format!("{:04}-{}.txt", place + 1, it.candidate.number))
            .collect();
        for inner in ["papers", "keys", "schemes", "slips"] {
            assert_eq!(names(&folder.join(inner)), expected, "{inner}");
        }
        let bound = fs::read_to_string(folder.join("papers.txt")).unwrap();
        for paper in &set.papers {
            assert!(bound.contains(&paper.code.to_string()), "{}", paper.code);
        }
        let codes: BTreeSet<String> = set.papers.iter().map(|it| it.code.to_string()).collect();
        assert_eq!(codes.len(), set.papers.len());
        Some(set)
    }

    /// Looks at the candidates of a folder after runs that were to add some, and gives them.
    #[track_caller]
    fn check_set(
        &self,
        folder: &str,
        before: &BTreeSet<String>,
        runs: &[(&End, &[String])],
    ) -> BTreeSet<String> {
        let set = self.set(folder);
        let papers = set.iter().flat_map(|set| &set.papers);
        let there: BTreeSet<String> = papers.map(|it| it.candidate.number.clone()).collect();
        assert!(before.is_subset(&there), "{folder}: lost {before:?} of {there:?}");
        let mut known = before.clone();
        for (end, list) in runs {
            let mine: Vec<bool> = list.iter().map(|it| there.contains(it)).collect();
            let as_told = match end {
                End::Done => mine.iter().all(|it| *it),
                End::Refused(_) => !mine.iter().any(|it| *it),
                // Killed before it could say so, it may have finished: then it is there whole.
                End::Killed => mine.iter().all(|it| *it == mine[0]),
            };
            assert!(as_told, "{folder}: {end:?} of {list:?}, but there are {there:?}");
            known.extend(list.iter().cloned());
        }
        assert!(there.is_subset(&known), "{folder}: {there:?}");
        there
    }

    /// Looks at the marks by hand after runs that were to add some.
    #[track_caller]
    fn check_marks(&mut self, runs: &[(&End, &str)]) {
        let folder = self.path("marks");
        let record = fs::read_to_string(folder.join("hand.jsonl")).unwrap();
        let entries = record.lines().map(|line| serde_json::from_str::<Value>(line).unwrap());
        let there: BTreeSet<String> =
            entries.map(|entry| entry["who"].as_str().unwrap().to_owned()).collect();
        assert!(self.markers.is_subset(&there), "lost {:?} of {there:?}", self.markers);
        let mut known = self.markers.clone();
        for (end, who) in runs {
            match end {
                End::Done => assert!(there.contains(*who), "{who} was acknowledged"),
                End::Refused(said) => assert!(!there.contains(*who), "{who}: {said}"),
                End::Killed => {}
            }
            known.insert((*who).to_owned());
        }
        assert!(there.is_subset(&known), "{there:?}");
        // The pages are those of the candidates that are marked.
        let lines = fs::read_to_string(folder.join("marks.jsonl")).unwrap();
        let lines = lines.lines().skip(1).map(|it| serde_json::from_str::<Value>(it).unwrap());
        let marked: BTreeSet<String> = lines
            .filter(|line| line["status"] != "absent")
            .filter_map(|line| Some(line["candidate"].as_str()?.to_owned()))
            .collect();
        let pages = names(&folder.join("feedback"));
        for candidate in ["0101", "0102"] {
            assert!(marked.contains(candidate), "{marked:?}");
            assert!(
                pages.iter().any(|it| it.ends_with(&format!("-{candidate}.html"))),
                "{pages:?}"
            );
        }
        self.markers = there;
    }

    /// Nothing of what runs write beside their folders is left once one has ended in peace.
    #[track_caller]
    fn nothing_left(&self, folder: &str) {
        let start = format!(".{folder}.");
        let left = names(self.folder.root()).into_iter().filter(|it| it.starts_with(&start));
        assert_eq!(left.collect::<Vec<_>>(), Vec::<String>::new());
    }

    /// A run that nobody disturbs finds nothing in its way.
    #[track_caller]
    fn goes_on(&self, folder: &str, there: &BTreeSet<String>, late: &str) {
        let mut all: Vec<String> = there.iter().cloned().collect();
        all.push(late.to_owned());
        let line = self.make(folder, &all);
        let mut end = self.alone(&line);
        if there.is_empty() && matches!(&end, End::Refused(said) if said.contains("--further")) {
            // Killed between keeping the secret and putting the folder there, a run has used up its
            // papers.
            end = self.alone(&format!("{line} --further"));
        }
        assert_eq!(end, End::Done);
        self.check_set(folder, there, &[(&end, &[late.to_owned()])]);
        self.nothing_left(folder);
    }
}

fn end(child: Child) -> End {
    let output = child.wait_with_output().unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    match output.status.code() {
        Some(0) => End::Done,
        Some(2) => End::Refused(said),
        None => End::Killed,
        Some(code) => panic!("{code}: {said}"),
    }
}

fn names(folder: &Path) -> BTreeSet<String> {
    let entries = fs::read_dir(folder).unwrap();
    entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
}

/// None had reason to be refused: each waits for the other, or takes over from a dead one.
#[track_caller]
fn none_refused(ends: &[End; 2]) {
    let refused = ends.iter().find(|end| matches!(end, End::Refused(_)));
    assert_eq!(refused, None);
}

/// A pair: two runs of a kind at once, and how they ended.
struct Pair {
    number: u64,
    /// Whether one of the two is killed.
    kills: bool,
    left: Vec<String>,
    right: Vec<String>,
    late: String,
}

impl Pair {
    fn new(number: u64) -> Self {
        let list = |side: char| (1..4).map(|nth| format!("{number}{side}{nth}")).collect();
        Self {
            number,
            kills: number / KINDS % 2 == 1,
            left: list('L'),
            right: list('R'),
            late: format!("{number}Z"),
        }
    }

    fn run(&self, desk: &mut SharedFolder) -> [End; 2] {
        match self.number % KINDS {
            0 => self.make_both(desk),
            1 => self.add_both(desk),
            2 => self.mark_both(desk),
            3 => self.mark_and_add(desk),
            _ => self.mark_and_make(desk),
        }
    }

    /// Two runs make the same new folder.
    fn make_both(&self, desk: &mut SharedFolder) -> [End; 2] {
        let folder = format!("fresh-{}", self.number);
        let lines = [desk.make(&folder, &self.left), desk.make(&folder, &self.right)];
        let ends = desk.together(lines, self.kills);
        let runs = [(&ends[0], &self.left[..]), (&ends[1], &self.right[..])];
        let there = desk.check_set(&folder, &BTreeSet::new(), &runs);
        if !self.kills {
            none_refused(&ends);
        }
        desk.goes_on(&folder, &there, &self.late);
        ends
    }

    /// Two runs add to the same folder.
    fn add_both(&self, desk: &mut SharedFolder) -> [End; 2] {
        let lines = [desk.make("set", &self.left), desk.make("set", &self.right)];
        let ends = desk.together(lines, self.kills);
        let runs = [(&ends[0], &self.left[..]), (&ends[1], &self.right[..])];
        desk.candidates = desk.check_set("set", &desk.candidates, &runs);
        none_refused(&ends);
        let there = desk.candidates.clone();
        desk.goes_on("set", &there, &self.late);
        desk.candidates.insert(self.late.clone());
        ends
    }

    /// Two runs hand in marks.
    fn mark_both(&self, desk: &mut SharedFolder) -> [End; 2] {
        let lines = [desk.mark("marks", &self.left[0]), desk.mark("marks", &self.right[0])];
        let ends = desk.together(lines, self.kills);
        desk.check_marks(&[(&ends[0], &self.left[0]), (&ends[1], &self.right[0])]);
        none_refused(&ends);
        ends
    }

    /// One marks the set to which the other adds.
    fn mark_and_add(&self, desk: &mut SharedFolder) -> [End; 2] {
        let lines = [desk.mark("marks", &self.left[0]), desk.make("set", &self.right)];
        let ends = desk.together(lines, self.kills);
        desk.check_marks(&[(&ends[0], &self.left[0])]);
        let runs = [(&ends[1], &self.right[..])];
        desk.candidates = desk.check_set("set", &desk.candidates, &runs);
        none_refused(&ends);
        ends
    }

    /// Papers and marks are to go into the same new folder: one of the two has to give way.
    fn mark_and_make(&self, desk: &mut SharedFolder) -> [End; 2] {
        let folder = format!("both-{}", self.number);
        let lines = [desk.mark(&folder, &self.left[0]), desk.make(&folder, &self.right)];
        let ends = desk.together(lines, self.kills);
        let done = ends.iter().filter(|end| **end == End::Done).count();
        assert!(done <= 1 && (self.kills || done == 1), "{ends:?}");
        let path = desk.path(&folder);
        if path.join("manifest.jsonl").exists() {
            desk.check_set(&folder, &BTreeSet::new(), &[(&ends[1], &self.right[..])]);
            assert!(!path.join("hand.jsonl").exists() && ends[0] != End::Done);
        } else if path.exists() {
            assert!(path.join("hand.jsonl").exists() && ends[1] != End::Done);
            assert!(!path.join("papers").exists());
        }
        ends
    }
}

#[test]
fn of_two_runs_at_once_what_was_acknowledged_is_kept_and_nothing_of_the_refused_one_is() {
    let pairs = std::env::var("CASTMARK_PAIRS").map_or(USUAL, |text| text.parse().unwrap());
    let mut desk = SharedFolder::new(13);
    let mut counts: BTreeMap<u64, [u32; 3]> = BTreeMap::new();
    for number in 0..pairs {
        let counts = counts.entry(number % KINDS).or_default();
        for end in Pair::new(number).run(&mut desk) {
            match end {
                End::Done => counts[0] += 1,
                End::Refused(_) => counts[1] += 1,
                End::Killed => counts[2] += 1,
            }
        }
    }
    let line = desk.mark("marks", "last");
    assert_eq!(desk.alone(&line), End::Done);
    desk.check_marks(&[(&End::Done, "last")]);
    desk.nothing_left("marks");
    eprintln!("{pairs} pairs; done, refused, killed of each kind: {counts:?}");
    assert!(counts.values().all(|[done, ..]| *done > 0), "{counts:?}");
}
