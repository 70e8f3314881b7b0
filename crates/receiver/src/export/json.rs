//! One object.

use serde::{Deserialize, Serialize};

use super::first_difference;
use crate::control_point::ControlPoint;
use crate::power_parameters::PowerParameters;
use crate::profile::Profile;

#[derive(Serialize, Deserialize)]
struct Exported {
    receiver: String,
    interpolation: String,
    control_points: Vec<ControlPoint>,
    #[serde(flatten)]
    power: Option<PowerParameters>,
}

pub(super) fn write(profile: &Profile, points: &[ControlPoint], exponent: Option<f64>) -> String {
    let exported = Exported {
        receiver: profile.name().to_owned(),
        interpolation: profile.interpolation().to_string(),
        control_points: points.to_vec(),
        power: PowerParameters::new(points, exponent),
    };
    // Strings and finite numbers cannot fail; if they did, reading back would tell.
    serde_json::to_string_pretty(&exported).unwrap_or_default() + "\n"
}

pub(super) fn differs(
    text: &str,
    points: &[ControlPoint],
    exponent: Option<f64>,
) -> Option<String> {
    match serde_json::from_str::<Exported>(text) {
        Ok(read) => {
            let found: Vec<_> = read
                .control_points
                .iter()
                .map(|p| (p.input, p.output))
                .collect();
            let power_differs = read.power != PowerParameters::new(points, exponent);
            first_difference(&found, points)
                .or_else(|| power_differs.then(|| "another exponent".to_owned()))
        }
        Err(error) => Some(error.to_string()),
    }
}
