//! Mappings of channels.
//!
//! `InkML` (W3C Recommendation, 20 September 2011) lists the types identity, lookup, affine, mathml, product
//! and unknown. The types and the interpolations of tables were seen in published enumerations of the
//! schema; what the elements inside a mapping are called and mean is from memory.

use evenhand_curve::{Curve as _, Knots, Point};
use evenhand_text::{Fault, quoted};
use roxmltree::Node;

use crate::formula::{Formula, Values};
use crate::ink_document::{Local as _, parsed};
use crate::wrong::Wrong;

/// Mappings within mappings that are followed.
const DEEPEST: usize = 8;

/// What turns the values of some channels into those of others.
#[derive(Clone, Debug)]
pub enum Mapping {
    /// Every channel as it is.
    Identity,
    /// Nobody knows; nothing is changed.
    Unknown,
    /// A table.
    Lookup(Lookup),
    /// Sums of multiples and a constant.
    Affine(Affine),
    /// Formulas.
    Formulas {
        /// Channel and the variable that stands for it.
        sources: Vec<(String, String)>,
        /// Channel and what it becomes.
        targets: Vec<(String, Formula)>,
    },
    /// One after the other.
    Product(Vec<Mapping>),
}

/// Between which values of a table a value is sought, and how.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LookupJoining {
    /// The row below.
    Floor,
    /// The nearer row; the upper one in the middle.
    Middle,
    /// The row above.
    Ceiling,
    /// Straight between rows.
    Linear,
    /// A natural cubic spline through the rows; which cubic is meant is not known here.
    Cubic,
}

/// A table of values of one channel with those of others.
#[derive(Clone, Debug)]
pub struct Lookup {
    source: String,
    joining: LookupJoining,
    /// Whether what the table gives is added to the source's value.
    is_relative: bool,
    /// Channel and its curve over the source's values.
    targets: Vec<(String, Knots)>,
}

/// Targets as sums of multiples of the sources and a constant.
#[derive(Clone, Debug)]
pub struct Affine {
    sources: Vec<String>,
    /// Channel, factors of the sources, constant.
    targets: Vec<(String, Vec<f64>, f64)>,
}

impl Mapping {
    /// Reads the first `mapping` of a document.
    ///
    /// # Errors
    /// Text that is no XML or holds no mapping, and a mapping that is incomplete or holds what is not
    /// known here, with its place.
    pub fn parse(text: &str) -> Result<Self, Box<Fault>> {
        Self::first_of(text).map_err(|wrong| wrong.in_text(text))
    }

    fn first_of(text: &str) -> Result<Self, Wrong> {
        let document = parsed(text)?;
        let node = document
            .descendants()
            .find(|node| node.has_tag_name_local("mapping"));
        let node = node.ok_or_else(|| {
            Wrong::new(
                "a document without a mapping",
                "give an InkML document with a mapping element",
                document.root_element().range(),
            )
        })?;
        Self::read(node)
    }

    pub(crate) fn read(node: Node<'_, '_>) -> Result<Self, Wrong> {
        read(node, 0)
    }

    /// Changes `values` as the mapping says: targets are set or added, all else stays. A target whose
    /// source is missing stays as it was.
    pub fn apply(&self, values: &mut Values) {
        match self {
            Self::Identity | Self::Unknown => {}
            Self::Lookup(lookup) => lookup.apply(values),
            Self::Affine(affine) => affine.apply(values),
            Self::Formulas { sources, targets } => {
                let known: Values = sources
                    .iter()
                    .filter_map(|(channel, variable)| {
                        found(values, channel).map(|value| (variable.clone(), value))
                    })
                    .collect();
                let results: Vec<(&String, f64)> = targets
                    .iter()
                    .filter_map(|(channel, formula)| Some((channel, formula.value(&known)?)))
                    .collect();
                for (channel, value) in results {
                    set(values, channel, value);
                }
            }
            Self::Product(parts) => {
                for part in parts {
                    part.apply(values);
                }
            }
        }
    }
}

impl Lookup {
    fn apply(&self, values: &mut Values) {
        let Some(source) = found(values, &self.source) else {
            return;
        };
        for (channel, curve) in &self.targets {
            let value = match self.joining {
                LookupJoining::Linear | LookupJoining::Cubic => curve.value(source),
                joining => stepped(curve.points(), source, joining),
            };
            let value = if self.is_relative {
                source + value
            } else {
                value
            };
            set(values, channel, value);
        }
    }
}

fn stepped(rows: &[Point], x: f64, joining: LookupJoining) -> f64 {
    let above = rows
        .partition_point(|row| row.x < x)
        .min(rows.len().saturating_sub(1));
    let below = rows.partition_point(|row| row.x <= x).saturating_sub(1);
    let (below, above) = (rows[below], rows[above]);
    match joining {
        LookupJoining::Floor => below.y,
        LookupJoining::Ceiling => above.y,
        _ if x - below.x < above.x - x => below.y,
        _ => above.y,
    }
}

impl Affine {
    fn apply(&self, values: &mut Values) {
        let sources: Option<Vec<f64>> = self
            .sources
            .iter()
            .map(|channel| found(values, channel))
            .collect();
        let Some(sources) = sources else { return };
        for (channel, factors, constant) in &self.targets {
            let sum: f64 = factors.iter().zip(&sources).map(|(a, x)| a * x).sum();
            set(values, channel, sum + constant);
        }
    }
}

fn found(values: &Values, name: &str) -> Option<f64> {
    values
        .iter()
        .find(|(own, _)| own == name)
        .map(|(_, value)| *value)
}

fn set(values: &mut Values, name: &str, value: f64) {
    match values.iter_mut().find(|(own, _)| own == name) {
        Some((_, old)) => *old = value,
        None => values.push((name.to_owned(), value)),
    }
}

fn read(node: Node<'_, '_>, depth: usize) -> Result<Mapping, Wrong> {
    let wrong = |message: String, help: &str| Err(Wrong::new(message, help, node.range()));
    if depth > DEEPEST {
        return wrong(
            "mappings within mappings, many deep".to_owned(),
            "write fewer",
        );
    }
    match node.attribute("type") {
        Some("identity") => Ok(Mapping::Identity),
        None | Some("unknown") => Ok(Mapping::Unknown),
        Some("lookup") => lookup(node).map(Mapping::Lookup),
        Some("affine") => affine(node).map(Mapping::Affine),
        Some("mathml") => formulas(node),
        Some("product") => node
            .children()
            .filter(|child| child.has_tag_name_local("mapping"))
            .map(|child| read(child, depth + 1))
            .collect::<Result<_, _>>()
            .map(Mapping::Product),
        Some(other) => wrong(
            format!("a mapping of type {}", quoted(other)),
            "write identity, lookup, affine, mathml, product or unknown",
        ),
    }
}

/// Bindings of one side, in their order, with the given attribute.
fn bound<'a>(node: Node<'a, '_>, side: &str, attribute: &str) -> Vec<(String, Option<&'a str>)> {
    node.children()
        .filter(|child| child.has_tag_name_local("bind"))
        .filter_map(|child| {
            let channel = child.attribute(side)?;
            Some((channel.to_owned(), child.attribute(attribute)))
        })
        .collect()
}

/// Rows of numbers, separated by commas.
fn rows(node: Node<'_, '_>) -> Result<Vec<Vec<f64>>, Wrong> {
    let text: String = node.children().filter_map(|child| child.text()).collect();
    text.split(',')
        .map(|row| {
            row.split_whitespace()
                .map(|word| match word.parse::<f64>() {
                    Ok(number) if number.is_finite() => Ok(number),
                    _ => Err(Wrong::new(
                        format!("{} in a table of numbers", quoted(word)),
                        "write numbers with spaces between and commas after each row",
                        node.range(),
                    )),
                })
                .collect()
        })
        .collect()
}

fn lookup(node: Node<'_, '_>) -> Result<Lookup, Wrong> {
    let wrong = |message: String, help: &str| Wrong::new(message, help, node.range());
    let table = node
        .children()
        .find(|child| child.has_tag_name_local("table"))
        .ok_or_else(|| wrong("a lookup without a table".to_owned(), "give its rows"))?;
    let joining = match table.attribute("interpolation") {
        Some("floor") => LookupJoining::Floor,
        Some("middle") => LookupJoining::Middle,
        Some("ceiling") => LookupJoining::Ceiling,
        None | Some("linear") => LookupJoining::Linear,
        Some("cubic") => LookupJoining::Cubic,
        Some(other) => {
            return Err(wrong(
                format!("interpolation {}", quoted(other)),
                "write floor, middle, ceiling, linear or cubic",
            ));
        }
    };
    let is_relative = match table.attribute("apply") {
        None | Some("absolute") => false,
        Some("relative") => true,
        Some(other) => {
            return Err(wrong(
                format!("a table that applies {}", quoted(other)),
                "write absolute or relative",
            ));
        }
    };
    let rows = rows(table)?;
    let column = |text: Option<&str>, otherwise: usize| -> Result<usize, Wrong> {
        let found = match text {
            None => Some(otherwise),
            Some(text) => text.trim().parse::<usize>().ok().filter(|n| *n >= 1),
        };
        found
            .filter(|column| rows.iter().all(|row| row.len() >= *column))
            .ok_or_else(|| {
                wrong(
                    format!("column {} of a table", quoted(text.unwrap_or("?"))),
                    "number the columns from 1 and give every row as many values",
                )
            })
    };
    let sources = bound(node, "source", "column");
    let [(source, at)] = &sources[..] else {
        return Err(wrong(
            format!("a lookup over {} channels", sources.len()),
            "bind one source",
        ));
    };
    let at = column(*at, 1)?;
    let targets = bound(node, "target", "column");
    if targets.is_empty() {
        return Err(wrong(
            "a lookup without a target".to_owned(),
            "bind a target",
        ));
    }
    let curves = targets.into_iter().enumerate().map(|(index, (name, to))| {
        let to = column(to, index + 2)?;
        let points: Vec<Point> = rows
            .iter()
            .map(|row| Point::new(row[at - 1], row[to - 1]))
            .collect();
        let smooth = if joining == LookupJoining::Cubic {
            evenhand_curve::Interpolation::NaturalCubic
        } else {
            evenhand_curve::Interpolation::Linear
        };
        let curve = Knots::new(points, smooth).map_err(|error| {
            wrong(
                format!("a table that is no curve: {error}"),
                "let its source rise from row to row",
            )
        })?;
        Ok((name, curve))
    });
    Ok(Lookup {
        source: source.clone(),
        joining,
        is_relative,
        targets: curves.collect::<Result<_, Wrong>>()?,
    })
}

fn affine(node: Node<'_, '_>) -> Result<Affine, Wrong> {
    let wrong = |message: String, help: &str| Wrong::new(message, help, node.range());
    let names = |side: &str| -> Vec<String> {
        bound(node, side, "column")
            .into_iter()
            .map(|(name, _)| name)
            .collect()
    };
    let (sources, targets) = (names("source"), names("target"));
    let matrix = node
        .children()
        .find(|child| child.has_tag_name_local("affine"))
        .ok_or_else(|| {
            wrong(
                "an affine mapping without its numbers".to_owned(),
                "give an affine element",
            )
        })?;
    let rows = rows(matrix)?;
    let fits = !sources.is_empty()
        && rows.len() == targets.len()
        && rows.iter().all(|row| row.len() == sources.len() + 1);
    if !fits {
        return Err(wrong(
            format!(
                "an affine mapping of {} channels to {} with {} rows",
                sources.len(),
                targets.len(),
                rows.len()
            ),
            "give each target a row: a factor for each source, then a constant",
        ));
    }
    let targets = targets.into_iter().zip(rows).map(|(name, mut row)| {
        let constant = row.pop().unwrap_or(0.0);
        (name, row, constant)
    });
    Ok(Affine {
        targets: targets.collect(),
        sources,
    })
}

fn formulas(node: Node<'_, '_>) -> Result<Mapping, Wrong> {
    let variables = |side: &str| -> Vec<(String, String)> {
        bound(node, side, "variable")
            .into_iter()
            .map(|(channel, variable)| {
                let variable = variable.map_or_else(|| channel.clone(), str::to_owned);
                (channel, variable)
            })
            .collect()
    };
    let (sources, wanted) = (variables("source"), variables("target"));
    let found = Formula::read_all(node)?;
    let targets: Vec<(String, Formula)> = match (&found[..], &wanted[..]) {
        // One formula alone is that of the only target.
        ([(None, formula)], [(channel, _)]) => vec![(channel.clone(), formula.clone())],
        _ => wanted
            .iter()
            .filter_map(|(channel, variable)| {
                let (_, formula) = found
                    .iter()
                    .find(|(name, _)| name.as_ref() == Some(variable))?;
                Some((channel.clone(), formula.clone()))
            })
            .collect(),
    };
    if targets.is_empty() {
        return Err(Wrong::new(
            "a mapping by formula that gives no bound channel",
            "bind a target to the variable left of eq",
            node.range(),
        ));
    }
    Ok(Mapping::Formulas { sources, targets })
}
