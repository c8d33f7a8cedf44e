//! From the words of a formula to its tree.

use std::ops::Range;

use crate::quantity::{Exact, Unit};

use super::token::{Kind, Token, tokens};
use super::tree::{Node, NodeKind, Operator};
use super::{FUNCTIONS, FormulaProblem, Function, nearest};

/// The longest formula, in bytes.
const LONGEST: usize = 1000;
/// The deepest nesting of brackets, and the most signs: together they bound the height of a tree, and
/// with it the room that working on it takes.
const DEEPEST: usize = 40;
const MOST_SIGNS: usize = 100;
/// More problems than this are not told: the rest is likely noise.
const MOST_PROBLEMS: usize = 12;

/// Reads a formula.
///
/// Reading goes on behind everything that is wrong, as if it had been right, so that one reading
/// finds all problems; no word is complained of twice.
pub(super) fn parse(text: &str) -> Result<Node, Vec<FormulaProblem>> {
    if text.len() > LONGEST {
        return Err(vec![FormulaProblem {
            range: 0..0,
            what: format!("expected a formula of at most {LONGEST} letters, found {}", text.len()),
            label: "too long".to_owned(),
            help: Some("split it into several steps".to_owned()),
        }]);
    }
    let mut problems = Vec::new();
    let tokens = tokens(text, &mut problems);
    let mut parser =
        Parser { text, tokens, at: 0, depth: 0, signs: 0, blamed: None, gave_up: false, problems };
    let tree = parser.whole();
    if parser.problems.is_empty() {
        return Ok(tree);
    }
    parser.problems.sort_by_key(|problem| problem.range.start);
    parser.problems.dedup_by(|later, first| later.range == first.range);
    parser.problems.truncate(MOST_PROBLEMS);
    Err(parser.problems)
}

struct Parser<'a> {
    text: &'a str,
    /// The words, the last of them the end.
    tokens: Vec<Token>,
    at: usize,
    depth: usize,
    signs: usize,
    /// The last word that was complained of.
    blamed: Option<usize>,
    /// The rest is not read, so nothing is told of it.
    gave_up: bool,
    problems: Vec<FormulaProblem>,
}

impl Parser<'_> {
    fn whole(&mut self) -> Node {
        let tree = self.expression(0);
        while *self.peek() != Kind::End {
            self.unexpected("the end of the formula or a sign");
            self.at += 1;
            if self.begins_operand() {
                self.expression(0);
            }
        }
        tree
    }

    /// Operands and the signs between them that bind more tightly than `weakest`.
    fn expression(&mut self, weakest: u8) -> Node {
        let mut left = self.operand();
        loop {
            if self.begins_operand() {
                self.missing_sign();
                self.operand();
                continue;
            }
            if *self.peek() == Kind::Wrong {
                // It stands where a sign should; what follows is taken for the other side.
                self.at += 1;
                continue;
            }
            let Some((operator, strength)) = self.operator() else { break };
            if strength <= weakest {
                break;
            }
            self.at += 1;
            self.signs += 1;
            if self.signs > MOST_SIGNS {
                self.give_up(
                    &format!("expected at most {MOST_SIGNS} signs, found more"),
                    "too many",
                );
                break;
            }
            let right = self.expression(strength);
            if matches!(operator, Operator::Compare(_)) && is_comparison(&left) {
                self.problems.push(FormulaProblem {
                    range: left.range.clone(),
                    what: "expected one comparison, found two in a row".to_owned(),
                    label: "this is true or false already".to_owned(),
                    help: Some("join two comparisons with `and`: `a < b and b < c`".to_owned()),
                });
            }
            let range = left.range.start..right.range.end.max(left.range.end);
            let kind = NodeKind::Pair(operator, Box::new(left), Box::new(right));
            left = Node { kind, range };
        }
        left
    }

    fn operand(&mut self) -> Node {
        while *self.peek() == Kind::Wrong {
            self.blamed = Some(self.at);
            self.at += 1;
        }
        let range = self.range();
        match self.peek().clone() {
            Kind::Number(value, unit) => {
                self.at += 1;
                Node { kind: NodeKind::Number(value, unit), range }
            }
            Kind::Name(name) => {
                self.at += 1;
                if *self.peek() == Kind::Sign("(") {
                    return self.deeper(|parser| parser.call(&name, &range));
                }
                Node { kind: NodeKind::Name(name), range }
            }
            Kind::Sign("(") => {
                self.at += 1;
                let inner = self.deeper(|parser| parser.expression(0));
                let end = self.close(&range);
                Node { kind: inner.kind, range: range.start..end }
            }
            // A minus binds more tightly than a sum and less than a product.
            Kind::Sign("-") => self.before(5, NodeKind::Minus),
            Kind::Sign("not") => self.before(3, NodeKind::Not),
            _ => {
                // `a + * b`, `a + )`: the sign stays, to be read in its turn.
                if self.blamed.is_none_or(|blamed| blamed + 1 != self.at) {
                    self.unexpected("a number, a name or a bracket");
                }
                nothing(range)
            }
        }
    }

    /// A sign before an operand.
    fn before(&mut self, weakest: u8, kind: fn(Box<Node>) -> NodeKind) -> Node {
        let start = self.range().start;
        self.at += 1;
        let inner = self.deeper(|parser| parser.expression(weakest));
        let range = start..inner.range.end;
        Node { kind: kind(Box::new(inner)), range }
    }

    /// Reads one level further in, unless that is too deep: then the reading is over.
    fn deeper(&mut self, read: impl FnOnce(&mut Self) -> Node) -> Node {
        let range = self.range();
        if self.depth >= DEEPEST {
            let what = format!("expected at most {DEEPEST} levels of brackets, found more");
            self.give_up(&what, "too deep");
            return nothing(range);
        }
        self.depth += 1;
        let node = read(self);
        self.depth -= 1;
        node
    }

    /// Reads no further.
    fn give_up(&mut self, what: &str, label: &str) {
        self.problems.push(FormulaProblem {
            range: self.range(),
            what: what.to_owned(),
            label: label.to_owned(),
            help: Some("split the formula into several steps".to_owned()),
        });
        self.at = self.tokens.len() - 1;
        self.gave_up = true;
    }

    fn call(&mut self, name: &str, range: &Range<usize>) -> Node {
        let open = self.range();
        self.at += 1;
        let mut given = Vec::new();
        let mut help = None;
        if *self.peek() != Kind::Sign(")") {
            given.push(self.expression(0));
            while *self.peek() == Kind::Sign(",") {
                help = help.or_else(|| self.decimal_comma());
                self.at += 1;
                given.push(self.expression(0));
            }
        }
        let end = self.close(&open);
        let whole = range.start..end;
        let Some(function) = Function::find(name) else {
            let known: Vec<&str> = FUNCTIONS.iter().map(|function| function.name).collect();
            let help = nearest(name, known.iter().copied()).map_or_else(
                || format!("known are {}; to multiply, write `{name} * (`", known.join(", ")),
                |near| format!("did you mean `{near}`?"),
            );
            self.problems.push(FormulaProblem {
                range: range.clone(),
                what: format!("expected a function, found `{name}`"),
                label: "there is no such function".to_owned(),
                help: Some(help),
            });
            return nothing(whole);
        };
        if given.len() != function.wants() {
            let wants = ["nothing", "one thing", "two things", "three things"];
            let wants = wants.get(function.wants()).unwrap_or(&"less");
            self.problems.push(FormulaProblem {
                range: whole.clone(),
                what: format!("expected {wants} for `{name}`, found {}", given.len()),
                label: format!("{}: {}", function.form, function.about),
                help,
            });
            return nothing(whole);
        }
        Node { kind: NodeKind::Call(function, given), range: whole }
    }

    /// Goes behind the closing bracket and says where it ends.
    fn close(&mut self, open: &Range<usize>) -> usize {
        while *self.peek() != Kind::Sign(")") {
            if *self.peek() == Kind::End {
                self.never_closed(open);
                return self.range().end;
            }
            self.unexpected("`)`");
            self.at += 1;
            if self.begins_operand() {
                self.expression(0);
            }
        }
        self.at += 1;
        self.tokens[self.at - 1].range.end
    }

    fn operator(&self) -> Option<(Operator, u8)> {
        match self.peek() {
            Kind::Sign(sign) => Operator::of(sign),
            _ => None,
        }
    }

    fn begins_operand(&self) -> bool {
        matches!(self.peek(), Kind::Number(..) | Kind::Name(_) | Kind::Sign("(" | "not"))
    }

    fn peek(&self) -> &Kind {
        &self.tokens[self.at].kind
    }

    fn range(&self) -> Range<usize> {
        self.tokens[self.at].range.clone()
    }

    fn never_closed(&mut self, open: &Range<usize>) {
        if self.gave_up {
            return;
        }
        self.problems.push(FormulaProblem {
            range: open.clone(),
            what: "expected `)`, found the end of the formula".to_owned(),
            label: "this bracket is never closed".to_owned(),
            help: None,
        });
    }

    /// Complains of two things side by side, unless the first is something wrong already.
    fn missing_sign(&mut self) {
        let before = self.at.checked_sub(1).map(|at| self.tokens[at].clone());
        let help = match before.map(|token| (token.kind, token.range)) {
            Some((Kind::Wrong, _)) => return,
            Some((Kind::Name(name), _)) if Function::find(&name).is_some() => {
                let function = Function::find(&name).map_or("", |function| function.form);
                Some(format!("give what the function is about in brackets: `{function}`"))
            }
            Some((_, range)) if *self.peek() != Kind::Sign("not") => {
                let (before, behind) = (&self.text[range], &self.text[self.range()]);
                Some(format!("to multiply, write `{before} * {behind}`"))
            }
            _ => None,
        };
        let end = if self.depth == 0 { "the end of the formula" } else { "`)`" };
        self.unexpected_with(&format!("{end} or a sign"), help);
    }

    fn unexpected(&mut self, expected: &str) {
        self.unexpected_with(expected, self.decimal_comma());
    }

    fn unexpected_with(&mut self, expected: &str, help: Option<String>) {
        if self.gave_up || self.blamed == Some(self.at) {
            return;
        }
        self.blamed = Some(self.at);
        let range = self.range();
        let found = match self.peek() {
            Kind::Number(value, _) => format!("the number {value}"),
            Kind::End => "the end of the formula".to_owned(),
            _ => format!("`{}`", &self.text[range.clone()]),
        };
        let is_stray = self.depth == 0 && *self.peek() == Kind::Sign(")");
        let label = if is_stray { "no bracket is open here" } else { "not expected here" };
        self.problems.push(FormulaProblem {
            range,
            what: format!("expected {expected}, found {found}"),
            label: label.to_owned(),
            help,
        });
    }

    /// What to do about a comma between two digits: `0,5`.
    fn decimal_comma(&self) -> Option<String> {
        let before = self.tokens.get(self.at.checked_sub(1)?)?;
        let behind = self.tokens.get(self.at + 1)?;
        let range = self.range();
        let touches = before.range.end == range.start && behind.range.start == range.end;
        match (&before.kind, self.peek(), &behind.kind) {
            (Kind::Number(..), Kind::Sign(","), Kind::Number(..)) if touches => {
                let whole = &self.text[before.range.clone()];
                let part = &self.text[behind.range.clone()];
                Some(format!("write a decimal point: `{whole}.{part}`"))
            }
            _ => None,
        }
    }
}

/// What stands for a part that could not be read.
fn nothing(range: Range<usize>) -> Node {
    Node { kind: NodeKind::Number(Exact::ZERO, Unit::NUMBER), range }
}

fn is_comparison(node: &Node) -> bool {
    matches!(&node.kind, NodeKind::Pair(Operator::Compare(_), ..))
}
