//! Looking up the names of a formula and checking its dimensions.

use crate::quantity::{Dimension, Exact, Unit};

use super::function::Rule;
use super::mend::{is_bare_zero, mend};
use super::program::{Op, OpKind, Program, Scope, Shape};
use super::tree::{Node, NodeKind, Operator};
use super::{FormulaProblem, Function, nearest};

/// Resolves the names of a tree and checks its dimensions.
pub(super) fn compile(node: &Node, scope: &dyn Scope) -> Result<Program, Vec<FormulaProblem>> {
    let mut compiler = Compiler { scope, problems: Vec::new(), reads: Vec::new() };
    let compiled = compiler.node(node);
    match compiled {
        Some((op, shape)) if compiler.problems.is_empty() => {
            compiler.reads.sort_unstable();
            compiler.reads.dedup();
            Ok(Program { shape, reads: compiler.reads, op })
        }
        _ => Err(compiler.problems),
    }
}

struct Compiler<'a> {
    scope: &'a dyn Scope,
    problems: Vec<FormulaProblem>,
    reads: Vec<usize>,
}

impl Compiler<'_> {
    /// The operation of a part and its shape; `None` when a problem was noted.
    fn node(&mut self, node: &Node) -> Option<(Op, Shape)> {
        let (kind, shape) = match &node.kind {
            NodeKind::Number(value, unit) => self.literal(node, *value, *unit)?,
            NodeKind::Name(name) => {
                let Some((slot, shape)) = self.scope.find(name) else {
                    let what = format!("expected a known name, found `{name}`");
                    let help = self.meant(name);
                    return self.problem(node, &what, "not a value or step", help);
                };
                self.reads.push(slot);
                (OpKind::Slot(slot), shape)
            }
            NodeKind::Minus(inner) => match inner.kind {
                // The sign belongs to the number before it is converted: -5 °C is 268.15 K.
                NodeKind::Number(value, unit) => self.literal(node, value.neg(), unit)?,
                _ => {
                    let (op, dimension) = self.number(inner)?;
                    (OpKind::Minus(Box::new(op)), Shape::Number(dimension))
                }
            },
            NodeKind::Not(inner) => (OpKind::Not(Box::new(self.truth(inner)?)), Shape::Truth),
            NodeKind::Pair(operator, left, right) if operator.is_logic() => {
                let (left, right) = (self.truth(left), self.truth(right));
                (OpKind::Pair(*operator, Box::new((left?, right?))), Shape::Truth)
            }
            NodeKind::Pair(operator, left, right) => {
                let (a, b) = (self.number(left), self.number(right));
                let ((a, of_a), (b, of_b)) = (a?, b?);
                let shape = self.pair(node, *operator, (left, of_a), (right, of_b))?;
                (OpKind::Pair(*operator, Box::new((a, b))), shape)
            }
            NodeKind::Call(function, given) => self.call(node, function, given)?,
        };
        // The reader takes no formula longer than a u16 can count.
        let place = |at: usize| u16::try_from(at).unwrap_or(u16::MAX);
        Some((Op { kind, at: (place(node.range.start), place(node.range.end)) }, shape))
    }

    fn literal(&mut self, node: &Node, value: Exact, unit: Unit) -> Option<(OpKind, Shape)> {
        let Ok(value) = unit.to_coherent(value) else {
            return self.problem(
                node,
                "expected a smaller number, found one too large to hold",
                "too large",
                None,
            );
        };
        Some((OpKind::Number(value), Shape::Number(unit.dimension())))
    }

    /// What somebody may have meant who wrote an unknown name.
    fn meant(&self, name: &str) -> Option<String> {
        if let Some(function) = Function::find(name) {
            return Some(format!("this is a function: write `{}`", function.form));
        }
        if let Some(near) = nearest(name, self.scope.names()) {
            return Some(format!("did you mean `{near}`?"));
        }
        let unit = Unit::parse(name).ok()?;
        Some(format!("a unit stands right behind its number, as in `1 {unit}` or `1 g/mL`"))
    }

    fn pair(
        &mut self,
        node: &Node,
        operator: Operator,
        (left, of_left): (&Node, Dimension),
        (right, of_right): (&Node, Dimension),
    ) -> Option<Shape> {
        let is_scale = |node: &Node| is_scale_reading(node);
        if !operator.is_comparison()
            && (is_scale(left) || is_scale(right))
            && operator != Operator::Minus
        {
            let what = "degrees Celsius cannot be added, multiplied or divided";
            let help = "write a difference of temperatures in kelvins: `5 K`".to_owned();
            let node = if is_scale(left) { left } else { right };
            return self.problem(node, what, "0 °C is not nothing", Some(help));
        }
        match operator {
            Operator::Times => return Some(Shape::Number(of_left.times(of_right))),
            Operator::Over => return Some(Shape::Number(of_left.over(of_right))),
            _ => {}
        }
        // A bare zero is zero of anything: `base > 0` needs no unit.
        if of_left != of_right && !is_bare_zero(left) && !is_bare_zero(right) {
            let verb = match operator {
                Operator::Plus => "added",
                Operator::Minus => "subtracted from one another",
                _ => "compared",
            };
            let what = format!("{of_left} and {of_right} cannot be {verb}");
            let label = format!("left: {of_left}; right: {of_right}");
            let help = mend((left, of_left), (right, of_right));
            return self.problem(node, &what, &label, help);
        }
        let of = if is_bare_zero(left) { of_right } else { of_left };
        Some(if operator.is_comparison() { Shape::Truth } else { Shape::Number(of) })
    }

    fn call(
        &mut self,
        node: &Node,
        function: &'static Function,
        given: &[Node],
    ) -> Option<(OpKind, Shape)> {
        let takes_list = matches!(
            function.rule,
            Rule::OfList(..)
                | Rule::ListAndNumber(_)
                | Rule::Without
                | Rule::Together
                | Rule::HowMany { .. }
        );
        let are_lists = matches!(function.rule, Rule::Together);
        // All are looked at, so that all problems are noted.
        let found: Vec<Option<(Op, Dimension)>> = given
            .iter()
            .enumerate()
            .map(|(index, node)| {
                if takes_list && (index == 0 || are_lists) {
                    self.list(node)
                } else {
                    self.number(node)
                }
            })
            .collect();
        let (ops, dimensions): (Vec<Op>, Vec<Dimension>) =
            found.into_iter().collect::<Option<Vec<_>>>()?.into_iter().unzip();
        // What the others are measured by: the first that is not a bare zero.
        let leading = given.iter().position(|node| !is_bare_zero(node)).unwrap_or(0);
        let of = dimensions.get(leading).copied().unwrap_or_default();
        for (node, dimension) in given.iter().zip(&dimensions) {
            if *dimension != of && !is_bare_zero(node) {
                let what = format!("expected {of} here, as before, found {dimension}");
                let help = given.get(leading).and_then(|lead| mend((lead, of), (node, *dimension)));
                return self.problem(node, &what, function.form, help);
            }
        }
        let shape = match function.rule {
            Rule::OfList(gives, _) => Shape::Number(gives(of)),
            Rule::OfNumber(gives, _) => {
                let Some(of) = gives(of) else {
                    let what = format!("{of} has no square root");
                    return self.problem(node, &what, "take the root of a square", None);
                };
                Shape::Number(of)
            }
            Rule::OfTwo(_) | Rule::OfThree(_) | Rule::ListAndNumber(_) => Shape::Number(of),
            Rule::Without | Rule::Together => Shape::List(of),
            Rule::HowMany { .. } => Shape::Number(Dimension::COUNT),
        };
        Some((OpKind::Call(function, ops), shape))
    }

    fn number(&mut self, node: &Node) -> Option<(Op, Dimension)> {
        match self.node(node)? {
            (op, Shape::Number(dimension)) => Some((op, dimension)),
            (_, Shape::List(_)) => {
                let help = Some("take its `mean`, `sum` or another function of a list".to_owned());
                self.problem(node, "expected a number, found a list", "a list", help)
            }
            (_, Shape::Truth) => {
                self.problem(node, "expected a number, found a condition", "true or false", None)
            }
        }
    }

    fn list(&mut self, node: &Node) -> Option<(Op, Dimension)> {
        match self.node(node)? {
            (op, Shape::List(dimension)) => Some((op, dimension)),
            _ => self.problem(node, "expected a list, found a single value", "not a list", None),
        }
    }

    fn truth(&mut self, node: &Node) -> Option<Op> {
        let found = match self.node(node)? {
            (op, Shape::Truth) => return Some(op),
            (_, Shape::Number(_)) => "a number",
            (_, Shape::List(_)) => "a list",
        };
        let help = Some("compare it with something, as in `base > 1 g`".to_owned());
        let what = format!("expected a condition, found {found}");
        self.problem(node, &what, "not a condition", help)
    }

    fn problem<T>(
        &mut self,
        node: &Node,
        what: &str,
        label: &str,
        help: Option<String>,
    ) -> Option<T> {
        self.problems.push(FormulaProblem {
            range: node.range.clone(),
            what: what.to_owned(),
            label: label.to_owned(),
            help,
        });
        None
    }
}

/// Whether a literal counts from a zero of its own, as degrees Celsius do.
fn is_scale_reading(node: &Node) -> bool {
    match &node.kind {
        NodeKind::Number(_, unit) => {
            unit.to_coherent(Exact::ZERO).is_ok_and(|zero| !zero.is_zero())
        }
        NodeKind::Minus(inner) => is_scale_reading(inner),
        _ => false,
    }
}
