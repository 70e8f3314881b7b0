//! The strokes of a sheet: what is drawn, and how hard.

use std::f64::consts::{PI, TAU};

use crate::outline::InkPoint;

/// Points of a stroke of a figure.
const POINTS: u32 = 96;

/// A figure of one stroke or more.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TestStroke {
    /// A line pressed harder and harder, from nothing to the hand's force.
    Ramp,
    /// Light, firm and light again along a bend.
    Swell,
    /// Short parallel strokes, each pressed and let go, the last the firmest.
    Hatch,
    /// Loops as of a name: firm downwards, light upwards, with a cusp.
    Name,
    /// A bow that begins and ends in a point.
    Taper,
}

/// A point of a figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TestStrokePoint {
    /// To the right, 0..1 of the room.
    pub x: f64,
    /// Downwards, 0..1 of the room.
    pub y: f64,
    /// Force as part of the hand's force, 0..1.
    pub part: f64,
}

impl TestStroke {
    /// All figures in the order in which they are drawn.
    pub const ALL: [Self; 5] = [
        Self::Ramp,
        Self::Swell,
        Self::Hatch,
        Self::Name,
        Self::Taper,
    ];

    /// What it shows, in a few words.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Ramp => "ramp",
            Self::Swell => "swell",
            Self::Hatch => "hatch",
            Self::Name => "loops",
            Self::Taper => "tapered",
        }
    }

    /// Its strokes in a room, with a width for each part of the hand's force.
    pub fn ink(
        self,
        (left, top): (f64, f64),
        size: (f64, f64),
        width: impl Fn(f64) -> f64,
    ) -> impl Iterator<Item = Vec<InkPoint>> {
        let ink = move |point: &TestStrokePoint| InkPoint {
            x: left + point.x * size.0,
            y: top + point.y * size.1,
            width: width(point.part),
        };
        let strokes = self.strokes().into_iter();
        strokes.map(move |stroke| stroke.iter().map(&ink).collect())
    }

    /// Its strokes.
    #[must_use]
    pub fn strokes(self) -> Vec<Vec<TestStrokePoint>> {
        match self {
            Self::Ramp => vec![stroke(|t| (t, 0.5, t))],
            Self::Swell => vec![stroke(|t| {
                let press = 0.15 + 0.85 * (PI * t).sin().powi(2);
                (t, 0.5 - 0.32 * (TAU * t).sin(), press)
            })],
            Self::Hatch => (0..6).map(|index| hatch(f64::from(index) / 5.0)).collect(),
            Self::Name => vec![stroke(name)],
            Self::Taper => vec![stroke(|t| {
                let press = (PI * t.powf(0.7)).sin().max(0.0).powf(0.8);
                (t, 0.85 - 0.7 * (PI * t).sin(), press)
            })],
        }
    }
}

fn stroke(at: impl Fn(f64) -> (f64, f64, f64)) -> Vec<TestStrokePoint> {
    (0..=POINTS)
        .map(|index| {
            let (x, y, part) = at(f64::from(index) / f64::from(POINTS));
            TestStrokePoint {
                x,
                y,
                part: part.clamp(0.0, 1.0),
            }
        })
        .collect()
}

fn hatch(place: f64) -> Vec<TestStrokePoint> {
    let greatest = 0.4 + 0.6 * place;
    stroke(|t| {
        let press = if t < 0.25 {
            0.3 + 0.7 * t / 0.25
        } else {
            1.0 - 0.8 * (t - 0.25) / 0.75
        };
        (0.82 * place + 0.18 * t, 1.0 - t, greatest * press)
    })
}

/// Three loops, then a cusp and a line away.
fn name(t: f64) -> (f64, f64, f64) {
    if t < 0.72 {
        let turn = t / 0.72 * 3.0 * TAU;
        let along = 0.68 * t / 0.72;
        let size = 1.0 - 0.15 * turn / TAU;
        let (x, y) = (
            along + 0.09 * (1.0 - turn.cos()) * size,
            0.5 - 0.42 * turn.sin() * size,
        );
        // Downwards where sin falls.
        let down = -turn.cos();
        return (x, y, 0.62 + 0.38 * down);
    }
    let rest = (t - 0.72) / 0.28;
    let (x, y) = if rest < 0.4 {
        (0.68 + 0.16 * rest / 0.4, 0.5 + 0.4 * rest / 0.4)
    } else {
        let away = (rest - 0.4) / 0.6;
        (0.84 + 0.16 * away, 0.9 - 0.75 * away)
    };
    let press = if rest < 0.4 {
        0.24 + 0.76 * rest / 0.4
    } else {
        1.0 - (rest - 0.4) / 0.6
    };
    (x, y, press)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_stay_in_their_room_and_reach_the_force_of_the_hand() {
        for figure in TestStroke::ALL {
            let all: Vec<TestStrokePoint> = figure.strokes().into_iter().flatten().collect();
            let greatest = all.iter().map(|p| p.part).fold(0.0, f64::max);
            assert!(greatest > 0.99, "{figure:?}: {greatest}");
            for point in all {
                for value in [point.x, point.y, point.part] {
                    assert!((0.0..=1.0).contains(&value), "{figure:?}: {point:?}");
                }
            }
        }
    }

    #[test]
    fn strokes_do_not_jump() {
        for figure in TestStroke::ALL {
            for stroke in figure.strokes() {
                for pair in stroke.windows(2) {
                    let step = (pair[1].x - pair[0].x).hypot(pair[1].y - pair[0].y);
                    assert!(step < 0.15, "{figure:?}: {pair:?}");
                }
            }
        }
    }
}
