//! A cubic in the plane, x and y both functions of one parameter, read as y of x.

use crate::unit_cubic::{Place, UnitCubic};

/// One cubic arc whose x never falls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Planar {
    pub(crate) x: UnitCubic,
    pub(crate) y: UnitCubic,
}

impl Planar {
    pub(crate) fn value(self, x: f64) -> f64 {
        if x.is_nan() {
            return x;
        }
        self.y.value(self.x.rising_to(x))
    }

    /// dy/dx. Where both derivatives by the parameter vanish, the first pair of higher ones that
    /// does not vanish decides (the rule of l'Hôpital).
    pub(crate) fn slope(self, x: f64) -> f64 {
        if x.is_nan() {
            return x;
        }
        let place = self.x.rising_to(x);
        let (along_x, along_y) = (taylor(self.x, place), taylor(self.y, place));
        // At the end the arc is approached from below, where even powers of the offset fall.
        let at_end = place.anchor == 1.0 && place.offset == 0.0;
        for (order, (dx, dy)) in along_x.into_iter().zip(along_y).enumerate() {
            if dx != 0.0 {
                return dy / dx;
            }
            if dy != 0.0 {
                let sign = if at_end && order == 1 { -dy } else { dy };
                return f64::INFINITY.copysign(sign);
            }
        }
        0.0
    }

    /// The x where y first gets to `y`, which is above the start and not above the maximum.
    pub(crate) fn inverse(self, y: f64) -> f64 {
        let place = self.y.first_reaching(y);
        if place.anchor == 1.0 && place.offset == 0.0 {
            self.x.end
        } else {
            self.x.value(place).clamp(self.x.start, self.x.end)
        }
    }
}

/// First, second and third Taylor coefficient at a place.
fn taylor(cubic: UnitCubic, place: Place) -> [f64; 3] {
    let [_, c1, c2, c3] = cubic.about(place.anchor);
    let v = place.offset;
    [c1 + v * (2.0 * c2 + 3.0 * v * c3), c2 + 3.0 * v * c3, c3]
}
