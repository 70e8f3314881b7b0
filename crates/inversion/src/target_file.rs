//! Target files: a name, a title and a shape.

use std::sync::OnceLock;

use evenhand_text::{Faults, Node, Rule, TomlFile, quoted};

use crate::point_shape::{Joining, PointShape};
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

/// What a target file has, for a text that is none.
const OUTLINE: &str = "a target has name, title and [shape] with a kind";

/// The kinds of shapes before their own keys are read.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Linear,
    Logarithmic,
    Power,
    Points,
}

impl Kind {
    const NAMES: [(&'static str, Self); 4] = [
        ("linear", Self::Linear),
        ("logarithmic", Self::Logarithmic),
        ("power", Self::Power),
        ("points", Self::Points),
    ];

    /// Keys of `[shape]` that belong to it.
    const fn keys(self) -> &'static [&'static str] {
        match self {
            Self::Linear | Self::Logarithmic => &["kind"],
            Self::Power => &["kind", "exponent"],
            Self::Points => &["kind", "interpolation", "points"],
        }
    }
}

impl TargetProfile {
    /// Reads the text of a target file; `file` is its name for messages.
    ///
    /// # Errors
    /// Everything that is wrong: text that is not TOML, keys that are unknown, missing or do not belong to the kind
    /// of shape, a shape that makes no target.
    pub fn parse(text: &str, file: &str) -> Result<Self, Faults> {
        let toml = TomlFile::parse(file, text, OUTLINE)?;
        let target = target(&toml.root());
        toml.finish(target)
    }
}

fn target(root: &Node<'_, '_>) -> Option<TargetProfile> {
    root.only(&["name", "title", "notes", "shape"]);
    root.needs(&["name", "title", "shape"], OUTLINE);
    let allowed = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    let name = root.text("name").and_then(|name| {
        if !name.value.is_empty() && name.value.chars().all(allowed) {
            return Some(name.value);
        }
        root.fault(
            name.span,
            format!("{}, which is not a name", quoted(&name.value)),
            "small letters, digits and hyphens",
            "write for example name = \"soft-ends\"",
        );
        None
    });
    let title = root.text("title");
    // Notes are for people; only their type is looked at.
    let notes = root.text("notes");
    let shape = root.table("shape").and_then(|table| shape(&table));
    (notes.is_some() || !root.has("notes")).then_some(())?;
    Some(TargetProfile {
        name: name?,
        title: title?.value,
        shape: shape?,
    })
}

fn shape(table: &Node<'_, '_>) -> Option<TargetShape> {
    const KEYS: &[&str] = &["kind", "exponent", "interpolation", "points"];
    table.only(KEYS);
    table.needs(
        &["kind"],
        "write kind = \"linear\", logarithmic, power or points",
    );
    let kind = table.choice("kind", &Kind::NAMES)?.value;
    let word = Kind::NAMES
        .iter()
        .find(|(_, known)| *known == kind)
        .map_or("", |(word, _)| word);
    table.only_of_kind(KEYS, kind.keys(), word);
    match kind {
        Kind::Linear => Some(TargetShape::Linear),
        Kind::Logarithmic => Some(TargetShape::Logarithmic),
        Kind::Power => power(table),
        Kind::Points => drawn(table),
    }
}

fn power(table: &Node<'_, '_>) -> Option<TargetShape> {
    const EXAMPLE: &str = "write for example exponent = 0.7";
    table.needs(&["exponent"], EXAMPLE);
    let (least, most) = TargetShape::EXPONENTS;
    let exponent = table.number("exponent", Rule::Between(least, most), EXAMPLE)?;
    TargetShape::power(exponent.value).ok()
}

fn drawn(table: &Node<'_, '_>) -> Option<TargetShape> {
    const EXAMPLE: &str = "write for example points = [[0, 0], [0.4, 0.3], [1, 1]]";
    table.needs(&["points"], EXAMPLE);
    let names = Joining::ALL.map(|joining| (joining.as_str(), joining));
    let joining = if table.has("interpolation") {
        table
            .choice("interpolation", &names)
            .map(|found| found.value)
    } else {
        Some(Joining::MonotoneCubic)
    };
    let listed = table.list("points", EXAMPLE)?;
    let points: Vec<[f64; 2]> = listed
        .iter()
        .filter_map(|pair| pair.pair("points", EXAMPLE))
        .map(|pair| pair.value)
        .collect();
    if points.len() < listed.len() {
        return None;
    }
    match PointShape::new(points, joining?) {
        Ok(drawn) => Some(TargetShape::Drawn(drawn)),
        Err(error) => {
            table.fault(table.span_of("points"), error.to_string(), "", error.help());
            None
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
            .filter_map(|(name, text)| TargetProfile::parse(text, name).ok())
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
            assert_eq!(TargetProfile::parse(text, name).unwrap().name, *name);
        }
        assert_eq!(shipped_targets().len(), TEXTS.len());
    }
}
