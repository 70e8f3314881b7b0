//! A response as the forces at which it reaches each percent.

use evenhand_curve::Curve as _;
use evenhand_fitting::Response;
use evenhand_measurement::Force;

/// Levels of a profile: 0, 1, 2, … 100 percent of full scale.
pub const READING_GRID: usize = 101;

/// The reading of a level, 0..1.
#[must_use]
pub fn level_reading(level: usize) -> f64 {
    level as f64 / (READING_GRID - 1) as f64
}

/// The forces, gf, at which a response reaches every whole percent: the onset force for 0, the saturation
/// force for 100. Infinite where it was not seen to get there. Forces at equal readings can be averaged and
/// ordered without bending a response, which readings at equal forces cannot.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    forces: Vec<f64>,
    /// Where the response was last known, with its reading there.
    end: (f64, f64),
}

impl Profile {
    /// Of a fitted response.
    #[must_use]
    pub fn of(response: &Response) -> Self {
        let last = response.last_force();
        let top = response.curve().value(last.gf());
        let forces = (0..READING_GRID)
            .map(|level| {
                let reading = level_reading(level);
                if level == 0 {
                    response.onset().gf()
                } else if level == READING_GRID - 1 {
                    response.saturation().map_or(f64::INFINITY, Force::gf)
                } else if reading <= top {
                    response.force(reading).gf()
                } else {
                    f64::INFINITY
                }
            })
            .collect();
        Self {
            forces,
            end: (last.gf(), top),
        }
    }

    /// Mean force at every level; infinite where one of them does not get there. `None` of none.
    #[must_use]
    pub fn mean(profiles: &[&Self]) -> Option<Self> {
        let count = profiles.len() as f64;
        let first = profiles.first()?;
        if profiles.len() == 1 {
            return Some((*first).clone());
        }
        let forces: Vec<f64> = (0..READING_GRID)
            .map(|level| profiles.iter().map(|p| p.forces[level]).sum::<f64>() / count)
            .collect();
        let reached = forces.iter().filter(|force| force.is_finite()).count();
        let top = reached.saturating_sub(1);
        Some(Self {
            end: (forces[top], level_reading(top)),
            forces,
        })
    }

    /// Force at each level, gf.
    #[must_use]
    pub fn forces(&self) -> &[f64] {
        &self.forces
    }

    /// How many levels, from the lowest on, are reached.
    #[must_use]
    pub fn reached(&self) -> usize {
        self.forces.iter().filter(|f| f.is_finite()).count()
    }

    /// The curve to draw: forces in gf with readings 0..1, from force 0 to the last that is known.
    #[must_use]
    pub fn points(&self) -> Vec<(f64, f64)> {
        let mut points = vec![(0.0, 0.0)];
        points.extend(
            self.forces
                .iter()
                .enumerate()
                .take_while(|(_, force)| force.is_finite())
                .map(|(level, force)| (*force, level_reading(level))),
        );
        if points.last().is_some_and(|(force, _)| self.end.0 > *force)
            && self.reached() < READING_GRID
        {
            points.push(self.end);
        }
        points
    }

    /// The response through these forces, as far as it is known; `None` of a profile without a rise.
    #[must_use]
    pub fn response(&self) -> Option<Response> {
        let mut points: Vec<(Force, f64)> = Vec::with_capacity(READING_GRID + 2);
        for (force, reading) in self.points() {
            // A step needs two forces, however near.
            let force = match points.last() {
                Some((before, _)) if force <= before.gf() => {
                    if reading <= 0.0 {
                        continue;
                    }
                    before.gf() * (1.0 + 1e-12) + 1e-12
                }
                _ => force,
            };
            points.push((Force::from_gf(force), reading));
        }
        Response::from_points(&points).ok()
    }
}
