//! One object.

use serde::{Deserialize, Serialize};

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

pub(super) fn write(
    profile: &Profile,
    points: &[ControlPoint],
    power: Option<PowerParameters>,
) -> String {
    let exported = Exported {
        receiver: profile.name().to_owned(),
        interpolation: profile.interpolation().to_string(),
        control_points: points.to_vec(),
        power,
    };
    // Strings and finite numbers cannot fail; if they did, reading back would tell.
    serde_json::to_string_pretty(&exported).unwrap_or_default() + "\n"
}

/// The points, where the power is that of the map.
pub(super) fn read(text: &str, power: Option<PowerParameters>) -> Result<Vec<(f64, f64)>, String> {
    let read: Exported = serde_json::from_str(text).map_err(|error| error.to_string())?;
    if read.power != power {
        return Err("another exponent".to_owned());
    }
    let points = read.control_points.iter();
    Ok(points.map(|p| (p.input, p.output)).collect())
}
