//! Castmark draws problems on moulded dosage forms, works them, marks answers and prints sheets.

pub mod quantity;
pub mod formula;
pub mod bank;
pub mod draw;
pub mod problem;
pub mod marking;
pub mod scrutiny;
pub mod paper;
pub mod practice;
pub mod analysis;
pub mod export;
