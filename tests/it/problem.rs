//! Problems: drawn, solved, shown and made from one's own numbers.

#[path = "problem/bank.rs"]
mod bank;
#[path = "problem/fair.rs"]
mod fair;
#[path = "problem/own.rs"]
mod own;
#[path = "problem/verdict.rs"]
mod verdict;
#[path = "problem/worked.rs"]
mod worked;
