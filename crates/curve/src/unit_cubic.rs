//! A cubic on 0..1, and places on it told from whichever end is nearer.

use kurbo::common::solve_quadratic;

use crate::bracket::rising_root;
use crate::region;

/// A parameter written as an anchor plus a small offset. Next to a vertical or flat end all the
/// information is in the offset: 1 − 1e−20 is not a number of its own, but the pair (1, −1e−20) is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    pub(crate) anchor: f64,
    pub(crate) offset: f64,
}

impl Place {
    pub(crate) const START: Self = Self {
        anchor: 0.0,
        offset: 0.0,
    };
    pub(crate) const END: Self = Self {
        anchor: 1.0,
        offset: 0.0,
    };

    /// Where `x` divides the interval from `low` to `high`.
    pub(crate) fn between(x: f64, low: f64, high: f64) -> Self {
        let width = high - low;
        if x - low <= high - x {
            Self {
                anchor: 0.0,
                offset: (x - low) / width,
            }
        } else {
            Self {
                anchor: 1.0,
                offset: (x - high) / width,
            }
        }
    }

    /// The place `parameter`, from the nearer end.
    fn at(parameter: f64) -> Self {
        Self::between(parameter, 0.0, 1.0)
    }

    /// The x that divides the interval from `low` to `high` here.
    pub(crate) fn across(self, low: f64, high: f64) -> f64 {
        let width = high - low;
        let x = if self.anchor == 1.0 {
            high + self.offset * width
        } else {
            low + (self.anchor + self.offset) * width
        };
        x.clamp(low, high)
    }
}

/// A cubic on 0..1 by the values and slopes at both ends (Hermite form).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct UnitCubic {
    pub(crate) start: f64,
    pub(crate) end: f64,
    pub(crate) start_slope: f64,
    pub(crate) end_slope: f64,
}

impl UnitCubic {
    /// From the four ordinates of the Bézier form.
    pub(crate) fn from_bezier([start, after_start, before_end, end]: [f64; 4]) -> Self {
        Self {
            start,
            end,
            start_slope: 3.0 * (after_start - start),
            end_slope: 3.0 * (end - before_end),
        }
    }

    fn third(self) -> f64 {
        (self.start_slope - (self.end - self.start)) + (self.end_slope - (self.end - self.start))
    }

    /// Coefficients of 1, v, v², v³ with v the offset from `anchor`.
    pub(crate) fn about(self, anchor: f64) -> [f64; 4] {
        let rise = self.end - self.start;
        let third = self.third();
        let second = (rise - self.start_slope) * 2.0 + (rise - self.end_slope);
        if anchor == 0.0 {
            [self.start, self.start_slope, second, third]
        } else if anchor == 1.0 {
            let second = (self.start_slope - rise) + 2.0 * (self.end_slope - rise);
            [self.end, self.end_slope, second, third]
        } else {
            let u = anchor;
            [
                self.start + u * (self.start_slope + u * (second + u * third)),
                self.start_slope + u * (2.0 * second + 3.0 * u * third),
                second + 3.0 * u * third,
                third,
            ]
        }
    }

    pub(crate) fn value(self, place: Place) -> f64 {
        let [c0, c1, c2, c3] = self.about(place.anchor);
        let v = place.offset;
        c0 + v * (c1 + v * (c2 + v * c3))
    }

    pub(crate) fn slope(self, place: Place) -> f64 {
        let [_, c1, c2, c3] = self.about(place.anchor);
        let v = place.offset;
        c1 + v * (2.0 * c2 + 3.0 * v * c3)
    }

    /// Whether it never falls, by its exact end slopes.
    pub(crate) fn is_non_decreasing(self) -> bool {
        let rise = self.end - self.start;
        if rise > 0.0 {
            region::is_monotone(self.start_slope / rise, self.end_slope / rise)
        } else {
            rise == 0.0 && self.start_slope == 0.0 && self.end_slope == 0.0
        }
    }

    /// Parameters inside 0..1 where the slope is 0, in order.
    fn level_places(self) -> impl Iterator<Item = f64> {
        let [_, c1, c2, c3] = self.about(0.0);
        let mut roots = solve_quadratic(c1, 2.0 * c2, 3.0 * c3);
        roots.sort_unstable_by(f64::total_cmp);
        roots.into_iter().filter(|u| 0.0 < *u && *u < 1.0)
    }

    /// The highest value on 0..1.
    pub(crate) fn maximum(self) -> f64 {
        let ends = self.start.max(self.end);
        if self.is_non_decreasing() {
            return ends;
        }
        self.level_places()
            .map(|u| self.value(Place::at(u)))
            .fold(ends, f64::max)
    }

    /// The first place whose value is at least `target`, for a target above the start and not
    /// above the maximum.
    pub(crate) fn first_reaching(self, target: f64) -> Place {
        if self.is_non_decreasing() {
            return self.rising_to(target);
        }
        let mut low = 0.0;
        for high in self.level_places().chain([1.0]) {
            let top = if high == 1.0 {
                self.end
            } else {
                self.value(Place::at(high))
            };
            if top >= target {
                return self.solve_about(0.0, low, high, target);
            }
            low = high;
        }
        Place::END
    }

    /// The place of `target` on a non-decreasing cubic: exactly the start or the end when the
    /// target is not above or not below it.
    ///
    /// A closed formula loses half the digits or more where the cubic is nearly level. Here the
    /// equation is solved in the offset from the nearest of the start, the end and the place of
    /// least slope, so that the right-hand side is a small difference and stays exact.
    pub(crate) fn rising_to(self, target: f64) -> Place {
        if target <= self.start {
            return Place::START;
        }
        if target >= self.end {
            return Place::END;
        }
        match self.flattest_inside() {
            Some(flat) => {
                let (before, after) = (0.5 * flat, 0.5 + 0.5 * flat);
                if target < self.value(Place::at(before)) {
                    self.solve_about(0.0, 0.0, before, target)
                } else if target > self.value(Place::at(after)) {
                    self.solve_about(1.0, after, 1.0, target)
                } else {
                    self.solve_about(flat, before, after, target)
                }
            }
            None if target <= self.value(Place::at(0.5)) => self.solve_about(0.0, 0.0, 0.5, target),
            None => self.solve_about(1.0, 0.5, 1.0, target),
        }
    }

    /// The inflection, where it is a least slope and lies inside.
    fn flattest_inside(self) -> Option<f64> {
        let [_, _, second, third] = self.about(0.0);
        let u = -second / (3.0 * third);
        (third > 0.0 && 0.0 < u && u < 1.0).then_some(u)
    }

    fn solve_about(self, anchor: f64, low: f64, high: f64, target: f64) -> Place {
        let [c0, c1, c2, c3] = self.about(anchor);
        let wanted = target - c0;
        if wanted == 0.0 && low <= anchor && anchor <= high {
            return Place {
                anchor,
                offset: 0.0,
            };
        }
        let residual = |v: f64| {
            (
                v * (c1 + v * (c2 + v * c3)) - wanted,
                c1 + v * (2.0 * c2 + 3.0 * v * c3),
            )
        };
        let offset = rising_root(residual, low - anchor, high - anchor, wanted / c1);
        Place { anchor, offset }
    }
}
