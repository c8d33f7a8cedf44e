//! A small interpreter of response processing, as far as packages use it.
//!
//! Written from the information model of the standard (IMS Question and Test Interoperability,
//! Assessment Test, Section and Item Information Model 2.2, parts "Response Processing" and
//! "Expressions"), not from the code that writes packages. What it does not know, it refuses.

use std::collections::BTreeMap;

use regex::Regex;

use super::package::Element;

/// A value of a variable or an expression.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Value {
    /// Nothing.
    Null,
    /// True or false.
    Truth(bool),
    /// A number, of either base type.
    Number(f64),
    /// A string, an identifier or a pair.
    Text(String),
    /// A container, multiple or ordered.
    Several(Vec<Value>),
}

/// An item with the answers of a candidate.
#[derive(Debug)]
pub(super) struct Interpreter<'a> {
    item: &'a Element,
    variables: BTreeMap<String, Value>,
    /// Patterns that were compiled already.
    patterns: &'a mut BTreeMap<String, Regex>,
}

impl<'a> Interpreter<'a> {
    /// Processes the answers and gives the values of all variables.
    #[track_caller]
    pub(super) fn run(
        item: &'a Element,
        answers: &[(String, Value)],
        patterns: &'a mut BTreeMap<String, Regex>,
    ) -> BTreeMap<String, Value> {
        let mut variables = BTreeMap::new();
        for declaration in item.children.iter().filter(|it| it.name == "responseDeclaration") {
            variables.insert(declaration.have("identifier").to_owned(), Value::Null);
        }
        for declaration in item.children.iter().filter(|it| it.name == "outcomeDeclaration") {
            let value = declaration.children.first().map(|default| &default.children[0].text);
            let number = value.map(|text| Value::Number(text.parse().unwrap()));
            variables
                .insert(declaration.have("identifier").to_owned(), number.unwrap_or(Value::Null));
        }
        for (answer, value) in answers {
            let known = variables.insert(answer.clone(), value.clone());
            assert!(known.is_some(), "the item declares no {answer}");
        }
        let mut running = Self { item, variables, patterns };
        let processing = item.children.iter().find(|it| it.name == "responseProcessing");
        for rule in processing.map(|it| it.children.as_slice()).unwrap_or_default() {
            running.rule(rule);
        }
        running.variables
    }

    fn rule(&mut self, rule: &Element) {
        match rule.name.as_str() {
            "responseCondition" => {
                for branch in &rule.children {
                    let (test, rules) = match branch.name.as_str() {
                        "responseIf" | "responseElseIf" => {
                            let (test, rules) = branch.children.split_first().unwrap();
                            (self.value(test) == Value::Truth(true), rules)
                        }
                        "responseElse" => (true, branch.children.as_slice()),
                        other => panic!("<{other}> in a condition"),
                    };
                    if test {
                        for rule in rules {
                            self.rule(rule);
                        }
                        break;
                    }
                }
            }
            "setOutcomeValue" => {
                let value = self.value(&rule.children[0]);
                let name = rule.have("identifier");
                assert!(self.variables.contains_key(name), "no outcome {name}");
                self.variables.insert(name.to_owned(), value);
            }
            other => panic!("<{other}> is no rule known here"),
        }
    }

    fn declaration(&self, name: &str) -> &'a Element {
        let declared = self.item.children.iter().filter(|it| it.name == "responseDeclaration");
        let mut declared = declared.filter(|it| it.have("identifier") == name);
        declared.next().unwrap_or_else(|| panic!("no response {name}"))
    }

    fn values(&mut self, of: &Element) -> Vec<Value> {
        of.children.iter().map(|child| self.value(child)).collect()
    }

    fn value(&mut self, of: &Element) -> Value {
        match of.name.as_str() {
            "variable" => {
                let name = of.have("identifier");
                self.variables.get(name).unwrap_or_else(|| panic!("no variable {name}")).clone()
            }
            "baseValue" => match of.have("baseType") {
                "float" | "integer" => Value::Number(of.text.parse().unwrap()),
                "identifier" | "string" => Value::Text(of.text.clone()),
                other => panic!("a value of base type {other}"),
            },
            "correct" => self.correct(of.have("identifier")),
            "mapResponse" => self.mapped(of.have("identifier")),
            "isNull" => Value::Truth(match self.value(&of.children[0]) {
                Value::Null => true,
                // An empty string and an empty container are taken for nothing.
                Value::Text(text) => text.is_empty(),
                Value::Several(several) => several.is_empty(),
                _ => false,
            }),
            "and" => junction(&self.values(of), false),
            "or" => junction(&self.values(of), true),
            "match" => match self.values(of).as_slice() {
                [Value::Null, _] | [_, Value::Null] => Value::Null,
                [one, other] => Value::Truth(one == other),
                _ => panic!("<match> of other than two"),
            },
            name @ ("gte" | "lte" | "lt" | "gt") => match self.values(of).as_slice() {
                [Value::Number(one), Value::Number(other)] => Value::Truth(match name {
                    "gte" => one >= other,
                    "lte" => one <= other,
                    "lt" => one < other,
                    _ => one > other,
                }),
                [Value::Null, _] | [_, Value::Null] => Value::Null,
                found => panic!("<{name}> of {found:?}"),
            },
            "patternMatch" => match self.value(&of.children[0]) {
                Value::Text(text) => Value::Truth(self.is_like(of.have("pattern"), &text)),
                Value::Null => Value::Null,
                found => panic!("a pattern for {found:?}"),
            },
            "multiple" => {
                let mut several = Vec::new();
                for value in self.values(of) {
                    match value {
                        Value::Null => {}
                        Value::Several(inner) => several.extend(inner),
                        one => several.push(one),
                    }
                }
                if several.is_empty() { Value::Null } else { Value::Several(several) }
            }
            "sum" => sum(&self.values(of)),
            "index" => {
                let place: usize = of.have("n").parse().unwrap();
                match self.value(&of.children[0]) {
                    Value::Several(values) => values.get(place - 1).cloned().unwrap_or(Value::Null),
                    _ => Value::Null,
                }
            }
            other => panic!("<{other}> is no expression known here"),
        }
    }

    fn correct(&self, name: &str) -> Value {
        let declaration = self.declaration(name);
        let correct = declaration.children.iter().find(|it| it.name == "correctResponse").unwrap();
        let mut values: Vec<Value> = match declaration.have("baseType") {
            "float" => {
                correct.children.iter().map(|it| Value::Number(it.text.parse().unwrap())).collect()
            }
            _ => correct.children.iter().map(|it| Value::Text(it.text.clone())).collect(),
        };
        if declaration.have("cardinality") == "single" {
            values.remove(0)
        } else {
            Value::Several(values)
        }
    }

    /// The sum of what the values of a response are mapped to; each value of a container counts once.
    fn mapped(&self, name: &str) -> Value {
        let declaration = self.declaration(name);
        let mapping = declaration.children.iter().find(|it| it.name == "mapping").unwrap();
        let of = |value: &Value| {
            let Value::Text(text) = value else { panic!("{value:?} is mapped") };
            let entry = mapping.children.iter().find(|entry| {
                let key = entry.have("mapKey");
                match entry.get("caseSensitive") {
                    Some("false") => key.to_lowercase() == text.to_lowercase(),
                    _ => key == text,
                }
            });
            let mapped =
                entry.map_or(mapping.have("defaultValue"), |entry| entry.have("mappedValue"));
            Value::Number(mapped.parse().unwrap())
        };
        match &self.variables[name] {
            Value::Null => Value::Number(0.0),
            Value::Several(values) => sum(&values.iter().map(of).collect::<Vec<_>>()),
            one => of(one),
        }
    }

    /// Whether a text is of a pattern as a whole, by the regular expressions of XML Schema part 2.
    fn is_like(&mut self, pattern: &str, text: &str) -> bool {
        if !self.patterns.contains_key(pattern) {
            let compiled = Regex::new(&format!("^(?:{pattern})$"));
            let compiled = compiled.unwrap_or_else(|problem| panic!("{pattern}: {problem}"));
            self.patterns.insert(pattern.to_owned(), compiled);
        }
        self.patterns[pattern].is_match(text)
    }
}

/// Values joined by `and`, which one false decides, or by `or`, which one true does.
fn junction(values: &[Value], decides: bool) -> Value {
    if values.contains(&Value::Truth(decides)) {
        return Value::Truth(decides);
    }
    if values.contains(&Value::Null) { Value::Null } else { Value::Truth(!decides) }
}

#[allow(clippy::float_arithmetic, reason = "the standard's numbers are binary fractions")]
fn sum(values: &[Value]) -> Value {
    let mut sum = 0.0;
    for value in values {
        match value {
            Value::Number(number) => sum += number,
            Value::Null => return Value::Null,
            other => panic!("<sum> of {other:?}"),
        }
    }
    Value::Number(sum)
}
