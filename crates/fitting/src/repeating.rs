//! How estimates would scatter were the same response measured again at the same forces.
//!
//! An interval allows for all that is not known of a response, its shape among it. Another measurement of a like
//! response errs alike there: what makes two estimates differ is the scatter of readings and forces alone, and how the
//! seatings fell. To first order parameters θ̂ = C·(Jᵀ W y + …) scatter by C·N·C, where N = JᵀWJ is what the samples say
//! and C = (N + P)⁻¹ with the prior's P (the covariance of a ridge estimate; A. E. Hoerl and R. W. Kennard,
//! Technometrics 12, 1970, 55–67).

use nalgebra::{DMatrix, DVector};

use crate::estimate::Estimate;
use crate::latent::{LOG_SPAN, ONSET};
use crate::observation::Observation;

/// Standard deviations of estimates from one measurement to the next, gf.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RepeatSd {
    /// Of the onset force.
    pub onset_gf: f64,
    /// Of the saturation force.
    pub saturation_gf: f64,
    /// Of the span.
    pub span_gf: f64,
    /// Degrees of freedom of the scatter that they rest on.
    pub degrees_of_freedom: f64,
}

impl RepeatSd {
    /// Of an estimate from observations; none where its factorisation fails.
    pub(crate) fn of(observations: &[Observation], estimate: &Estimate) -> Option<Self> {
        let unshifted = vec![0.0; observations.len()];
        let latent = &estimate.latent;
        let normal = estimate.problem(observations, &unshifted).normal(latent);
        let prior = &estimate.prior.precision;
        let mut told: DMatrix<f64> = normal.matrix.clone();
        // How seatings fall is drawn anew with every measurement, as their prior has it.
        let layout = latent.layout;
        let gains = layout.gains()..layout.gains() + layout.seatings;
        for (row, column) in gains
            .clone()
            .flat_map(|r| gains.clone().map(move |c| (r, c)))
        {
            told[(row, column)] += prior[(row, column)];
        }
        let covariance = (&normal.matrix + prior).cholesky()?.inverse();
        let repeated = &covariance * told * &covariance;
        let span = latent.span();
        let along = |onset: f64, log_span: f64| {
            let mut gradient = DVector::zeros(repeated.nrows());
            gradient[ONSET] = onset;
            gradient[LOG_SPAN] = log_span;
            gradient.dot(&(&repeated * &gradient)).max(0.0).sqrt()
        };
        Some(Self {
            onset_gf: along(1.0, 0.0),
            saturation_gf: along(1.0, span),
            span_gf: along(0.0, span),
            degrees_of_freedom: estimate.scatter_freedom,
        })
    }
}
