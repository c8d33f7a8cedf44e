//! Integration tests: one binary, a module a subject.

#[path = "it/program.rs"]
mod program;

#[path = "it/quantity.rs"]
mod quantity;

#[path = "it/formula.rs"]
mod formula;

#[path = "it/bank.rs"]
mod bank;

#[path = "it/told_at_once.rs"]
mod told_at_once;

#[path = "it/batch.rs"]
mod batch;

#[path = "it/begin.rs"]
mod begin;

#[path = "it/draw.rs"]
mod draw;

#[path = "it/problem.rs"]
mod problem;

#[path = "it/marking.rs"]
mod marking;

#[path = "it/theory.rs"]
mod theory;

#[path = "it/disputes.rs"]
mod disputes;

#[path = "it/typed.rs"]
mod typed;

#[path = "it/reference.rs"]
mod reference;

#[path = "it/families.rs"]
mod families;

#[path = "it/exact_sets.rs"]
mod exact_sets;

#[path = "it/masses.rs"]
mod masses;

#[path = "it/independent.rs"]
mod independent;

#[path = "it/analysis.rs"]
mod analysis;

#[cfg(feature = "pdf")]
#[path = "it/unpacked.rs"]
mod unpacked;

#[path = "it/export.rs"]
mod export;

#[path = "it/cli.rs"]
mod cli;

#[cfg(feature = "record")]
#[path = "it/practise.rs"]
mod practise;

#[path = "it/page.rs"]
mod page;

#[path = "it/readme.rs"]
mod readme;

#[path = "it/house.rs"]
mod house;

#[path = "it/paper.rs"]
mod paper;

#[path = "it/mark.rs"]
mod mark;

#[path = "it/pairs.rs"]
mod pairs;

#[cfg(target_os = "linux")]
#[path = "it/power_cut.rs"]
mod power_cut;

#[path = "it/analyse.rs"]
mod analyse;

#[path = "it/hostile.rs"]
mod hostile;

#[path = "it/qti.rs"]
mod qti;
