//! From the words of a formula to its tree.

use std::ops::Range;

use super::token::{Kind, Token, tokens};
use super::tree::{Node, NodeKind, Operator};
use super::{FUNCTIONS, FormulaProblem, Function, nearest};

/// The longest formula, in bytes, and the deepest nesting that is read.
const LONGEST: usize = 1000;
const DEEPEST: usize = 40;

/// Reads a formula.
///
/// Reading goes on behind a wrong call or an unknown function, so that one reading finds several
/// problems; behind a word that cannot stand where it stands it ends.
pub(super) fn parse(text: &str) -> Result<Node, Vec<FormulaProblem>> {
    if text.len() > LONGEST {
        return Err(vec![FormulaProblem {
            range: 0..0,
            what: format!("expected a formula of at most {LONGEST} letters, found {}", text.len()),
            label: "too long".to_owned(),
            help: Some("split it into several steps".to_owned()),
        }]);
    }
    let tokens = tokens(text).map_err(|problem| vec![problem])?;
    let mut parser = Parser { tokens, at: 0, depth: 0, problems: Vec::new() };
    let tree = parser.expression(0).and_then(|node| match parser.peek() {
        Kind::End => Ok(node),
        _ => Err(parser.unexpected("the end of the formula or a sign")),
    });
    match tree {
        Ok(node) if parser.problems.is_empty() => Ok(node),
        Ok(_) => Err(parser.problems),
        Err(problem) => {
            parser.problems.push(problem);
            Err(parser.problems)
        }
    }
}

struct Parser {
    tokens: Vec<Token>,
    at: usize,
    depth: usize,
    problems: Vec<FormulaProblem>,
}

impl Parser {
    fn expression(&mut self, weakest: u8) -> Result<Node, FormulaProblem> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(FormulaProblem {
                range: self.range(),
                what: format!("expected at most {DEEPEST} levels of brackets, found more"),
                label: "too deep".to_owned(),
                help: Some("split the formula into several steps".to_owned()),
            });
        }
        let mut left = self.operand()?;
        while let Some((operator, strength)) = self.operator() {
            if strength <= weakest {
                break;
            }
            self.at += 1;
            let right = self.expression(strength)?;
            if operator.is_comparison() && is_comparison(&left) {
                self.problems.push(FormulaProblem {
                    range: left.range.clone(),
                    what: "expected one comparison, found two in a row".to_owned(),
                    label: "this is true or false already".to_owned(),
                    help: Some("join two comparisons with `and`: `a < b and b < c`".to_owned()),
                });
            }
            let range = left.range.start..right.range.end;
            let kind = NodeKind::Pair(operator, Box::new(left), Box::new(right));
            left = Node { kind, range };
        }
        self.depth -= 1;
        Ok(left)
    }

    fn operand(&mut self) -> Result<Node, FormulaProblem> {
        let range = self.range();
        let node = |kind, range| Ok(Node { kind, range });
        match self.peek().clone() {
            Kind::Number(value, unit) => {
                self.at += 1;
                node(NodeKind::Number(value, unit), range)
            }
            Kind::Sign("-") => {
                self.at += 1;
                // A minus binds tighter than a sum and looser than a product.
                let inner = self.expression(5)?;
                let range = range.start..inner.range.end;
                node(NodeKind::Minus(Box::new(inner)), range)
            }
            Kind::Sign("(") => {
                self.at += 1;
                let inner = self.expression(0)?;
                let end = self.close(&range)?;
                node(inner.kind, range.start..end)
            }
            Kind::Name(name) if name == "not" => {
                self.at += 1;
                let inner = self.expression(3)?;
                let range = range.start..inner.range.end;
                node(NodeKind::Not(Box::new(inner)), range)
            }
            Kind::Name(name) if name != "and" && name != "or" => {
                self.at += 1;
                if *self.peek() == Kind::Sign("(") {
                    self.call(&name, &range)
                } else {
                    node(NodeKind::Name(name), range)
                }
            }
            _ => Err(self.unexpected("a number, a name or a bracket")),
        }
    }

    fn call(&mut self, name: &str, range: &Range<usize>) -> Result<Node, FormulaProblem> {
        let open = self.range();
        self.at += 1;
        let mut given = Vec::new();
        if *self.peek() != Kind::Sign(")") {
            given.push(self.expression(0)?);
            while *self.peek() == Kind::Sign(",") {
                self.at += 1;
                given.push(self.expression(0)?);
            }
        }
        let end = self.close(&open)?;
        let whole = range.start..end;
        let Some(function) = Function::find(name) else {
            let known = FUNCTIONS.iter().map(|function| function.name);
            self.problems.push(FormulaProblem {
                range: range.clone(),
                what: format!("expected a function, found `{name}`"),
                label: "there is no such function".to_owned(),
                help: nearest(name, known).map(|near| format!("did you mean `{near}`?")),
            });
            return Ok(Node { kind: NodeKind::Name(name.to_owned()), range: whole });
        };
        if given.len() != function.wants() {
            self.problems.push(FormulaProblem {
                range: whole.clone(),
                what: format!(
                    "expected {} for `{name}`, found {}",
                    things(function.wants()),
                    given.len()
                ),
                label: format!("{}: {}", function.form, function.about),
                help: None,
            });
        }
        Ok(Node { kind: NodeKind::Call(function, given), range: whole })
    }

    fn close(&mut self, open: &Range<usize>) -> Result<usize, FormulaProblem> {
        if *self.peek() != Kind::Sign(")") {
            let mut problem = self.unexpected("`)`");
            if *self.peek() == Kind::End {
                problem.range = open.clone();
                "this bracket is never closed".clone_into(&mut problem.label);
            }
            return Err(problem);
        }
        let end = self.range().end;
        self.at += 1;
        Ok(end)
    }

    fn operator(&self) -> Option<(Operator, u8)> {
        match self.peek() {
            Kind::Sign(sign) => Operator::of(sign),
            Kind::Name(name) if name == "and" || name == "or" => Operator::of(name),
            _ => None,
        }
    }

    fn peek(&self) -> &Kind {
        &self.tokens[self.at.min(self.tokens.len() - 1)].kind
    }

    fn range(&self) -> Range<usize> {
        self.tokens[self.at.min(self.tokens.len() - 1)].range.clone()
    }

    fn unexpected(&self, expected: &str) -> FormulaProblem {
        let found = match self.peek() {
            Kind::Number(value, _) => format!("the number {value}"),
            Kind::Name(name) => format!("`{name}`"),
            Kind::Sign(sign) => format!("`{sign}`"),
            Kind::End => "the end of the formula".to_owned(),
        };
        FormulaProblem {
            range: self.range(),
            what: format!("expected {expected}, found {found}"),
            label: "not expected here".to_owned(),
            help: None,
        }
    }
}

fn is_comparison(node: &Node) -> bool {
    matches!(&node.kind, NodeKind::Pair(operator, ..) if operator.is_comparison())
}

fn things(count: usize) -> &'static str {
    match count {
        1 => "one thing",
        2 => "two things",
        _ => "three things",
    }
}
