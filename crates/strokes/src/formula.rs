//! Formulas of a mapping: the elements of content `MathML` (W3C Recommendation 3.0) that sums, products and
//! everyday functions need. Meanings are from memory.

use evenhand_text::quoted;
use roxmltree::Node;

use crate::ink_document::Local as _;
use crate::wrong::Wrong;

/// Formulas within formulas that are followed.
const DEEPEST: usize = 64;

/// Values of channels, or of a formula's variables, by name.
pub type Values = Vec<(String, f64)>;

/// A formula of named variables.
#[derive(Clone, Debug, PartialEq)]
pub struct Formula {
    term: Term,
}

#[derive(Clone, Debug, PartialEq)]
enum Term {
    Number(f64),
    Variable(String),
    Apply(Operation, Vec<Term>),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Operation {
    Plus,
    Minus,
    Times,
    Divide,
    Power,
    Root,
    Exp,
    Ln,
    Log,
    Abs,
    Floor,
    Ceiling,
    Min,
    Max,
    Sin,
    Cos,
    Tan,
    Arcsin,
    Arccos,
    Arctan,
}

impl Operation {
    const NAMES: [(&'static str, Self); 20] = [
        ("plus", Self::Plus),
        ("minus", Self::Minus),
        ("times", Self::Times),
        ("divide", Self::Divide),
        ("power", Self::Power),
        ("root", Self::Root),
        ("exp", Self::Exp),
        ("ln", Self::Ln),
        ("log", Self::Log),
        ("abs", Self::Abs),
        ("floor", Self::Floor),
        ("ceiling", Self::Ceiling),
        ("min", Self::Min),
        ("max", Self::Max),
        ("sin", Self::Sin),
        ("cos", Self::Cos),
        ("tan", Self::Tan),
        ("arcsin", Self::Arcsin),
        ("arccos", Self::Arccos),
        ("arctan", Self::Arctan),
    ];

    fn takes(self, count: usize) -> bool {
        match self {
            Self::Plus | Self::Times | Self::Min | Self::Max => count >= 1,
            Self::Minus => (1..=2).contains(&count),
            Self::Divide | Self::Power => count == 2,
            _ => count == 1,
        }
    }

    fn value(self, arguments: &[f64]) -> f64 {
        let first = arguments.first().copied().unwrap_or(f64::NAN);
        let second = arguments.get(1).copied();
        match self {
            Self::Plus => arguments.iter().sum(),
            Self::Times => arguments.iter().product(),
            Self::Minus => second.map_or(-first, |second| first - second),
            Self::Divide => first / second.unwrap_or(f64::NAN),
            Self::Power => first.powf(second.unwrap_or(f64::NAN)),
            Self::Root => first.sqrt(),
            Self::Exp => first.exp(),
            Self::Ln => first.ln(),
            Self::Log => first.log10(),
            Self::Abs => first.abs(),
            Self::Floor => first.floor(),
            Self::Ceiling => first.ceil(),
            Self::Min => arguments.iter().copied().fold(f64::INFINITY, f64::min),
            Self::Max => arguments.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            Self::Sin => first.sin(),
            Self::Cos => first.cos(),
            Self::Tan => first.tan(),
            Self::Arcsin => first.asin(),
            Self::Arccos => first.acos(),
            Self::Arctan => first.atan(),
        }
    }
}

impl Formula {
    /// Every formula of a mapping, with the variable it gives where it is written as an equation.
    pub(crate) fn read_all(node: Node<'_, '_>) -> Result<Vec<(Option<String>, Self)>, Wrong> {
        let math: Vec<Node<'_, '_>> = node
            .descendants()
            .filter(|inner| inner.has_tag_name_local("math"))
            .flat_map(|inner| elements(inner).collect::<Vec<_>>())
            .collect();
        math.into_iter().map(equation).collect()
    }

    /// The formula's value, if every variable is known and the value is a finite number.
    #[must_use]
    pub fn value(&self, known: &Values) -> Option<f64> {
        self.term.value(known).filter(|value| value.is_finite())
    }
}

impl Term {
    fn value(&self, known: &Values) -> Option<f64> {
        match self {
            Self::Number(number) => Some(*number),
            Self::Variable(name) => known
                .iter()
                .find(|(own, _)| own == name)
                .map(|(_, value)| *value),
            Self::Apply(operation, terms) => {
                let arguments: Option<Vec<f64>> =
                    terms.iter().map(|term| term.value(known)).collect();
                Some(operation.value(&arguments?))
            }
        }
    }
}

fn elements<'a, 'i>(node: Node<'a, 'i>) -> impl Iterator<Item = Node<'a, 'i>> {
    node.children().filter(Node::is_element)
}

fn equation(node: Node<'_, '_>) -> Result<(Option<String>, Formula), Wrong> {
    let parts: Vec<Node<'_, '_>> = elements(node).collect();
    if let [eq, variable, right] = &parts[..]
        && node.has_tag_name_local("apply")
        && eq.has_tag_name_local("eq")
        && variable.has_tag_name_local("ci")
    {
        let term = term(*right, 0)?;
        return Ok((Some(word(*variable)), Formula { term }));
    }
    Ok((
        None,
        Formula {
            term: term(node, 0)?,
        },
    ))
}

fn word(node: Node<'_, '_>) -> String {
    node.text().unwrap_or_default().trim().to_owned()
}

fn term(node: Node<'_, '_>, depth: usize) -> Result<Term, Wrong> {
    let wrong = |message: String, help: &str| Err(Wrong::new(message, help, node.range()));
    if depth > DEEPEST {
        return wrong(
            "a formula many levels deep".to_owned(),
            "write a shorter one",
        );
    }
    match node.tag_name().name() {
        "cn" => match word(node).parse::<f64>() {
            Ok(number) if number.is_finite() => Ok(Term::Number(number)),
            _ => wrong(
                format!("{} as a number of a formula", quoted(&word(node))),
                "write a decimal number",
            ),
        },
        "ci" => Ok(Term::Variable(word(node))),
        "pi" => Ok(Term::Number(std::f64::consts::PI)),
        "exponentiale" => Ok(Term::Number(std::f64::consts::E)),
        "apply" => {
            let mut parts = elements(node);
            let name = parts.next().map(|first| first.tag_name().name());
            let operation = Operation::NAMES
                .iter()
                .find(|(own, _)| Some(*own) == name)
                .map(|(_, operation)| *operation);
            let terms: Vec<Term> = parts
                .map(|part| term(part, depth + 1))
                .collect::<Result<_, _>>()?;
            match operation {
                Some(operation) if operation.takes(terms.len()) => {
                    Ok(Term::Apply(operation, terms))
                }
                Some(_) => wrong(
                    format!(
                        "{} of {} values",
                        quoted(name.unwrap_or_default()),
                        terms.len()
                    ),
                    "give it as many as it takes",
                ),
                None => wrong(
                    format!("{} in a formula", quoted(name.unwrap_or("nothing"))),
                    "use plus, minus, times, divide, power, root, exp, ln, log, abs, floor, ceiling, min, max or a function of angles",
                ),
            }
        }
        other => wrong(
            format!("{} in a formula", quoted(other)),
            "write cn, ci, pi, exponentiale or apply",
        ),
    }
}
