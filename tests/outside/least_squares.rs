//! Models in closed form, solved by the damped steps that every fit of a response takes; each step by Householder
//! reflections.

use evenhand_fitting::{Descent, DescentResult, SolveStatus, Step, descend};
use nalgebra::{DMatrix, DVector};

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
pub(crate) trait LeastSquares {
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
pub(crate) struct LeastSquaresFit {
    /// The parameters.
    pub(crate) parameters: Vec<f64>,
    /// Sum of squared residuals.
    pub(crate) squares: f64,
    /// How the solve ended.
    pub(crate) status: SolveStatus,
}

/// Finds the parameters with the least sum of squared residuals near `start`.
///
pub(crate) fn least_squares(model: &impl LeastSquares, start: &[f64]) -> LeastSquaresFit {
    assert_eq!(
        start.len(),
        model.parameters(),
        "a start holds one number for each parameter"
    );
    let problem = Model(model);
    let mut ended = descend(&problem, start.to_vec(), FIRST_DAMPING, MOST_ITERATIONS);
    problem.refine(&mut ended);
    LeastSquaresFit {
        parameters: ended.point,
        squares: ended.objective,
        status: ended.status,
    }
}

struct Model<'a, M>(&'a M);

impl<M: LeastSquares> Model<'_, M> {
    /// Takes undamped steps for as long as they shrink. Near the minimum a large sum of squares hides
    /// what a step gains; the steps themselves still tell how far the minimum is.
    fn refine(&self, ended: &mut DescentResult<Vec<f64>>) {
        let mut before = f64::INFINITY;
        for _ in 0..MOST_REFINEMENTS {
            let lines = self.lines(&ended.point);
            let Some(point) = self.step(&ended.point, &lines, 0.0) else {
                return;
            };
            let moved = ended.point.iter().zip(&point).zip(&lines.lengths);
            let length: f64 = moved.map(|((a, b), l)| ((b - a) * l).powi(2)).sum();
            let objective = self.objective(&point);
            // False for what is no number.
            let no_worse = objective <= ended.objective * (1.0 + ROUNDING);
            if !(no_worse && length < 0.25 * before) {
                return;
            }
            before = length;
            ended.point = point;
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
    type Point = Vec<f64>;
    type Lines = Lines;

    fn objective(&self, point: &Vec<f64>) -> f64 {
        let mut gradient = vec![0.0; point.len()];
        (0..self.0.observations())
            .map(|index| {
                gradient.fill(0.0);
                self.0.residual(index, point, &mut gradient).powi(2)
            })
            .sum()
    }

    fn lines(&self, point: &Vec<f64>) -> Lines {
        let (rows, columns) = (self.0.observations(), point.len());
        let mut scaled = DMatrix::zeros(rows, columns);
        let mut residuals = DVector::zeros(rows);
        let mut gradient = vec![0.0; columns];
        for row in 0..rows {
            gradient.fill(0.0);
            residuals[row] = self.0.residual(row, point, &mut gradient);
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

    fn step(&self, point: &Vec<f64>, lines: &Lines, damping: f64) -> Option<Vec<f64>> {
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
        let moved = point.iter().zip(step.iter()).zip(&lines.lengths);
        Some(
            moved
                .map(|((at, step), length)| at + step / length)
                .collect(),
        )
    }
}
