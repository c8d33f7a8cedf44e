//! Groups of keys, and `form!`, which makes of one description a type, its reader and its form.

use std::collections::BTreeMap;

use crate::formula::nearest;

use crate::bank::reading::checker::Checker;
use crate::bank::reading::form::{Form, Kind};
use crate::bank::reading::locations::Location;
use crate::bank::reading::node::{Node, What};
use crate::bank::reading::noted::{Checked, Noted};
use crate::bank::reading::written::{Written, again, misfit};

/// Describes a group of keys:
///
/// ```text
/// form! {
///     /// What the type is.
///     StepText is "a step" {
///         label: Option<Text> = "what the key is for, for the writer of the file";
///         filter as "where": FormulaText = "a key that is no name in this language";
///     }
/// }
/// ```
///
/// Behind the name for messages, `one of "from" "choose"` names keys of which exactly one is given,
/// and `with version` makes it the form of a whole file.
macro_rules! form {
    ($(#[$doc:meta])* $name:ident is $what:literal $(with $version:ident)? $(one of $($way:literal)+)? {
        $($field:ident $(as $key:literal)?: $type:ty = $about:literal;)*
    }) => {
        $(#[$doc])*
        #[derive(Debug)]
        pub(in crate::bank) struct $name {
            at: $crate::bank::reading::locations::Location,
            $(pub(in crate::bank) $field: $type,)*
        }

        impl $crate::bank::reading::locations::Located for $name {
            fn location(&self) -> $crate::bank::reading::locations::Location {
                self.at
            }
        }

        impl $name {
            const FORM: $crate::bank::reading::form::Form = $crate::bank::reading::form::Form {
                name: $what,
                one_of: &[$($($way),+)?],
                fields: &[
                    $($crate::bank::reading::group::form!(@$version),)?
                    $($crate::bank::reading::form::Field {
                        key: $crate::bank::reading::group::form!(@key $field $($key)?),
                        needed: <$type as $crate::bank::reading::written::Written>::NEEDED,
                        kind: <$type as $crate::bank::reading::written::Written>::KIND,
                        about: $about,
                    },)*
                ],
            };
        }

        impl $crate::bank::reading::written::Written for $name {
            const KIND: $crate::bank::reading::form::Kind =
                $crate::bank::reading::form::Kind::Form(&Self::FORM);

            fn read(
                checker: &mut $crate::bank::reading::checker::Checker<'_>,
                node: $crate::bank::reading::node::Node,
            ) -> $crate::bank::reading::noted::Checked<Self> {
                let mut group = $crate::bank::reading::group::Group::of(checker, node, &Self::FORM)?;
                $(let $field = group.take(
                    checker,
                    $crate::bank::reading::group::form!(@key $field $($key)?),
                );)*
                let at = group.finish()?;
                Ok(Self { at, $($field: $field?,)* })
            }
        }
    };
    (@version) => {
        $crate::bank::reading::form::Field {
            key: "castmark",
            needed: true,
            kind: $crate::bank::reading::form::Kind::Text(
                $crate::bank::reading::form::Words::OneOf(&["1"]),
            ),
            about: "the version of the format, 1",
        }
    };
    (@key $field:ident) => { stringify!($field) };
    (@key $field:ident $key:literal) => { $key };
}
pub(in crate::bank) use form;

/// A group of keys that is being read.
pub(in crate::bank) struct Group {
    at: Location,
    entries: BTreeMap<&'static str, Node>,
    /// Set when keys are missing.
    missing: Option<Noted>,
    /// Set when it is not known which of several ways is meant.
    unsound: Option<Noted>,
}

impl Group {
    /// The entries of a group; keys that are unknown, there again or missing are noted.
    pub(in crate::bank) fn of(
        checker: &mut Checker<'_>,
        node: Node,
        form: &'static Form,
    ) -> Checked<Self> {
        let Node { at, what: What::Group(written) } = node else {
            return Err(misfit(checker, &node, &Kind::Form(form)));
        };
        let mut group = Self { at, entries: BTreeMap::new(), missing: None, unsound: None };
        let mut misspelt = Vec::new();
        for (key, node) in written {
            match form.field(&key) {
                None => {
                    misspelt.extend(unknown(checker, &node, &key, form).map(|near| (near, node)));
                }
                Some(field) if group.entries.contains_key(field.key) => again(checker, &node, &key),
                Some(field) => drop(group.entries.insert(field.key, node)),
            }
        }
        // What stands under a misspelt key is read as what it is meant to be, so that what is wrong with
        // it is told as well.
        for (near, node) in misspelt {
            group.entries.entry(near).or_insert(node);
        }
        let given: Vec<&str> = group.entries.keys().copied().collect();
        group.one_way(checker, &given, form);
        group.missing(checker, &given, form);
        Ok(group)
    }

    /// What belongs to a key, or what stands in for it.
    pub(in crate::bank) fn take<T: Written>(
        &mut self,
        checker: &mut Checker<'_>,
        key: &'static str,
    ) -> Checked<T> {
        let read = match self.entries.remove(key) {
            Some(node) => T::read(checker, node),
            None => T::absent().ok_or_else(|| match self.missing {
                Some(noted) => noted,
                None => checker.key(&self.at, format!("expected `{key}`"), "missing here", None),
            }),
        };
        read.or_else(|noted| T::lost(noted).ok_or(noted))
    }

    /// The location of the group, when it says enough to be checked.
    pub(in crate::bank) fn finish(self) -> Checked<Location> {
        self.unsound.map_or(Ok(self.at), Err)
    }

    /// Notes a group with none or several of the keys of which it has one.
    fn one_way(&mut self, checker: &mut Checker<'_>, given: &[&str], form: &Form) {
        let chosen: Vec<&str> =
            form.one_of.iter().copied().filter(|key| given.contains(key)).collect();
        let found = match chosen.as_slice() {
            _ if form.one_of.is_empty() => return,
            [_] => return,
            [] => "none".to_owned(),
            several => listed(several),
        };
        let what = format!("expected exactly one way for {}, found {found}", form.name);
        let help = format!("give exactly one of: {}", form.one_of.join(", "));
        self.unsound = Some(checker.key(&self.at, what, "which way?", Some(help)));
    }

    fn missing(&mut self, checker: &mut Checker<'_>, given: &[&str], form: &Form) {
        let is_missing = |field: &&crate::bank::reading::form::Field| {
            field.needed && !given.contains(&field.key)
        };
        let missing: Vec<_> = form.fields.iter().filter(is_missing).collect();
        if missing.is_empty() {
            return;
        }
        let keys: Vec<&str> = missing.iter().map(|field| field.key).collect();
        let help: Vec<String> =
            missing.iter().map(|field| format!("`{}:`, {}", field.key, field.about)).collect();
        let what = format!("expected {} in {}, found nothing", listed(&keys), form.name);
        let label = if self.at == Location::FILE { "missing in this file" } else { "missing here" };
        let help = Some(format!("add {}", help.join("; ")));
        self.missing = Some(checker.key(&self.at, what, label, help));
    }
}

/// Notes a key that is not of the form; gives the one that may be meant.
fn unknown(
    checker: &mut Checker<'_>,
    node: &Node,
    key: &str,
    form: &'static Form,
) -> Option<&'static str> {
    if checker.notes.is_full() {
        checker.count();
        return None;
    }
    let near = nearest(key, form.fields.iter().map(|field| field.key));
    let help = near.map_or_else(
        || {
            let known: Vec<&str> = form.fields.iter().map(|field| field.key).collect();
            format!("the keys of {} are: {}", form.name, known.join(", "))
        },
        |near| format!("did you mean `{near}`?"),
    );
    let what = format!("expected a key of {}, found `{key}`", form.name);
    checker.key(node, what, "not a key here", Some(help));
    near
}

/// Keys as words of a sentence: `a`, `b` and `c`.
fn listed(keys: &[&str]) -> String {
    match keys {
        [] => String::new(),
        [one] => format!("`{one}`"),
        [first @ .., last] => format!("`{}` and `{last}`", first.join("`, `")),
    }
}
