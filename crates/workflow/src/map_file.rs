//! The tables of a map file: everything that a map was made from, and the map.

use evenhand_inversion::{NamedShape, PointShape, StylusError, TargetError, TargetShape};
use evenhand_preview::{HandForce, WidthLaw, WidthScale};
use evenhand_receiver::{ControlPoint, MapInterpolation, Profile};
use evenhand_text::clean;
use serde::Serialize;

use crate::failure::Failure;
use crate::interval::OpenInterval;

/// The format this version writes and reads.
pub const FORMAT: u32 = 1;
/// The version of the program, as maps name it.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// A map file.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MapFile {
    /// Number of the format.
    pub format: u32,
    /// Version of the program that wrote it.
    pub version: String,
    /// Where the measurement came from.
    pub source: SourceTable,
    /// The stylus.
    pub stylus: StylusTable,
    /// What was asked for.
    pub settings: SettingsTable,
    /// How near the map comes to what is wanted.
    pub achieved: AchievedTable,
    /// The map.
    pub map: MapTable,
    /// What was changed by hand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tuned: Option<TunedTable>,
    /// Forces of the hand and widths at which strokes are shown, where they were chosen.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub strokes: Option<StrokesTable>,
    /// A curve applied to the readings before the map.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub before: Option<MapTable>,
    /// A curve applied to the outputs after the map.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<MapTable>,
    /// The ideal map, straight between points.
    pub ideal: IdealTable,
    /// What takes the map.
    pub receiver: Profile,
}

/// Where the measurement came from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SourceTable {
    /// Path of the measurement, seen from the map file's folder where it lies there or below.
    pub file: String,
    /// Digest of its bytes.
    pub sha256: String,
    /// Levels given on the command line.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub levels: Option<u32>,
    /// Recording of the hand that light-at or full-at were taken from, and its digest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hand: Option<String>,
    /// Digest of the recording's bytes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hand_sha256: Option<String>,
    /// Samples left out on the command line.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub exclude: Vec<String>,
    /// Samples with which a new seating begins by command line.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub new_seatings: Vec<String>,
    /// Columns chosen where the table has several of one kind.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub columns: Vec<String>,
    /// Sheet chosen of a spreadsheet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sheet: Option<String>,
}

/// The stylus measured.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StylusTable {
    /// Model.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub model: Option<String>,
    /// Which one of the model.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// Number of levels of raw readings, where given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub levels: Option<u32>,
}

/// What was asked for; forces in gf, at a right angle to the surface where a hold angle is given,
/// along the stylus otherwise.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SettingsTable {
    /// Output is full from here on, gf.
    pub full_at_gf: f64,
    /// Absent where light-at was left to the onset interval.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub light_at_gf: Option<f64>,
    /// How the output climbs between.
    pub target: String,
    /// Points of a target that is no formula, as [part of the way from light-at to full-at, output].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub target_points: Option<Vec<[f64; 2]>>,
    /// What joins them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub target_interpolation: Option<String>,
    /// Least output at light-at, where there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub output_floor: Option<f64>,
    /// Angle between stylus and surface, degrees.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hold_angle_deg: Option<f64>,
    /// Resamples behind the intervals.
    pub resamples: u64,
    /// Probability that intervals should hold.
    pub confidence: f64,
    /// Seed of the resampling.
    pub seed: u64,
}

impl SettingsTable {
    /// The target that was asked for.
    ///
    /// # Errors
    /// Points or words that make none.
    pub fn target_shape(&self) -> Result<NamedShape, TargetError> {
        let shape = match (&self.target_points, &self.target_interpolation) {
            (Some(points), Some(joining)) => {
                TargetShape::Drawn(PointShape::new(points.clone(), joining.parse()?)?)
            }
            _ => self.target.parse()?,
        };
        Ok(NamedShape {
            label: self.target.clone(),
            shape,
        })
    }
}

/// What the map does, by prediction.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AchievedTable {
    /// The forces the map was compiled for, after defaults and limits.
    pub light_at_gf: f64,
    /// Output is full from here on, gf.
    pub full_at_gf: f64,
    /// Worst error from light-at to full-at, fraction of full scale.
    pub max_error: f64,
    /// Root mean square error there.
    pub rms_error: f64,
    /// Worst error against the ideal map over all readings.
    pub compile_max_error: f64,
    /// What no legal map goes below.
    pub compile_lower_bound: f64,
    /// Outputs that the readings can give.
    pub distinct_outputs: u64,
    /// Largest change from one reading to the next.
    pub largest_step: f64,
    /// Largest slope.
    pub largest_gain: f64,
    /// Force at which the output is full, gf.
    pub full_output_force_gf: OpenInterval,
    /// Worst error from light-at to full-at over what the response may be; none in files of versions that did not
    /// know it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stylus_error: Option<StylusError>,
}

/// A map or another curve by its points.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MapTable {
    /// What joins the points.
    pub interpolation: String,
    /// Of a power, whose points are (floor, 0) and (ceiling, 1).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exponent: Option<f64>,
    /// Control points as [input, output].
    pub control_points: Vec<[f64; 2]>,
}

impl MapTable {
    /// Points with how they are connected; `exponent` is that of a power.
    #[must_use]
    pub fn new(
        interpolation: MapInterpolation,
        exponent: Option<f64>,
        points: &[ControlPoint],
    ) -> Self {
        Self {
            interpolation: interpolation.to_string(),
            exponent,
            control_points: points.iter().map(|p| [p.input, p.output]).collect(),
        }
    }

    /// The points.
    pub fn points(&self) -> Vec<ControlPoint> {
        self.control_points
            .iter()
            .map(|[x, y]| ControlPoint::new(*x, *y))
            .collect()
    }
}

/// At which forces and how wide strokes are shown; nothing of the map depends on it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StrokesTable {
    /// Width at the least output.
    pub least_width: f64,
    /// Width at full output.
    pub greatest_width: f64,
    /// What grows with the output: `linear` or `area`.
    pub width_law: String,
    /// Forces of the hand with their names.
    pub hands: Vec<HandTable>,
}

/// A force of the hand with its name.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HandTable {
    /// What it is called.
    pub name: String,
    /// The force as the hand means it, gf.
    pub force_gf: f64,
}

impl StrokesTable {
    /// The widths that it names, if there are such.
    #[must_use]
    pub fn scale(&self) -> Option<WidthScale> {
        let law = WidthLaw::ALL
            .into_iter()
            .find(|law| law.as_str() == self.width_law)?;
        WidthScale::new(self.least_width, self.greatest_width, law)
    }

    /// The forces as strokes are drawn at.
    #[must_use]
    pub fn hand_forces(&self) -> Vec<HandForce> {
        self.hands
            .iter()
            .map(|hand| HandForce {
                name: hand.name.clone(),
                force_gf: hand.force_gf,
            })
            .collect()
    }
}

/// Points that were moved by hand.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TunedTable {
    /// Points that stay while the rest is solved, counted from 1.
    pub pinned: Vec<usize>,
    /// Worst error of the map that the receiver would best be given.
    pub optimum_max_error: f64,
}

/// The ideal map.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct IdealTable {
    /// The ideal map as [input, output]; straight between.
    pub points: Vec<[f64; 2]>,
}

impl MapFile {
    /// The text of the file.
    ///
    /// # Errors
    /// Numbers that TOML cannot hold.
    pub fn to_toml(&self) -> Result<String, Failure> {
        let body = toml::to_string(self).map_err(|error| {
            Failure::bad_input(format!("the map could not be written as TOML: {error}"), "")
        })?;
        Ok(format!(
            "# A response map made by evenhand {}.\n{body}",
            clean(&self.version)
        ))
    }
}
