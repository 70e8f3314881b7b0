//! What is believed before the data: slopes change smoothly, seatings differ little.

use nalgebra::{DMatrix, DVector};

use crate::coefficients::{HATS, KINK, TRENDS};
use crate::form::Form;
use crate::latent::{LOG_SPAN, Latent, Layout, ONSET, SHAPE};
use crate::solve::Prior;
use crate::spline_shape::{FLAT_TREND, STEEP_TREND};

/// Standard deviation of each trend of the log-slope; wide, to keep the solve regular. Those of the trends of the two
/// ends are part of a [`Smoothness`].
const TREND_SPREAD: [f64; TRENDS] = [f64::NAN, 2.0, 1.0, f64::NAN];
/// Standard deviation of each hat beyond its roughness, to fix the level that normalising removes.
const HAT_SPREAD: f64 = 3.0;
/// Standard deviation of the logarithm of a kink's factor: slopes may well differ tenfold.
const KINK_SPREAD: f64 = 2.0;
/// The second difference of three hats.
const SECOND_DIFFERENCE: [f64; 3] = [1.0, -2.0, 1.0];
/// Spread of the seatings' logarithmic gains before the data, and how many seatings that belief is
/// worth.
const GAIN_SPREAD: f64 = 0.02;
const GAIN_BELIEF: f64 = 2.0;
/// Standard deviation of the coefficients of closed forms about what is usual.
const CLOSED_SPREAD: f64 = 1.0;
/// Standard deviation of the logarithmic gain of unloading.
const UNLOADING_SPREAD: f64 = 0.1;
/// Precision that keeps the free parameters regular without steering them.
const FREE: f64 = 1e-9;

/// How wavy a spline may be and how steeply it may begin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Smoothness {
    /// Standard deviation of the second differences of the hats.
    pub(crate) roughness: f64,
    /// Standard deviation of the steep trend.
    pub(crate) steepness: f64,
    /// Standard deviation of the trend that lets a rise end flat.
    pub(crate) flatness: f64,
}

/// How much less than elsewhere the log-slope bends about each hat between two others: factors of precision.
pub(crate) type LocalPrecision = [f64; HATS - 2];

/// The prior for a layout; closed forms have no use for the smoothness.
pub(crate) fn prior(
    layout: Layout,
    smoothness: Smoothness,
    local: &LocalPrecision,
    gain_spread: f64,
) -> Prior {
    let size = layout.size();
    let mut precision = DMatrix::zeros(size, size);
    precision[(ONSET, ONSET)] = FREE;
    precision[(LOG_SPAN, LOG_SPAN)] = FREE;
    if layout.form == Form::Spline {
        spline_prior(&mut precision, smoothness, local);
        if layout.kink.is_some() {
            precision[(SHAPE + KINK, SHAPE + KINK)] = 1.0 / (KINK_SPREAD * KINK_SPREAD);
        }
    } else {
        for coefficient in SHAPE..layout.gains() {
            precision[(coefficient, coefficient)] = 1.0 / (CLOSED_SPREAD * CLOSED_SPREAD);
        }
    }
    for seating in 0..layout.seatings {
        // A single seating has nothing to differ from.
        let spread = if layout.seatings == 1 {
            1e-6
        } else {
            gain_spread
        };
        let at = layout.gains() + seating;
        precision[(at, at)] = 1.0 / (spread * spread);
    }
    if let Some(index) = layout.unloading_index() {
        precision[(index, index)] = 1.0 / (UNLOADING_SPREAD * UNLOADING_SPREAD);
    }
    Prior {
        precision,
        mean: DVector::zeros(size),
    }
}

fn spline_prior(precision: &mut DMatrix<f64>, smoothness: Smoothness, local: &LocalPrecision) {
    for (index, spread) in TREND_SPREAD.iter().enumerate() {
        let spread = match index {
            STEEP_TREND => smoothness.steepness,
            FLAT_TREND => smoothness.flatness,
            _ => *spread,
        };
        precision[(SHAPE + index, SHAPE + index)] = 1.0 / (spread * spread);
    }
    let first_hat = SHAPE + TRENDS;
    for hat in 0..HATS {
        precision[(first_hat + hat, first_hat + hat)] += 1.0 / (HAT_SPREAD * HAT_SPREAD);
    }
    let rough = 1.0 / (smoothness.roughness * smoothness.roughness);
    for (hat, local) in local.iter().enumerate() {
        for (i, a) in SECOND_DIFFERENCE.iter().enumerate() {
            for (j, b) in SECOND_DIFFERENCE.iter().enumerate() {
                precision[(first_hat + hat + i, first_hat + hat + j)] += rough * local * a * b;
            }
        }
    }
}

/// How rough the log-slope is about each hat, and what that is worth as evidence, from an estimate made with
/// `roughness`: second differences follow Student's law with one degree of freedom rather than a normal one, so that
/// a knee does not make the whole response rough. Each is normal with a precision of its own, whose expectation is
/// used (expectation–maximisation; K. L. Lange, R. J. A. Little and J. M. G. Taylor, J. Am. Stat. Ass. 84, 1989).
pub(crate) fn local_precision(
    latent: &Latent,
    covariance: &DMatrix<f64>,
    roughness: f64,
) -> (LocalPrecision, f64) {
    let mut evidence = 0.0;
    let local = std::array::from_fn(|hat| {
        let first = SHAPE + TRENDS + hat;
        let (mut difference, mut variance) = (0.0, 0.0);
        for (i, a) in SECOND_DIFFERENCE.iter().enumerate() {
            difference += a * latent.parameters[first + i];
            for (j, b) in SECOND_DIFFERENCE.iter().enumerate() {
                variance += a * b * covariance[(first + i, first + j)];
            }
        }
        let precision = 2.0 / (1.0 + (difference * difference + variance) / roughness.powi(2));
        evidence += 0.5 * (precision.ln() - precision + 1.0);
        precision
    });
    (local, evidence)
}

/// Spread of the seatings' logarithmic gains, from what was believed and what a solve found.
pub(crate) fn gain_spread(latent: &Latent) -> f64 {
    let first = latent.layout.gains();
    let gains = &latent.parameters[first..first + latent.layout.seatings];
    if gains.iter().all(|gain| *gain == 0.0) {
        return 1.5 * GAIN_SPREAD;
    }
    let squares: f64 = gains.iter().map(|gain| gain * gain).sum();
    let differences = gains.len() as f64 - 1.0;
    ((GAIN_BELIEF * GAIN_SPREAD.powi(2) + squares) / (GAIN_BELIEF + differences)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A log-slope that runs straight on is as smooth as can be: however much roughness costs, it costs what its hats do.
    #[test]
    fn straight_is_smooth() {
        let layout = Layout {
            form: Form::Spline,
            seatings: 1,
            unloading: false,
            kink: None,
        };
        let smoothness = Smoothness {
            roughness: 1e-3,
            steepness: 1.0,
            flatness: 1.0,
        };
        let found = prior(layout, smoothness, &[1.0; HATS - 2], 0.03);
        let hats: Vec<f64> = (0..HATS).map(|hat| 0.3 - 0.1 * hat as f64).collect();
        let mut cost = 0.0;
        for (i, a) in hats.iter().enumerate() {
            for (j, b) in hats.iter().enumerate() {
                cost += a * b * found.precision[(SHAPE + TRENDS + i, SHAPE + TRENDS + j)];
            }
        }
        let own: f64 = hats.iter().map(|hat| (hat / HAT_SPREAD).powi(2)).sum();
        assert!((cost - own).abs() < 1e-6, "{cost} instead of {own}");
    }

    /// What the gains may do before a sample is seen, as standard deviations of their logarithms: as usual, about 3 % and
    /// 10 %; and what shapes may do.
    #[test]
    fn gains_are_as_spread_as_stated() {
        let layout = Layout {
            form: Form::Power,
            seatings: 2,
            unloading: true,
            kink: None,
        };
        let smoothness = Smoothness {
            roughness: 1.0,
            steepness: 1.0,
            flatness: 1.0,
        };
        let found = prior(layout, smoothness, &[1.0; HATS - 2], 0.03);
        let spread = |index: usize| found.precision[(index, index)].sqrt().recip();
        for seating in 0..2 {
            assert!((spread(layout.gains() + seating) - 0.03).abs() < 1e-12);
        }
        let unloading = layout.unloading_index().expect("an unloading gain");
        assert!((spread(unloading) - 0.1).abs() < 1e-12);
        // Coefficients of a closed form by 1, a spline's kink by 2, as logarithms.
        assert!((spread(SHAPE) - 1.0).abs() < 1e-12);
        let kinked = Layout {
            form: Form::Spline,
            kink: Some(0.4),
            ..layout
        };
        let found = prior(kinked, smoothness, &[1.0; HATS - 2], 0.03);
        let at = SHAPE + KINK;
        assert!((found.precision[(at, at)].sqrt().recip() - 2.0).abs() < 1e-12);
    }
}
