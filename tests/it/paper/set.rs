//! Sets of papers: who gets which problem and number, what a plan tells before, and the manifest.

use castmark::bank::Objective;
use castmark::draw::Code;
use castmark::paper::Specification;

use super::*;

/// The values that a candidate is told in a problem.
fn told(problem: &Problem) -> String {
    let picked =
        problem.draw.texts.iter().filter(|(field, _)| field.split('.').next_back() == Some("row"));
    let picked: Vec<&String> = picked.map(|(_, row)| row).collect();
    let known = problem.template.working.iter().flat_map(|step| step.formula.names());
    let slots: BTreeSet<usize> = known
        .filter_map(|name| problem.template.names.iter().position(|it| it.name == name))
        .collect();
    let values: Vec<_> = slots.iter().map(|slot| &problem.draw.written[*slot]).collect();
    format!("{} {picked:?} {values:?}", problem.template.id)
}

#[test]
fn no_problem_comes_twice_in_a_class_unless_all_share_it() {
    let (bank, set) = (bank(), make(0..120, None));
    let blueprint = blueprint(&bank, BLUEPRINT);
    let mut seen = BTreeSet::new();
    let mut shared = BTreeSet::new();
    for paper in &set.papers {
        for (question, problem) in
            paper.questions.iter().zip(paper.problems(&bank, &blueprint, "0").unwrap())
        {
            if blueprint.questions[question.planned].same {
                shared.insert(told(&problem));
            } else {
                assert!(seen.insert(told(&problem)), "{}", told(&problem));
            }
        }
    }
    assert_eq!((seen.len(), shared.len()), (120 * 4, 1));
    let codes: BTreeSet<String> = set.papers.iter().map(|it| it.code.to_string()).collect();
    assert_eq!(codes.len(), 120);
}

#[test]
fn who_comes_late_changes_nobodys_paper() {
    let first = make(10..20, None);
    // The list is sorted anew, with people before and after, and some are gone.
    let later = make(0..18, Some(&first));
    assert_eq!(later.papers[..10], first.papers);
    assert_eq!(later.papers.len(), 20);
    let anew = make(10..20, None);
    assert_eq!(anew, first);
}

#[test]
fn the_order_of_the_questions_differs_only_where_it_may() {
    let set = make(0..20, None);
    let orders: BTreeSet<Vec<usize>> = set
        .papers
        .iter()
        .map(|paper| paper.questions.iter().map(|question| question.planned).collect())
        .collect();
    assert!(orders.len() > 5, "{orders:?}");
    assert!(orders.iter().all(|order| order[4] == 4), "{orders:?}");
}

#[test]
fn seats_that_no_list_gives_are_counted_from_one() {
    let set = make(0..3, None);
    let papers: Vec<(usize, &Paper)> = set.papers.iter().enumerate().collect();
    let [bundle] = Bundle::of(&papers, None).try_into().unwrap();
    assert_eq!([0, 1, 2].map(|place| bundle.seat(place)), ["1", "2", "3"]);
}

#[test]
fn another_secret_or_another_blueprint_adds_nothing_to_a_set() {
    let bank = bank();
    let earlier = make(0..3, None);
    let refused = |text: &str, secret: u8| {
        let blueprint = blueprint(&bank, text);
        let secret = Secret::new([secret; 32]);
        PaperSet::make(&bank, &blueprint, &secret, &class(0..4), Some(&earlier), 0, None)
            .unwrap_err()
    };
    assert_eq!(refused(BLUEPRINT, 8), [PaperProblem::OtherSecret]);
    let other = BLUEPRINT.replace("Section B", "Part B");
    assert_eq!(refused(&other, 7), [PaperProblem::OtherBlueprint]);
}

#[test]
fn a_class_too_large_for_a_template_is_told_both_numbers() {
    let bank = bank();
    let blueprint = blueprint(&bank, SMALL);
    let secret = Secret::new([1; 32]);
    let refused =
        PaperSet::make(&bank, &blueprint, &secret, &class(0..900), None, 0, None).unwrap_err();
    let [PaperProblem::TooFew { template, needed: 900, found, avoided: 0 }] = refused.as_slice()
    else {
        panic!("{refused:?}")
    };
    assert_eq!(template, "hand-rolled-percent");
    assert!((100..900).contains(found), "{found}");
    let told = refused[0].to_string();
    assert!(told.contains("900") && told.contains(&found.to_string()), "{told}");
    assert!(!told.contains("earlier paper"), "{told}");
}

#[test]
fn a_resit_has_none_of_the_problems_of_the_first_paper() {
    let (bank, first) = (bank(), make(0..40, None));
    let resit = blueprint(&bank, &BLUEPRINT.replace("id: midterm", "id: resit"));
    let secret = Secret::new([7; 32]);
    let second =
        PaperSet::make(&bank, &resit, &secret, &class(0..40), None, 0, Some(&first)).unwrap();
    let used = |set: &PaperSet, text: &str| -> BTreeSet<String> {
        let blueprint = blueprint(&bank, text);
        let papers = set.papers.iter();
        papers
            .flat_map(|paper| paper.problems(&bank, &blueprint, "0").unwrap())
            .map(|problem| told(&problem))
            .collect()
    };
    let (first, second) = (used(&first, BLUEPRINT), used(&second, &second.blueprint.text));
    assert!(first.is_disjoint(&second), "{:?}", first.intersection(&second).next());
}

/// One template for a problem that all share and for one of each candidate's own.
const BOTH: &str = "\
castmark: 1
id: both
title: Both
minutes: 20
sections:
  - title: Section A
    slots:
      - template: hand-rolled-percent
      - template: hand-rolled-percent
        same: true
";

#[test]
fn what_a_later_group_shares_is_no_ones_own_problem() {
    let bank = bank();
    let blueprint = blueprint(&bank, BOTH);
    let secret = Secret::new([7; 32]);
    let make = |first| PaperSet::make(&bank, &blueprint, &secret, &class(0..3), None, first, None);
    for first in [0, 3] {
        let set = make(first).unwrap();
        let places = |planned: usize| -> BTreeSet<u128> {
            let questions = set.papers.iter().flat_map(|paper| &paper.questions);
            questions.filter(|it| it.planned == planned).map(|it| it.place).collect()
        };
        let (own, shared) = (places(0), places(1));
        assert_eq!((own.len(), shared.len()), (3, 1), "from {first}");
        assert!(own.is_disjoint(&shared), "from {first}");
    }
}

#[test]
fn a_plan_counts_what_all_share_apart_from_what_each_has_alone() {
    let bank = bank();
    let plan = Plan::of(&bank, &blueprint(&bank, BOTH));
    let [supply] = plan.supplies.as_slice() else { panic!("{}", plan.supplies.len()) };
    assert_eq!((supply.each, supply.shared), (1, 1));
    assert_eq!(supply.needed(10), 11);
}

#[test]
fn a_manifest_is_read_back_as_it_was_written() {
    let mut set = make(0..5, None);
    set.papers[1].candidate.name = Some("=1+1 \"<b>\" \\ \u{2028} 名".to_owned());
    let text = set.write();
    assert_eq!(text.lines().count(), 6);
    let read = PaperSet::read(&text).unwrap();
    assert_eq!(read, set);
    assert_eq!(read.write(), text);
}

#[test]
fn no_two_papers_have_a_number_and_none_a_number_beyond_any_class() {
    let with = |number: u64| {
        let mut set = make(0..3, None);
        set.papers[1].number = number;
        PaperSet::read(&set.write()).map_err(|problems| problems[0].to_string())
    };
    let damaged =
        "line 1: the numbers of the papers are damaged; use the manifest as it was written";
    let of_another = make(0..3, None).papers[2].number;
    assert_eq!(with(of_another).unwrap_err(), damaged);
    assert_eq!(with(100_000_001).unwrap_err(), damaged);
    assert_eq!(with(100_000_000).unwrap().papers[1].number, 100_000_000);
}

/// Papers that were made earlier must come out the same, so the number of the stream is fixed.
#[test]
fn the_words_of_a_question_come_from_the_stream_of_its_place_in_the_blueprint_counted_from_1() {
    let (bank, set) = (bank(), make(0..12, None));
    let blueprint = blueprint(&bank, BLUEPRINT);
    for paper in &set.papers {
        let problems = paper.problems(&bank, &blueprint, "0.1.0").unwrap();
        for (question, problem) in paper.questions.iter().zip(problems) {
            let template = &blueprint.questions[question.planned].template;
            let space = Space::of(template).unwrap();
            let number = question.planned as u64 + 1;
            let mut stream = Stream::numbered(&paper.presentation, number);
            let solved = Problem::solved(template, &space, question.place, &mut stream).unwrap();
            let expected = solved.problem(&bank, template).unwrap();
            assert_eq!(problem.stem, expected.stem, "{} of {}", number, paper.candidate.number);
        }
    }
}

#[test]
fn a_damaged_manifest_is_met_with_the_lines_that_are_wrong() {
    let text = make(0..3, None).write();
    let told = |text: &str| -> Vec<String> {
        PaperSet::read(text).unwrap_err().iter().map(ToString::to_string).collect()
    };
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    lines[1] =
        lines[1].replace("\"template\":\"base-one-drug\"", "\"template\":\"base-two-drugs\"");
    lines[3].truncate(90);
    let found = told(&lines.join("\n"));
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(found[0].starts_with("line 2: expected `base-one-drug`, found `base-two-drugs`"));
    assert!(found[1].starts_with("line 4: expected a paper, found something else"), "{found:?}");
    assert_eq!(
        told("{\"castmark_manifest\":2}"),
        [
            "line 1: expected manifest version 1, found 2; use the castmark that wrote it, or a later \
          one"
        ]
    );
    assert!(told("")[0].starts_with("line 1: expected the head of a manifest"));
}

#[test]
fn a_paper_that_would_come_out_differently_is_not_made() {
    let (bank, mut set) = (bank(), make(0..3, None));
    let blueprint = blueprint(&bank, BLUEPRINT);
    set.papers[1].questions[2].check ^= 1;
    let refused = set.papers[1].problems(&bank, &blueprint, "0.0.9").unwrap_err();
    let told = refused.to_string();
    assert!(told.starts_with("candidate 0001, question 3 (`"), "{told}");
    assert!(told.ends_with("and castmark 0.0.9"), "{told}");
}

#[test]
fn papers_are_not_added_where_an_earlier_one_would_come_out_differently() {
    let (bank, mut earlier) = (bank(), make(0..3, None));
    earlier.made_by = "0.0.9".to_owned();
    earlier.papers[1].questions[2].check ^= 1;
    let (blueprint, secret) = (blueprint(&bank, BLUEPRINT), Secret::new([7; 32]));
    let problems =
        PaperSet::make(&bank, &blueprint, &secret, &class(0..4), Some(&earlier), 0, None)
            .unwrap_err();
    let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].starts_with("candidate 0001, question 3 (`"), "{told:?}");
    assert!(told[0].ends_with("and castmark 0.0.9"), "{told:?}");
}

#[test]
fn a_resit_for_which_too_little_is_left_is_told_what_the_first_paper_took() {
    let bank = bank();
    let secret = Secret::new([1; 32]);
    let make = |text: &str, numbers, avoid: Option<&PaperSet>| {
        let blueprint = blueprint(&bank, text);
        PaperSet::make(&bank, &blueprint, &secret, &class(numbers), None, 0, avoid)
    };
    let first = make(SMALL, 0..100, None).unwrap();
    let resit = SMALL.replace("id: small", "id: resit");
    let refused = make(&resit, 0..900, Some(&first)).unwrap_err();
    let [PaperProblem::TooFew { needed: 900, avoided: 100, .. }] = refused.as_slice() else {
        panic!("{refused:?}")
    };
    let told = refused[0].to_string();
    assert!(told.contains("beside the 100 of the earlier paper"), "{told}");
}

#[test]
fn every_paper_for_which_there_is_no_code_is_told() {
    let bank = bank();
    let blueprint = blueprint(&bank, &format!("{SMALL}        same: true\n"));
    let secret = Secret::new([1; 32]);
    let make = |numbers, earlier, used| {
        PaperSet::make(&bank, &blueprint, &secret, &class(numbers), earlier, used, None)
    };
    let first = make(0..1, None, 0).unwrap();
    let refused = make(0..3, Some(&first), Code::NUMBERS).unwrap_err();
    let no_code = [0, 1].map(|more| PaperProblem::NoCode { number: Code::NUMBERS + more });
    assert_eq!(refused, no_code);
}

#[test]
fn a_later_group_that_shares_nothing_goes_on_with_the_next_number() {
    let bank = bank();
    let blueprint = blueprint(&bank, SMALL);
    let secret = Secret::new([7; 32]);
    let set = PaperSet::make(&bank, &blueprint, &secret, &class(0..2), None, 3, None).unwrap();
    let numbers: Vec<u64> = set.papers.iter().map(|paper| paper.number).collect();
    assert_eq!(numbers, [3, 4]);
}

#[test]
fn a_plan_adds_up_marks_and_needs_and_counts_no_facts_beside_numbers() {
    let bank = bank();
    let more = "base-one-drug\n        count: 2\n      - template: limits-of-mass";
    let plan = Plan::of(&bank, &blueprint(&bank, &SMALL.replace("hand-rolled-percent", more)));
    let rows = plan.specifications.iter().map(|row| (row.objective, row.questions, row.marks));
    assert_eq!(
        rows.collect::<Vec<_>>(),
        [
            (Objective::BaseQuantity, [0, 2, 0], [0, 8, 0]),
            (Objective::Theory, [0, 1, 0], [0, 5, 0]),
        ]
    );
    let marks: Vec<u32> = plan.specifications.iter().map(Specification::all_marks).collect();
    assert_eq!((marks, plan.marks, plan.minutes), (vec![8, 5], 13, 16));
    let supplies = plan.supplies.iter().map(|it| (it.each, it.needed(10), it.steps(), it.keys()));
    assert_eq!(supplies.collect::<Vec<_>>(), [(2, 20, 4, None), (1, 10, 2, None)]);
}

#[test]
fn what_keeps_several_papers_from_being_made_is_told_once() {
    let mut files = Bank::bundled_files();
    let file = files.iter_mut().find(|it| it.path.ends_with("/base-one-drug.yaml")).unwrap();
    let names = ["one", "two", "three", "four"];
    let words = names.map(|name| format!("  {name}: {{ words: [a, b, c, d] }}\n")).concat();
    file.text = file.text.replace("values:\n", &format!("values:\n{words}")).into();
    // More than may be written, where all four words are the first: too rare for a sample to have it.
    let told = names.map(|name| format!("{{{{ {name} }}}}")).concat();
    let rare = names.map(|name| format!("{name} == 'a'")).join(" and ");
    let stem = file.text.find("stem:\n").unwrap();
    let line = file.text[stem..].lines().nth(2).unwrap().to_owned();
    let longer = format!("{line} {told} {{{{ 'x' * 99999999 if {rare} }}}}");
    file.text = file.text.replacen(&line, &longer, 1).into();
    let bank = Bank::load(&files).unwrap_or_else(|report| panic!("{report}"));
    let blueprint = blueprint(&bank, &SMALL.replace("hand-rolled-percent", "base-one-drug"));
    let secret = Secret::new([1; 32]);
    let refused =
        PaperSet::make(&bank, &blueprint, &secret, &class(0..1500), None, 0, None).unwrap_err();
    assert_eq!(refused.len(), 1, "{refused:?}");
    assert!(refused[0].to_string().contains("fuel"), "{}", refused[0]);
}

#[test]
fn a_question_one_beyond_the_last_is_refused() {
    let text = make(0..1, None).write().replace("\"question\":5,", "\"question\":6,");
    let problems = PaperSet::read(&text).unwrap_err();
    assert_eq!(
        problems[0].to_string(),
        "line 2: expected a question, found `6`; use the manifest as it was written"
    );
}

#[test]
fn a_manifest_has_no_more_questions_than_any_paper() {
    let read = |questions: usize| {
        let mut set = set_of_two().clone();
        set.papers.clear();
        set.templates = vec![("a".to_owned(), "b".to_owned()); questions];
        PaperSet::read(&set.write())
    };
    assert_eq!(read(100_000).unwrap().templates.len(), 100_000);
    assert_eq!(
        read(100_001).unwrap_err()[0].to_string(),
        "line 1: expected at most 100000 questions, found more"
    );
}
