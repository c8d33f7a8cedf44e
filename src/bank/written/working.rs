//! How a template is worked, as written.

use crate::bank::reading::group::form;
use crate::bank::reading::words::{FormulaText, RoundingText, Text, UnitText};
use crate::bank::reading::written::{List, Named};

form! {
    /// What must hold of a draw.
    RequireText is "a requirement" {
        that: FormulaText = "the condition, as in `base > 1 g`";
        because: Text = "why, for the instructor";
    }
}

form! {
    /// One step of the working.
    StepText is "a step" {
        label: Option<Text> = "how the name reads in worked solutions";
        say: Text = "one sentence on what is done and why";
        is: FormulaText = "the formula";
        unit: UnitText = "the unit of the result";
        show: RoundingText = "how the result is written, such as `2 places`";
        also: Option<List<RoundingText, 0>> = "further roundings a student may use on the way";
    }
}

form! {
    /// A legal way of working.
    MethodText is "a method" {
        title: Text = "the heading over its solution, as in `By the cavity`";
        working: Option<Named<StepText>> = "the steps that differ; none for the first method";
    }
}

form! {
    /// A sentence that shows the answer to be plausible.
    PlausibleText is "a sentence of plausibility" {
        say: Text = "the sentence that ends the worked solution";
        that: FormulaText = "what it says as a condition, which must hold";
        when: Option<FormulaText> = "the draws it is said of";
    }
}
