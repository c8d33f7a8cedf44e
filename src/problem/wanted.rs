//! What one's own numbers must fill.

use std::collections::BTreeSet;

use crate::bank::{Bank, Template};

use super::Problem;

impl Problem {
    /// The slots that one's own numbers must fill: the values that the working, the answers and the
    /// sentences around them use.
    pub fn wanted_values(bank: &Bank, template: &Template) -> Vec<usize> {
        let mut wanted = read_by_working(template);
        wanted.extend(named_in_texts(bank, template));
        for step in template.workings().flatten() {
            wanted.remove(&step.slot);
        }
        wanted.into_iter().collect()
    }
}

fn read_by_working(template: &Template) -> BTreeSet<usize> {
    let steps = template.workings().flatten();
    let steps = steps.flat_map(|step| step.program.reads().iter().copied());
    let answers = template.parts.iter().flat_map(|part| part.wanted.reads());
    steps.chain(answers).chain(template.batch.iter().map(|row| row.all)).collect()
}

/// The numbers named in questions, in the sentences of the working and in the batch table. Stems are
/// not shown with one's own numbers, and what slips say can do without.
fn named_in_texts(bank: &Bank, template: &Template) -> BTreeSet<usize> {
    let asks = template.parts.iter().map(|part| format!("ask/{}", part.id));
    let says = template.working.iter().map(|step| &template.names[step.slot].name);
    let says = says.map(|name| format!("say/{name}"));
    let rows = (0..template.batch.len()).map(|row| format!("batch/{row}"));
    let verdicts = template.parts.iter().flat_map(|part| {
        let count = part.wanted.verdict().map_or(0, |plan| plan.choices.len());
        (0..count)
            .flat_map(|n| ["verdict", "because"].map(|what| format!("{what}/{}/{n}", part.id)))
    });
    let texts = asks.chain(says).chain(rows).chain(verdicts);
    let texts =
        texts.filter_map(|text| bank.texts().get_template(&format!("{}#{text}", template.id)).ok());
    let names: BTreeSet<String> = texts.flat_map(|text| text.undeclared_variables(true)).collect();
    let is_named = |slot: &usize| {
        let name = &template.names[*slot].name;
        // `capacity.number` names `capacity`.
        names.iter().any(|named| {
            named.strip_prefix(name.as_str()).is_some_and(|rest| matches!(rest, "" | ".number"))
        })
    };
    (0..template.names.len()).filter(is_named).collect()
}
