//! The map file: everything that a map was made from, and the map.

use std::path::Path;

use evenhand_receiver::{ControlPoint, Profile};
use serde::{Deserialize, Serialize};

use crate::failure::Failure;
use crate::input::read_text;
use crate::json::IntervalJson;

/// The format this version writes and reads.
pub(crate) const FORMAT: u32 = 1;
/// A map file larger than this is none.
const MOST_BYTES: u64 = 16 << 20;

/// A map file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct MapFile {
    pub(crate) format: u32,
    pub(crate) version: String,
    pub(crate) source: SourceTable,
    pub(crate) stylus: StylusTable,
    pub(crate) settings: SettingsTable,
    pub(crate) achieved: AchievedTable,
    pub(crate) map: MapTable,
    /// A curve applied to the readings before the map.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) before: Option<MapTable>,
    /// A curve applied to the outputs after the map.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) after: Option<MapTable>,
    pub(crate) ideal: IdealTable,
    pub(crate) receiver: Profile,
}

/// Where the measurement came from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SourceTable {
    /// Path of the measurement, seen from the map file's folder where it lies there or below.
    pub(crate) file: String,
    pub(crate) sha256: String,
    /// Levels given on the command line.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) levels: Option<u32>,
    /// Recording of the hand that light-at or full-at were taken from, and its digest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) hand: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) hand_sha256: Option<String>,
    /// Samples left out on the command line.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) exclude: Vec<String>,
    /// Samples with which a new seating begins by command line.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) new_seatings: Vec<String>,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct StylusTable {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) model: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) unit: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) levels: Option<u32>,
}

/// What was asked for; forces in gf, at a right angle to the surface where a hold angle is given,
/// along the stylus otherwise.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SettingsTable {
    pub(crate) full_at_gf: f64,
    /// Absent where light-at was left to the onset interval.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) light_at_gf: Option<f64>,
    pub(crate) target: String,
    /// Points of a target that is no formula, as [part of the way from light-at to full-at, output].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) target_points: Option<Vec<[f64; 2]>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) target_interpolation: Option<String>,
    /// Least output at light-at, where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) output_floor: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) hold_angle_deg: Option<f64>,
    pub(crate) resamples: u64,
    pub(crate) confidence: f64,
    pub(crate) seed: u64,
}

/// What the map does, by prediction.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct AchievedTable {
    /// The forces the map was compiled for, after defaults and limits.
    pub(crate) light_at_gf: f64,
    pub(crate) full_at_gf: f64,
    pub(crate) max_error: f64,
    pub(crate) rms_error: f64,
    pub(crate) compile_max_error: f64,
    pub(crate) compile_lower_bound: f64,
    pub(crate) distinct_outputs: u64,
    pub(crate) largest_step: f64,
    pub(crate) largest_gain: f64,
    pub(crate) full_output_force_gf: IntervalJson,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct MapTable {
    pub(crate) interpolation: String,
    /// Of a power, whose points are (floor, 0) and (ceiling, 1).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) exponent: Option<f64>,
    /// Control points as [input, output].
    pub(crate) control_points: Vec<[f64; 2]>,
}

impl MapTable {
    pub(crate) fn points(&self) -> Vec<ControlPoint> {
        self.control_points
            .iter()
            .map(|[x, y]| ControlPoint::new(*x, *y))
            .collect()
    }
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct IdealTable {
    /// The ideal map as [input, output]; straight between.
    pub(crate) points: Vec<[f64; 2]>,
}

impl MapFile {
    pub(crate) fn to_toml(&self) -> Result<String, Failure> {
        let body = toml::to_string(self).map_err(|error| {
            Failure::bad_input(format!("the map could not be written as TOML: {error}"), "")
        })?;
        Ok(format!(
            "# A response map made by evenhand {}.\n{body}",
            self.version
        ))
    }

    pub(crate) fn read(path: &Path) -> Result<(Self, String), Failure> {
        let name = path.display().to_string();
        let text = read_text(
            path,
            MOST_BYTES,
            "give a file that `evenhand map --out` wrote",
        )?;
        let file: Self = toml::from_str(&text).map_err(|error| {
            let span = error.span();
            let line = span
                .as_ref()
                .map(|s| text[..s.start.min(text.len())].matches('\n').count() + 1);
            let place = line.map_or_else(String::new, |line| format!(":{line}"));
            let mut failure = Failure::bad_input(
                format!("{name}{place}: this is no map file: {}", error.message()),
                "give a file that `evenhand map --out` wrote",
            )
            .in_file(name.clone());
            failure.line = line;
            failure.at(Some(&text), span)
        })?;
        if file.format != FORMAT {
            return Err(Failure::bad_input(
                format!(
                    "{name}: this map has format {}, but this version reads {FORMAT}",
                    file.format
                ),
                "make the map again from its measurement with `evenhand map`",
            )
            .in_file(name));
        }
        file.check(&name)?;
        Ok((file, text))
    }

    /// A file edited by hand may hold numbers that no map has.
    fn check(&self, name: &str) -> Result<(), Failure> {
        let all = self
            .map
            .control_points
            .iter()
            .chain(&self.ideal.points)
            .flatten();
        let settings = [
            Some(self.settings.full_at_gf),
            self.settings.light_at_gf,
            self.settings.hold_angle_deg,
            Some(self.settings.confidence),
            self.map.exponent,
            self.settings.output_floor,
        ];
        if all.clone().all(|x| (0.0..=1.0).contains(x))
            && settings
                .into_iter()
                .flatten()
                .all(|x| x.is_finite() && x >= 0.0)
            && self.map.control_points.len() >= 2
        {
            Ok(())
        } else {
            Err(Failure::bad_input(
                format!("{name}: a coordinate lies outside 0..1, a setting is no number, or points are missing"),
                "make the map again from its measurement with `evenhand map`",
            )
            .in_file(name))
        }
    }
}
