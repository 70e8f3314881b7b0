//! Target files: a name, a title and a shape.

use std::ops::Range;
use std::sync::OnceLock;

use serde::Deserialize;
use toml::Spanned;

use crate::drawn::{DrawnShape, Joining};
use crate::error::TargetError;
use crate::shape::TargetShape;

/// A named target.
#[derive(Clone, Debug, PartialEq)]
pub struct TargetProfile {
    /// Short name.
    pub name: String,
    /// How it feels, for people.
    pub title: String,
    /// The climb between light-at and full-at.
    pub shape: TargetShape,
}

/// A target file that cannot be used, with the place in its text.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message}; {help}")]
pub struct TargetFileError {
    /// What was found.
    pub message: String,
    /// What to write instead.
    pub help: String,
    /// Range of bytes in the text.
    pub span: Range<usize>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    name: Spanned<String>,
    title: String,
    #[serde(rename = "notes")]
    _notes: Option<String>,
    shape: Shape,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Shape {
    kind: Spanned<String>,
    exponent: Option<Spanned<f64>>,
    interpolation: Option<Spanned<String>>,
    points: Option<Spanned<Vec<[f64; 2]>>>,
}

impl TargetProfile {
    /// Reads the text of a target file.
    ///
    /// # Errors
    /// The first fault: no TOML, a key that is unknown, missing or does not belong to the kind of
    /// shape, a shape that makes no target.
    pub fn parse(text: &str) -> Result<Self, TargetFileError> {
        let file: File = toml::from_str(text).map_err(|error| TargetFileError {
            message: error.message().trim().to_owned(),
            help: "a target has name, title and [shape] with a kind".to_owned(),
            span: error.span().unwrap_or(0..0),
        })?;
        let allowed = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        let name = file.name.get_ref();
        if name.is_empty() || !name.chars().all(allowed) {
            return Err(TargetFileError {
                message: format!("\u{201c}{name}\u{201d} is not a name"),
                help: "use small letters, digits and hyphens, such as soft-ends".to_owned(),
                span: file.name.span(),
            });
        }
        let name = name.clone();
        Ok(Self {
            name,
            title: file.title,
            shape: shape(&file.shape)?,
        })
    }
}

fn shape(table: &Shape) -> Result<TargetShape, TargetFileError> {
    let kind = table.kind.get_ref().as_str();
    let belong: &[&str] = match kind {
        "linear" | "logarithmic" => &[],
        "power" => &["exponent"],
        "points" => &["interpolation", "points"],
        other => {
            return Err(TargetFileError {
                message: format!("\u{201c}{other}\u{201d} is no kind of shape"),
                help: "write linear, logarithmic, power or points".to_owned(),
                span: table.kind.span(),
            });
        }
    };
    let present = [
        ("exponent", table.exponent.as_ref().map(Spanned::span)),
        (
            "interpolation",
            table.interpolation.as_ref().map(Spanned::span),
        ),
        ("points", table.points.as_ref().map(Spanned::span)),
    ];
    for (word, span) in present {
        if let Some(span) = span
            && !belong.contains(&word)
        {
            return Err(TargetFileError {
                message: format!("{word} does not belong to kind {kind}"),
                help: "remove it or choose the kind it belongs to".to_owned(),
                span,
            });
        }
    }
    let missing = |word: &str, example: &str| TargetFileError {
        message: format!("{word} is missing"),
        help: format!("write for example {example}"),
        span: table.kind.span(),
    };
    let at = |span: Range<usize>| {
        move |error: TargetError| TargetFileError {
            message: error.to_string(),
            help: error.help(),
            span,
        }
    };
    match kind {
        "linear" => Ok(TargetShape::Linear),
        "logarithmic" => Ok(TargetShape::Logarithmic),
        "power" => {
            let exponent = table.exponent.as_ref();
            let exponent = exponent.ok_or_else(|| missing("exponent", "exponent = 0.7"))?;
            TargetShape::power(*exponent.get_ref()).map_err(at(exponent.span()))
        }
        _ => {
            let points = table.points.as_ref();
            let points =
                points.ok_or_else(|| missing("points", "points = [[0, 0], [0.4, 0.3], [1, 1]]"))?;
            let joining = match &table.interpolation {
                None => Joining::MonotoneCubic,
                Some(word) => word.get_ref().parse().map_err(at(word.span()))?,
            };
            DrawnShape::new(points.get_ref().clone(), joining)
                .map(TargetShape::Drawn)
                .map_err(at(points.span()))
        }
    }
}

macro_rules! embedded {
    ($($name:literal),* $(,)?) => {
        &[$(($name, include_str!(concat!("../../../profiles/targets/", $name, ".toml")))),*]
    };
}

const TEXTS: &[(&str, &str)] = embedded!["linear", "logarithmic", "early", "late", "soft-ends"];

/// Every shipped target, in the order of a list for people.
#[must_use]
pub fn shipped_targets() -> &'static [TargetProfile] {
    static TARGETS: OnceLock<Vec<TargetProfile>> = OnceLock::new();
    TARGETS.get_or_init(|| {
        // A test reads each text, so none is left out here.
        TEXTS
            .iter()
            .filter_map(|(_, text)| TargetProfile::parse(text).ok())
            .collect()
    })
}

/// The text of a shipped target's file.
#[must_use]
pub fn target_text(name: &str) -> Option<&'static str> {
    TEXTS
        .iter()
        .find(|(known, _)| *known == name)
        .map(|(_, text)| *text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_text_is_a_target_of_its_own_name() {
        for (name, text) in TEXTS {
            assert_eq!(TargetProfile::parse(text).unwrap().name, *name);
        }
        assert_eq!(shipped_targets().len(), TEXTS.len());
    }
}
