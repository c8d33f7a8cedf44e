//! Looking up the names of a formula and checking its dimensions.

use crate::quantity::{Dimension, Exact, Unit};

use super::function::Signature;
use super::mend::{is_bare_zero, mend};
use super::program::{List, Numeric, Op, Program, Scope, Shape, Truth, Typed};
use super::tree::{Calculation, Node, NodeKind, Operator};
use super::{FormulaProblem, Function, nearest};

/// Resolves the names of a tree and checks its dimensions.
pub(super) fn compile(node: &Node, scope: &dyn Scope) -> Result<Program, Vec<FormulaProblem>> {
    let mut compiler = Compiler { scope, problems: Vec::new(), reads: Vec::new() };
    let compiled = compiler.node(node);
    match compiled {
        Some(typed) if compiler.problems.is_empty() => {
            compiler.reads.sort_unstable();
            compiler.reads.dedup();
            Ok(Program { reads: compiler.reads, typed })
        }
        _ => Err(compiler.problems),
    }
}

struct Compiler<'a> {
    scope: &'a dyn Scope,
    problems: Vec<FormulaProblem>,
    reads: Vec<usize>,
}

/// An operation at the location of a part.
fn op<K>(node: &Node, kind: K) -> Op<K> {
    // The reader takes no formula longer than a u16 can count.
    let offset = |at: usize| u16::try_from(at).unwrap_or(u16::MAX);
    Op { kind, at: (offset(node.range.start), offset(node.range.end)) }
}

impl Compiler<'_> {
    /// The operation of a part; `None` when a problem was noted.
    fn node(&mut self, node: &Node) -> Option<Typed> {
        match &node.kind {
            NodeKind::Number(value, unit) => self.literal(node, *value, *unit),
            NodeKind::Name(name) => {
                let Some((slot, shape)) = self.scope.find(name) else {
                    let what = format!("expected a known name, found `{name}`");
                    let help = self.meant(name);
                    return self.problem(node, &what, "not a value or step", help);
                };
                self.reads.push(slot);
                match shape {
                    Shape::Number(of) => Some(Typed::Number(op(node, Numeric::Slot(slot)), of)),
                    Shape::List(of) => Some(Typed::List(op(node, List::Slot(slot)), of)),
                    Shape::Truth => {
                        self.problem(node, "expected a value, found a condition", "here", None)
                    }
                }
            }
            NodeKind::Minus(inner) => match inner.kind {
                // The sign belongs to the number before it is converted: -5 °C is 268.15 K.
                NodeKind::Number(value, unit) => self.literal(node, value.neg(), unit),
                _ => {
                    let (inner, of) = self.number(inner)?;
                    Some(Typed::Number(op(node, Numeric::Minus(Box::new(inner))), of))
                }
            },
            NodeKind::Not(inner) => {
                let inner = Box::new(self.truth(inner)?);
                Some(Typed::Truth(op(node, Truth::Not(inner))))
            }
            NodeKind::Pair(Operator::Logic(logic), left, right) => {
                let (left, right) = (self.truth(left), self.truth(right));
                let sides = Box::new((left?, right?));
                Some(Typed::Truth(op(node, Truth::Join(*logic, sides))))
            }
            NodeKind::Pair(Operator::Compare(comparison), left, right) => {
                let (a, b) = (self.number(left), self.number(right));
                let ((a, of_a), (b, of_b)) = (a?, b?);
                self.alike(node, "compared", (left, of_a), (right, of_b))?;
                let sides = Box::new((a, b));
                Some(Typed::Truth(op(node, Truth::Compare(*comparison, sides))))
            }
            NodeKind::Pair(Operator::Calculate(sign), left, right) => {
                let (a, b) = (self.number(left), self.number(right));
                let ((a, of_a), (b, of_b)) = (a?, b?);
                let of = self.calculated(node, *sign, (left, of_a), (right, of_b))?;
                let sides = Box::new((a, b));
                Some(Typed::Number(op(node, Numeric::Calculate(*sign, sides)), of))
            }
            NodeKind::Call(function, given) => self.call(node, function, given),
        }
    }

    fn literal(&mut self, node: &Node, value: Exact, unit: Unit) -> Option<Typed> {
        let Ok(value) = unit.to_coherent(value) else {
            return self.problem(
                node,
                "expected a smaller number, found one too large to hold",
                "too large",
                None,
            );
        };
        Some(Typed::Number(op(node, Numeric::Written(value)), unit.dimension()))
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

    /// The dimension of what two numbers give.
    fn calculated(
        &mut self,
        node: &Node,
        sign: Calculation,
        (left, of_left): (&Node, Dimension),
        (right, of_right): (&Node, Dimension),
    ) -> Option<Dimension> {
        let is_scale = |node: &Node| is_scale_reading(node);
        if (is_scale(left) || is_scale(right)) && sign != Calculation::Minus {
            let what = "degrees Celsius cannot be added, multiplied or divided";
            let help = "write a difference of temperatures in kelvins: `5 K`".to_owned();
            let node = if is_scale(left) { left } else { right };
            return self.problem(node, what, "0 °C is not nothing", Some(help));
        }
        let verb = match sign {
            Calculation::Times => return Some(of_left.times(of_right)),
            Calculation::Over => return Some(of_left.over(of_right)),
            Calculation::Plus => "added",
            Calculation::Minus => "subtracted from one another",
        };
        self.alike(node, verb, (left, of_left), (right, of_right))
    }

    /// The one dimension of two numbers. A bare zero is zero of anything: `base > 0` needs no unit.
    fn alike(
        &mut self,
        node: &Node,
        verb: &str,
        (left, of_left): (&Node, Dimension),
        (right, of_right): (&Node, Dimension),
    ) -> Option<Dimension> {
        if of_left != of_right && !is_bare_zero(left) && !is_bare_zero(right) {
            let what = format!("{of_left} and {of_right} cannot be {verb}");
            let label = format!("left: {of_left}; right: {of_right}");
            let help = mend((left, of_left), (right, of_right));
            return self.problem(node, &what, &label, help);
        }
        Some(if is_bare_zero(left) { of_right } else { of_left })
    }

    fn call(&mut self, node: &Node, function: &'static Function, given: &[Node]) -> Option<Typed> {
        // All that is given is looked at before any is given up, so that all problems are noted.
        match (&function.signature, given) {
            (Signature::OfList(gives, run), [list]) => {
                let (list, of) = self.list(list)?;
                Some(Typed::Number(op(node, Numeric::OfList(*run, Box::new(list))), gives(of)))
            }
            (Signature::OfNumber(gives, run), [x]) => {
                let (x, of) = self.number(x)?;
                let Some(of) = gives(of) else {
                    let what = format!("{of} has no square root");
                    return self.problem(node, &what, "take the root of a square", None);
                };
                Some(Typed::Number(op(node, Numeric::OfNumber(*run, Box::new(x))), of))
            }
            (Signature::OfTwo(run), [a, b]) => {
                let (x, y) = (self.number(a), self.number(b));
                let ((x, of_x), (y, of_y)) = (x?, y?);
                let of = self.measured(function, &[(a, of_x), (b, of_y)])?;
                Some(Typed::Number(op(node, Numeric::OfTwo(*run, Box::new((x, y)))), of))
            }
            (Signature::OfThree(run), [first, low, high]) => {
                let found = (self.number(first), self.number(low), self.number(high));
                let ((x, of_x), (least, of_low), (most, of_high)) = (found.0?, found.1?, found.2?);
                let given = [(first, of_x), (low, of_low), (high, of_high)];
                let of = self.measured(function, &given)?;
                let kind = Numeric::OfThree(*run, Box::new((x, least, most)));
                Some(Typed::Number(op(node, kind), of))
            }
            (Signature::ListAndNumber(run), [a, b]) => {
                let (list, x, of) = self.list_and_number(function, a, b)?;
                Some(Typed::Number(op(node, Numeric::ListAndNumber(*run, Box::new((list, x)))), of))
            }
            (Signature::Without, [a, b]) => {
                let (list, x, of) = self.list_and_number(function, a, b)?;
                Some(Typed::List(op(node, List::Without(Box::new((list, x)))), of))
            }
            (Signature::Together, [a, b]) => {
                let (x, y) = (self.list(a), self.list(b));
                let ((x, of_x), (y, of_y)) = (x?, y?);
                let of = self.measured(function, &[(a, of_x), (b, of_y)])?;
                Some(Typed::List(op(node, List::Together(Box::new((x, y)))), of))
            }
            (Signature::HowMany { outside }, [a, b, c]) => {
                let (list, low, high) = (self.list(a), self.number(b), self.number(c));
                let ((list, of_list), (low, of_low), (high, of_high)) = (list?, low?, high?);
                self.measured(function, &[(a, of_list), (b, of_low), (c, of_high)])?;
                let (outside, of) = (*outside, Box::new((list, low, high)));
                let count = op(node, Numeric::HowMany { outside, of });
                Some(Typed::Number(count, Dimension::COUNT))
            }
            _ => {
                let what = format!("expected {} things for `{}`", function.wants(), function.name);
                self.problem(node, &what, function.form, None)
            }
        }
    }

    fn list_and_number(
        &mut self,
        function: &'static Function,
        a: &Node,
        b: &Node,
    ) -> Option<(Op<List>, Op<Numeric>, Dimension)> {
        let (list, x) = (self.list(a), self.number(b));
        let ((list, of_list), (x, of_x)) = (list?, x?);
        let of = self.measured(function, &[(a, of_list), (b, of_x)])?;
        Some((list, x, of))
    }

    /// The one dimension of all that a function is given: that of the first that is not a bare zero.
    fn measured(
        &mut self,
        function: &'static Function,
        given: &[(&Node, Dimension)],
    ) -> Option<Dimension> {
        let leading = given.iter().find(|(node, _)| !is_bare_zero(node)).or(given.first());
        let (lead, of) = *leading?;
        for (node, dimension) in given {
            if *dimension != of && !is_bare_zero(node) {
                let what = format!("expected {of} here, as before, found {dimension}");
                let help = mend((lead, of), (node, *dimension));
                return self.problem(node, &what, function.form, help);
            }
        }
        Some(of)
    }

    fn number(&mut self, node: &Node) -> Option<(Op<Numeric>, Dimension)> {
        match self.node(node)? {
            Typed::Number(op, dimension) => Some((op, dimension)),
            Typed::List(..) => {
                let help = Some("take its `mean`, `sum` or another function of a list".to_owned());
                self.problem(node, "expected a number, found a list", "a list", help)
            }
            Typed::Truth(_) => {
                self.problem(node, "expected a number, found a condition", "true or false", None)
            }
        }
    }

    fn list(&mut self, node: &Node) -> Option<(Op<List>, Dimension)> {
        match self.node(node)? {
            Typed::List(op, dimension) => Some((op, dimension)),
            _ => self.problem(node, "expected a list, found a single value", "not a list", None),
        }
    }

    fn truth(&mut self, node: &Node) -> Option<Op<Truth>> {
        let found = match self.node(node)? {
            Typed::Truth(op) => return Some(op),
            Typed::Number(..) => "a number",
            Typed::List(..) => "a list",
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
