//! An order given by options.

use std::collections::BTreeMap;

use castmark::bank::{Order, OrderedDrug, OrderedPart};
use castmark::quantity::split_readings;
use castmark::words;
use clap::Args;

use super::drugs::read_drugs;

/// The values of an order.
#[derive(Clone, Debug, Default, Args)]
#[command(next_help_heading = "The order")]
pub(super) struct Options {
    /// The heading of the sheet
    #[arg(long, value_name = "TEXT")]
    title: Option<String>,
    /// What is cast: suppository, pessary, bougie; by default suppository
    #[arg(long, value_name = "WORD")]
    form: Option<String>,
    /// How many units are ordered
    #[arg(long, value_name = "NUMBER")]
    units: Option<String>,
    /// Units beyond those ordered, for losses
    #[arg(long, value_name = "NUMBER")]
    extra: Option<String>,
    /// A percentage on top of every mass, for losses
    #[arg(long, value_name = "PER CENT")]
    excess: Option<String>,
    /// The percentage of the batch that is lost; the masses leave the rest
    #[arg(long, value_name = "PER CENT")]
    loss: Option<String>,
    /// The mass of base that a cavity holds
    #[arg(long, value_name = "MASS")]
    capacity: Option<String>,
    /// The mass of all blanks together, with --blanks
    #[arg(long, value_name = "MASS")]
    total: Option<String>,
    /// The mass of each blank, with commas between them
    #[arg(long, value_name = "MASSES")]
    masses: Option<String>,
    /// How many blanks were cast
    #[arg(long, value_name = "NUMBER")]
    blanks: Option<String>,
    /// The mass of the dish, if it is in the masses; 0 g if it was tared
    #[arg(long, value_name = "MASS")]
    dish: Option<String>,
    /// How many blanks were spoilt and left out of the weighing
    #[arg(long, value_name = "NUMBER")]
    spoilt: Option<String>,
    /// The base of the blanks, if it is not that of the batch
    #[arg(long, value_name = "BASE")]
    calibrated_with: Option<String>,
    /// The size marked on the mould
    #[arg(long, value_name = "MASS")]
    nominal: Option<String>,
    /// How many cavities the mould has
    #[arg(long, value_name = "NUMBER")]
    cavities: Option<String>,
    /// The base
    #[arg(long, value_name = "BASE")]
    base: Option<String>,
    /// The mass of the base that fills the space of 1 g of the other base
    #[arg(long, value_name = "NUMBER")]
    ratio: Option<String>,
    /// The other base of --ratio or --to-density; by default theobroma oil
    #[arg(long, value_name = "BASE")]
    ratio_to: Option<String>,
    /// The density of the base
    #[arg(long, value_name = "DENSITY")]
    base_density: Option<String>,
    /// The density of the other base, for a ratio from two densities
    #[arg(long, value_name = "DENSITY")]
    to_density: Option<String>,
    /// Base added for each unit against losses, without drug
    #[arg(long, value_name = "MASS")]
    allowance: Option<String>,
    /// A part of the base, as NAME=PER CENT; once for each
    #[arg(long, value_name = "PART")]
    part: Vec<String>,
    /// How much base is made, if that is more than the batch needs
    #[arg(long, value_name = "MASS")]
    made: Option<String>,
    /// A drug: its name, then key=value for what is known of it; once for each
    #[arg(long, value_names = ["NAME", "KEY=VALUE"], num_args = 1..)]
    drug: Vec<String>,
    /// Another ingredient that takes up space, like a drug
    #[arg(long, value_names = ["NAME", "KEY=VALUE"], num_args = 1..)]
    other: Vec<String>,
    /// The smallest step of the balance for drugs; by default 1 mg
    #[arg(long, value_name = "MASS")]
    balance: Option<String>,
    /// The smallest step of the balance for the base; by default 0.01 g
    #[arg(long, value_name = "MASS")]
    base_balance: Option<String>,
    /// The error of a weighing that is permitted; by default 5 %
    #[arg(long, value_name = "PER CENT")]
    error: Option<String>,
    /// A direction for the label, in place of the usual one
    #[arg(long, value_name = "TEXT")]
    directions: Option<String>,
}

/// The values that options gave, by the keys that lead to them, each with the option.
#[derive(Debug, Default)]
pub(super) struct Given {
    options: BTreeMap<String, String>,
}

/// The options of single values, by the keys that lead to them.
const OPTIONS: [(&str, &str); 25] = [
    ("title", "--title"),
    ("form", "--form"),
    ("units", "--units"),
    ("extra", "--extra"),
    ("excess", "--excess"),
    ("loss", "--loss"),
    ("mould.capacity", "--capacity"),
    ("mould.total", "--total"),
    ("mould.blanks", "--blanks"),
    ("mould.dish", "--dish"),
    ("mould.spoilt", "--spoilt"),
    ("mould.base", "--calibrated-with"),
    ("mould.nominal", "--nominal"),
    ("mould.cavities", "--cavities"),
    ("base.name", "--base"),
    ("base.ratio", "--ratio"),
    ("base.to", "--ratio-to"),
    ("base.density", "--base-density"),
    ("base.to_density", "--to-density"),
    ("base.allowance", "--allowance"),
    ("base.made", "--made"),
    ("balance.drug", "--balance"),
    ("balance.base", "--base-balance"),
    ("balance.error", "--error"),
    ("directions", "--directions"),
];

impl Given {
    pub(super) fn is_empty(&self) -> bool {
        self.options.is_empty()
    }

    /// Whether an option gave the value, or the group that it belongs in.
    pub(super) fn is_given(&self, path: &str) -> bool {
        self.nearest(path).is_some()
    }

    /// The option for a value, as it is typed: `--drug "zinc oxide"`, `dose`.
    pub(super) fn option(&self, path: &str) -> Option<String> {
        if let Some((_, option)) = OPTIONS.iter().find(|(known, _)| *known == path) {
            return Some(format!("`{option}`"));
        }
        let (known, option) = self.nearest(path)?;
        let rest = path.strip_prefix(known).unwrap_or_default().trim_start_matches('.');
        // A mass of several has its number, which begins at 1 for people.
        match rest.parse::<usize>() {
            Ok(n) => Some(format!("`{option}`, number {}", n + 1)),
            Err(_) if rest.is_empty() => Some(format!("`{option}`")),
            Err(_) => Some(format!("`{option}`, `{rest}`")),
        }
    }

    fn nearest(&self, path: &str) -> Option<(&str, &str)> {
        let is_above = |known: &str| {
            path.strip_prefix(known).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        };
        let known = self.options.iter().filter(|(known, _)| is_above(known));
        known
            .max_by_key(|(known, _)| known.len())
            .map(|(known, option)| (known.as_str(), option.as_str()))
    }
}

impl Options {
    /// Puts the options in the place of the values of an order.
    ///
    /// # Errors
    /// Every key of a drug that there is not, and what is no key with a value.
    pub(super) fn apply(&self, order: &mut Order) -> Result<Given, String> {
        let mut given = Given::default();
        let mut problems = Vec::new();
        self.clear_others(order);
        self.apply_masses(order, &mut given, &mut problems);
        for ((path, option), value) in OPTIONS.iter().zip(self.single()) {
            if value.is_some_and(|value| order.set(path, value)) {
                given.options.insert((*path).to_owned(), (*option).to_owned());
            }
        }
        if !self.part.is_empty() {
            order.base.parts = self.parts(&mut problems);
            given.options.insert("base.parts".to_owned(), "--part".to_owned());
        }
        let groups = [
            ("drugs", "--drug", &self.drug, &mut order.drugs),
            ("others", "--other", &self.other, &mut order.others),
        ];
        for (key, option, words, drugs) in groups {
            for drug in read_drugs(words, option, &mut problems) {
                let name = drug.name.clone().unwrap_or_default();
                let same = |known: &OrderedDrug| {
                    known.name.as_deref().is_some_and(|known| known.eq_ignore_ascii_case(&name))
                };
                // A drug of the file with the same name is replaced, one of the options is there twice.
                let index = drugs.iter().position(same);
                let is_given = |n: &usize| given.options.contains_key(&format!("{key}.{n}"));
                let n = match index.filter(|n| !is_given(n)) {
                    Some(n) => {
                        drugs[n] = drug;
                        n
                    }
                    None => {
                        drugs.push(drug);
                        drugs.len() - 1
                    }
                };
                let name = words::quoted(&name, 40);
                let quoted = if name.contains(' ') { format!("\"{name}\"") } else { name };
                given.options.insert(format!("{key}.{n}"), format!("{option} {quoted}"));
            }
        }
        if problems.is_empty() { Ok(given) } else { Err(problems.join("\n")) }
    }

    /// Takes away what stands in the order for the same thing in another way.
    fn clear_others(&self, order: &mut Order) {
        let is_capacity = [&self.capacity, &self.total, &self.masses].iter().any(|it| it.is_some());
        if is_capacity {
            let mould = &mut order.mould;
            (mould.capacity, mould.total, mould.blanks) = (None, None, None);
            (mould.dish, mould.spoilt) = (None, None);
            mould.masses.clear();
        }
        if [&self.extra, &self.excess, &self.loss].iter().any(|it| it.is_some()) {
            (order.extra, order.excess, order.loss) = (None, None, None);
        }
        if self.ratio.is_some() || self.to_density.is_some() {
            (order.base.ratio, order.base.to_density) = (None, None);
        }
    }

    fn apply_masses(&self, order: &mut Order, given: &mut Given, problems: &mut Vec<String>) {
        let Some(text) = &self.masses else { return };
        match split_readings(text) {
            Ok(masses) => order.mould.masses = masses.into_iter().map(str::to_owned).collect(),
            Err(problem) => problems.push(format!("`--masses`: {problem}")),
        }
        given.options.insert("mould.masses".to_owned(), "--masses".to_owned());
    }

    /// The single values, in the order of [`OPTIONS`].
    fn single(&self) -> [Option<&String>; 25] {
        [
            &self.title,
            &self.form,
            &self.units,
            &self.extra,
            &self.excess,
            &self.loss,
            &self.capacity,
            &self.total,
            &self.blanks,
            &self.dish,
            &self.spoilt,
            &self.calibrated_with,
            &self.nominal,
            &self.cavities,
            &self.base,
            &self.ratio,
            &self.ratio_to,
            &self.base_density,
            &self.to_density,
            &self.allowance,
            &self.made,
            &self.balance,
            &self.base_balance,
            &self.error,
            &self.directions,
        ]
        .map(Option::as_ref)
    }

    fn parts(&self, problems: &mut Vec<String>) -> Vec<OrderedPart> {
        let mut parts = Vec::new();
        for text in &self.part {
            match text.rsplit_once('=') {
                Some((name, share)) => parts.push(OrderedPart {
                    name: Some(name.trim().to_owned()),
                    share: Some(share.trim().to_owned()),
                }),
                None => problems.push(format!(
                    "`--part`: expected a name and its percentage, found `{}`; write `gelatin=14 %`",
                    words::quoted(text, 40)
                )),
            }
        }
        parts
    }
}
