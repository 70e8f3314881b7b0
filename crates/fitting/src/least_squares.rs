//! Least squares for models in closed form: the same damped steps as the response's own fit, each
//! solved by Householder reflections, with standard errors and covariance.

use nalgebra::{DMatrix, DVector};

use crate::descent::{Descent, Ended, SolveStatus, Step, descend};

/// Where a diagonal entry of the triangle falls below this part of the largest, the data leave a
/// direction open and there are no standard errors.
const RANK: f64 = 1e-14;
/// Starts may be far off.
const FIRST_DAMPING: f64 = 1e-3;
const MOST_ITERATIONS: usize = 5000;
const MOST_REFINEMENTS: usize = 20;
/// Relative error that summing squares may make.
const ROUNDING: f64 = 1e-12;
/// A step that moves every parameter by less than this part of itself is negligible …
const LEAST_MOVE: f64 = 1e-12;
/// … if it was damped no more than this: a much damped step is short for that reason.
const UNDAMPED: f64 = 1e-6;

/// A model whose parameters are sought by least squares.
pub trait LeastSquares {
    /// Number of observations.
    fn observations(&self) -> usize;
    /// Number of parameters.
    fn parameters(&self) -> usize;
    /// Observed less predicted for one observation; writes the derivatives of the *prediction* in every
    /// parameter to `gradient`, which holds as many zeros.
    fn residual(&self, index: usize, parameters: &[f64], gradient: &mut [f64]) -> f64;
}

/// Parameters found by least squares.
#[derive(Clone, Debug, PartialEq)]
pub struct LeastSquaresFit {
    /// The parameters.
    pub parameters: Vec<f64>,
    /// Their covariance by linearisation, `s² (JᵀJ)⁻¹` with `s² = squares / freedom` (JCGM 100, H.3);
    /// none where the data leave a direction open or no freedom is left.
    pub covariance: Option<Vec<Vec<f64>>>,
    /// Sum of squared residuals.
    pub squares: f64,
    /// Observations less parameters.
    pub freedom: usize,
    /// How the solve ended.
    pub status: SolveStatus,
    /// Damped steps taken, without the last refinements.
    pub iterations: usize,
}

impl LeastSquaresFit {
    /// Standard error of each parameter, where there is a covariance.
    #[must_use]
    pub fn standard_errors(&self) -> Option<Vec<f64>> {
        let covariance = self.covariance.as_ref()?;
        Some(
            (0..covariance.len())
                .map(|i| covariance[i][i].sqrt())
                .collect(),
        )
    }

    /// Residual standard deviation, `√(squares / freedom)`; not finite without freedom.
    #[must_use]
    pub fn residual_deviation(&self) -> f64 {
        (self.squares / self.freedom as f64).sqrt()
    }

    /// Standard uncertainty of `Σ gradientᵢ · parameterᵢ`, covariance included (JCGM 100, equation 13).
    #[must_use]
    pub fn uncertainty_of(&self, gradient: &[f64]) -> Option<f64> {
        let covariance = self.covariance.as_ref()?;
        let mut variance = 0.0;
        for (row, a) in covariance.iter().zip(gradient) {
            for (entry, b) in row.iter().zip(gradient) {
                variance += a * entry * b;
            }
        }
        Some(variance.sqrt())
    }
}

/// Finds the parameters with the least sum of squared residuals near `start`.
///
/// A start with residuals that are no numbers ends at once as stalled.
///
/// # Panics
/// If `start` does not hold `model.parameters()` numbers.
#[must_use]
pub fn least_squares(model: &impl LeastSquares, start: &[f64]) -> LeastSquaresFit {
    assert_eq!(
        start.len(),
        model.parameters(),
        "a start holds one number for each parameter"
    );
    let problem = Model(model);
    let mut ended = descend(&problem, start.to_vec(), FIRST_DAMPING, MOST_ITERATIONS);
    problem.refine(&mut ended);
    let freedom = model.observations().saturating_sub(model.parameters());
    LeastSquaresFit {
        covariance: covariance(&problem.lines(&ended.place), ended.objective, freedom),
        parameters: ended.place,
        squares: ended.objective,
        freedom,
        status: ended.status,
        iterations: ended.iterations,
    }
}

struct Model<'a, M>(&'a M);

impl<M: LeastSquares> Model<'_, M> {
    /// Takes undamped steps for as long as they shrink. Near the minimum a large sum of squares hides
    /// what a step gains; the steps themselves still tell how far the minimum is.
    fn refine(&self, ended: &mut Ended<Vec<f64>>) {
        let mut before = f64::INFINITY;
        for _ in 0..MOST_REFINEMENTS {
            let lines = self.lines(&ended.place);
            let Some(place) = self.step(&ended.place, &lines, 0.0) else {
                return;
            };
            let moved = ended.place.iter().zip(&place).zip(&lines.lengths);
            let length: f64 = moved.map(|((a, b), l)| ((b - a) * l).powi(2)).sum();
            let objective = self.objective(&place);
            // False for what is no number.
            let no_worse = objective <= ended.objective * (1.0 + ROUNDING);
            if !(no_worse && length < 0.25 * before) {
                return;
            }
            before = length;
            ended.place = place;
            ended.objective = objective;
        }
    }
}

/// Derivatives with their columns scaled to length 1, and the residuals.
struct Lines {
    scaled: DMatrix<f64>,
    lengths: Vec<f64>,
    residuals: DVector<f64>,
}

impl<M: LeastSquares> Descent for Model<'_, M> {
    type Place = Vec<f64>;
    type Lines = Lines;

    fn objective(&self, place: &Vec<f64>) -> f64 {
        let mut gradient = vec![0.0; place.len()];
        (0..self.0.observations())
            .map(|index| {
                gradient.fill(0.0);
                self.0.residual(index, place, &mut gradient).powi(2)
            })
            .sum()
    }

    fn lines(&self, place: &Vec<f64>) -> Lines {
        let (rows, columns) = (self.0.observations(), place.len());
        let mut scaled = DMatrix::zeros(rows, columns);
        let mut residuals = DVector::zeros(rows);
        let mut gradient = vec![0.0; columns];
        for row in 0..rows {
            gradient.fill(0.0);
            residuals[row] = self.0.residual(row, place, &mut gradient);
            for (column, value) in gradient.iter().enumerate() {
                scaled[(row, column)] = *value;
            }
        }
        let lengths: Vec<f64> = scaled
            .column_iter()
            .map(|column| Some(column.norm()).filter(|l| *l > 0.0).unwrap_or(1.0))
            .collect();
        for (mut column, length) in scaled.column_iter_mut().zip(&lengths) {
            column /= *length;
        }
        Lines {
            scaled,
            lengths,
            residuals,
        }
    }

    fn is_negligible(&self, step: &Step<'_, Vec<f64>>) -> bool {
        let still = |(from, to): (&f64, &f64)| (to - from).abs() <= LEAST_MOVE * to.abs();
        step.damping <= UNDAMPED && step.from.iter().zip(step.to).all(still)
    }

    fn step(&self, place: &Vec<f64>, lines: &Lines, damping: f64) -> Option<Vec<f64>> {
        let (rows, columns) = lines.scaled.shape();
        let damped = if damping > 0.0 { columns } else { 0 };
        let mut stacked = DMatrix::zeros(rows + damped, columns);
        stacked.rows_mut(0, rows).copy_from(&lines.scaled);
        for column in 0..damped {
            stacked[(rows + column, column)] = damping.sqrt();
        }
        let mut right = DVector::zeros(rows + damped);
        right.rows_mut(0, rows).copy_from(&lines.residuals);
        if rows + damped < columns {
            return None;
        }
        let factors = stacked.qr();
        factors.q_tr_mul(&mut right);
        let triangle = factors.unpack_r();
        let mut step = right.rows(0, columns).into_owned();
        if !triangle.solve_upper_triangular_mut(&mut step) {
            return None;
        }
        let moved = place.iter().zip(step.iter()).zip(&lines.lengths);
        Some(
            moved
                .map(|((at, step), length)| at + step / length)
                .collect(),
        )
    }
}

fn covariance(lines: &Lines, squares: f64, freedom: usize) -> Option<Vec<Vec<f64>>> {
    let columns = lines.lengths.len();
    if freedom == 0 || lines.scaled.iter().any(|value| !value.is_finite()) {
        return None;
    }
    let triangle = lines.scaled.clone().qr().unpack_r();
    let diagonal = triangle.diagonal().abs();
    if diagonal.min() <= RANK * diagonal.max() {
        return None;
    }
    let mut inverse = DMatrix::identity(columns, columns);
    if !triangle.solve_upper_triangular_mut(&mut inverse) {
        return None;
    }
    let variance = squares / freedom as f64;
    let product = &inverse * inverse.transpose();
    let entry =
        |i: usize, j: usize| variance * product[(i, j)] / (lines.lengths[i] * lines.lengths[j]);
    Some(
        (0..columns)
            .map(|i| (0..columns).map(|j| entry(i, j)).collect())
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Observed less `b0 + b1 x` through points on a line.
    struct Line<'a>(&'a [(f64, f64)]);

    impl LeastSquares for Line<'_> {
        fn observations(&self) -> usize {
            self.0.len()
        }
        fn parameters(&self) -> usize {
            2
        }
        fn residual(&self, index: usize, parameters: &[f64], gradient: &mut [f64]) -> f64 {
            let (x, y) = self.0[index];
            gradient.copy_from_slice(&[1.0, x]);
            y - parameters[0] - parameters[1] * x
        }
    }

    #[test]
    fn what_the_data_leave_open_has_no_covariance() {
        let at_one_place = least_squares(&Line(&[(2.0, 1.0), (2.0, 3.0), (2.0, 2.0)]), &[0.0, 0.0]);
        assert_eq!(at_one_place.covariance, None);
        let exact = least_squares(&Line(&[(0.0, 1.0), (1.0, 3.0)]), &[0.0, 0.0]);
        assert_eq!(exact.covariance, None, "no freedom is left");
        assert!((exact.parameters[1] - 2.0).abs() < 1e-12);
    }

    #[test]
    fn what_is_no_number_stalls() {
        let found = least_squares(
            &Line(&[(f64::NAN, 1.0), (1.0, 3.0), (2.0, 3.0)]),
            &[0.0, 0.0],
        );
        assert_eq!(found.status, SolveStatus::Stalled);
        assert_eq!(found.covariance, None);
    }
}
