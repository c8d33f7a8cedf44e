//! Looking up the names of a formula and checking its dimensions.

use crate::quantity::Dimension;

use super::function::Rule;
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
            NodeKind::Number(value, unit) => {
                let Ok(value) = unit.to_coherent(*value) else {
                    return self.problem(
                        node,
                        "expected a smaller number, found one too large to hold",
                        "too large",
                        None,
                    );
                };
                (OpKind::Number(value), Shape::Number(unit.dimension()))
            }
            NodeKind::Name(name) => {
                let Some((slot, shape)) = self.scope.find(name) else {
                    let help = nearest(name, self.scope.names())
                        .map(|near| format!("did you mean `{near}`?"));
                    let what = format!("expected a known name, found `{name}`");
                    return self.problem(node, &what, "not a value or step", help);
                };
                self.reads.push(slot);
                (OpKind::Slot(slot), shape)
            }
            NodeKind::Minus(inner) => {
                let (op, dimension) = self.number(inner)?;
                (OpKind::Minus(Box::new(op)), Shape::Number(dimension))
            }
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
        let place = |at: usize| u16::try_from(at).unwrap_or(u16::MAX);
        Some((Op { kind, at: (place(node.range.start), place(node.range.end)) }, shape))
    }

    fn pair(
        &mut self,
        node: &Node,
        operator: Operator,
        (left, of_left): (&Node, Dimension),
        (right, of_right): (&Node, Dimension),
    ) -> Option<Shape> {
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
        let mut ops = Vec::with_capacity(given.len());
        let takes_list = matches!(
            function.rule,
            Rule::OfList(..) | Rule::ListAndNumber(_) | Rule::Without | Rule::HowMany
        );
        let mut first: Option<Dimension> = None;
        for (index, node) in given.iter().enumerate() {
            let (op, dimension) =
                if takes_list && index == 0 { self.list(node)? } else { self.number(node)? };
            match first {
                Some(of) if of != dimension && !is_bare_zero(node) => {
                    let what = format!("expected {of} here, as before, found {dimension}");
                    return self.problem(node, &what, function.form, None);
                }
                _ => first = first.or(Some(dimension)),
            }
            ops.push(op);
        }
        let of = first.unwrap_or_default();
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
            Rule::Without => Shape::List(of),
            Rule::HowMany => Shape::Number(Dimension::COUNT),
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
        let (op, shape) = self.node(node)?;
        if shape != Shape::Truth {
            let help = Some("compare it with something, as in `base > 1 g`".to_owned());
            return self.problem(
                node,
                "expected a condition, found a number",
                "not a condition",
                help,
            );
        }
        Some(op)
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

fn is_bare_zero(node: &Node) -> bool {
    matches!(&node.kind, NodeKind::Number(value, unit)
        if value.is_zero() && unit.dimension() == Dimension::NUMBER)
}

/// What to do about two dimensions that do not go together.
fn mend(left: (&Node, Dimension), right: (&Node, Dimension)) -> Option<String> {
    for ((node, of), (_, other)) in [(left, right), (right, left)] {
        if let NodeKind::Number(value, unit) = &node.kind
            && unit.dimension() == Dimension::NUMBER
        {
            let unit = match other {
                Dimension::COUNT => "unit",
                Dimension::MASS => "g",
                Dimension::MASS_PER_UNIT => "g/unit",
                Dimension::VOLUME => "mL",
                _ => return None,
            };
            return Some(format!("write `{value} {unit}`"));
        }
        if of.times(Dimension::COUNT) == other {
            return Some(format!("multiply the {of} by a number of units"));
        }
        if of.times(Dimension::DENSITY) == other {
            return Some(format!("multiply the {of} by a density"));
        }
    }
    None
}
