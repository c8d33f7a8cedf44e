//! How many steps a layout of someone's own may take.

use std::sync::OnceLock;

use minijinja::Environment;

/// Far above any sheet, far below a hang: a step of the layout burns one, and so does a byte of a
/// longer text that is written. What is only made burns one for 64 bytes, so that no sheet takes more
/// than some hundred megabytes. A paper of twenty questions with solutions needs less than a million.
const FUEL: u64 = 5_000_000;

/// What each question of a sheet, or row of a report, adds to that.
const FUEL_OF_A_QUESTION: u64 = 200_000;

/// A layout of someone's own with as much fuel as a document of some number of pieces may burn.
///
/// The layouts that come with the program end by themselves, and counting steps takes time.
#[derive(Debug)]
pub(in crate::export) struct Fuelled {
    /// Without any bound, to be read and not to be filled in.
    pub(in crate::export) compiled: Environment<'static>,
    /// The same with fuel for 1, 2, 4, ... pieces, made when it is first used: to copy it for each
    /// document would take longer than to fill it.
    doubled: [OnceLock<Environment<'static>>; 24],
}

impl Fuelled {
    /// A layout that is compiled.
    pub(in crate::export) fn new(compiled: Environment<'static>) -> Self {
        Self { compiled, doubled: Default::default() }
    }

    /// That for a document of so many questions or rows.
    pub(in crate::export) fn of(&self, pieces: usize) -> &Environment<'static> {
        let doubled = pieces.max(1).next_power_of_two().trailing_zeros() as usize;
        let doubled = doubled.min(self.doubled.len() - 1);
        self.doubled[doubled].get_or_init(|| {
            let mut environment = self.compiled.clone();
            environment.set_fuel(Some(FUEL + (FUEL_OF_A_QUESTION << doubled)));
            environment
        })
    }
}
