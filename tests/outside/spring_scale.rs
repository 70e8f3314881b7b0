//! Hysteresis and repeatability against the spring-scale calibration of A. J. Wheeler and A. R. Ganji,
//! "Introduction to Engineering Experimentation", example 2.3: five cycles up and down, 101 readings
//! (`reference/metrology/scale-calibration-data.csv`, seen in two copies; figures recomputed exactly
//! from the table, 1e-12 here).

use evenhand_fitting::{Settings, fit, hysteresis, repeatability};
use evenhand_measurement::{Direction, Force, Measurement, Sample, Seating};
use evenhand_tests::{number, reference_rows};

use crate::formula::assert_near;

const GF_PER_LB: f64 = 453.592_37;
/// Reading that counts as full scale, lb: a little above the largest.
const FULL_SCALE: f64 = 7.0;

fn recomputed(quantity: &str) -> f64 {
    let rows = reference_rows("metrology/scale-calibration-results.csv");
    let row = rows.iter().find(|r| r["quantity"] == quantity).unwrap();
    number(row, "recomputed")
}

fn measurement() -> Measurement {
    let rows = reference_rows("metrology/scale-calibration-data.csv");
    let samples = (1..).zip(&rows).map(|(line, row)| Sample {
        force: Force::from_gf(number(row, "true_lb") * GF_PER_LB),
        reading: number(row, "reading_lb") / FULL_SCALE,
        seating: 0,
        direction: Some(match row["direction"].as_str() {
            "up" => Direction::Loading,
            _ => Direction::Unloading,
        }),
        line,
    });
    Measurement {
        seatings: vec![Seating {
            index: 1,
            direction: None,
        }],
        samples: samples.collect(),
        ..Measurement::default()
    }
}

#[test]
fn largest_differences() {
    let measurement = measurement();
    assert_eq!(measurement.samples.len(), 101);
    let found = hysteresis(&measurement).unwrap();
    let expected = recomputed("hysteresis_max");
    assert_near("hysteresis", FULL_SCALE * found.largest, expected, 1e-12);
    assert!((found.force.gf() - 3.0 * GF_PER_LB).abs() < 1e-9);

    let found = repeatability(&measurement).unwrap();
    let expected = recomputed("repeatability_max");
    let range = FULL_SCALE * found.largest_range;
    assert_near("repeatability", range, expected, 1e-12);
    assert!((found.force.gf() - 5.0 * GF_PER_LB).abs() < 1e-9);
    assert_eq!(found.direction, Some(Direction::Loading));
}

#[test]
fn the_fit_tells_the_directions_apart() {
    let measurement = measurement();
    let found = fit(&measurement, &Settings::default()).unwrap();
    // Every reading while unloading lies above those while loading: less force reads the same.
    assert!(found.unloading_gain.unwrap() > 1.02);
    // The response is that of loading: at 3 lb, between the limits of the readings taken there.
    let three = Force::from_gf(3.0 * GF_PER_LB);
    let there = |direction: Direction| {
        let readings: Vec<f64> = measurement
            .samples
            .iter()
            .filter(|s| s.direction == Some(direction) && s.force == three)
            .map(|s| s.reading)
            .collect();
        readings.iter().sum::<f64>() / readings.len() as f64
    };
    let (up, down) = (there(Direction::Loading), there(Direction::Unloading));
    let reading = found.response.reading(three);
    let off = (reading - up).abs();
    assert!(
        off < 0.25 * (down - up),
        "{reading} between {up} and {down}"
    );
}
