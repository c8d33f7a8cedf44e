//! Damaged orders for the bench and tables of readings.

use castmark::bank::OrderFile;
use castmark::batch::{Batch, ClassReadings, solve};
use castmark::export::{BenchDocument, Options, exporter};

use super::{SCENE, all, report, source, text, withstands};

const ORDER: &str = include_str!("../../../exports/bench/order.yaml");
const READINGS: &str = include_str!("../../../exports/bench/readings.csv");

/// The batch of an order, or what is wrong with it.
fn batch(bytes: &[u8]) -> Result<Batch, Vec<String>> {
    let file = OrderFile::read(source("order.yaml", bytes)).map_err(|found| report(&found))?;
    solve(&file.order, SCENE.bank.facts()).map_err(|problems| {
        let found = file.report(&problems).expect("what is wrong has a place");
        report(&found)
    })
}

/// Every format can set it.
fn is_set(document: &BenchDocument) {
    for format in ["text", "html", "json", "markdown"] {
        let bytes = exporter(format).unwrap().export_bench(document, &Options::default()).unwrap();
        assert!(!bytes.is_empty());
    }
}

#[test]
fn a_damaged_order_for_the_bench_is_told_or_worked() {
    withstands(ORDER, 60, |bytes| {
        is_set(&BenchDocument::of_sheet(&batch(bytes)?.sheet));
        Ok(())
    });
}

#[test]
fn a_damaged_table_of_readings_is_told_or_compared() {
    let batch = batch(ORDER.as_bytes()).unwrap();
    withstands(READINGS, 60, |bytes| {
        let read = ClassReadings::read(&text(bytes), &batch);
        let readings = read.map_err(|problems| {
            assert!(problems.iter().all(|problem| problem.line > 0), "{problems:?}");
            all(&problems)
        })?;
        assert!(!readings.rows.is_empty());
        is_set(&BenchDocument::of_readings(&readings));
        Ok(())
    });
}
