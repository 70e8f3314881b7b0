//! Linear programs of the walk.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettingsBuilder, DefaultSolver, IPSolver, SolverStatus, SupportedConeT,
};

/// Least last variable under linear conditions.
pub(super) struct Program {
    columns: usize,
    entries: Vec<(usize, usize, f64)>,
    most: Vec<f64>,
}

impl Program {
    pub(super) fn new(columns: usize) -> Self {
        Self {
            columns,
            entries: Vec::new(),
            most: Vec::new(),
        }
    }

    pub(super) fn at_most(&mut self, row: &[f64], most: f64) {
        for (column, value) in row.iter().enumerate() {
            if *value != 0.0 {
                self.entries.push((self.most.len(), column, *value));
            }
        }
        self.most.push(most);
    }

    pub(super) fn least(&self, wanted: usize) -> Option<Vec<f64>> {
        let rows = self.most.len();
        let (i, rest): (Vec<usize>, Vec<(usize, f64)>) =
            self.entries.iter().map(|(i, j, v)| (*i, (*j, *v))).unzip();
        let (j, v): (Vec<usize>, Vec<f64>) = rest.into_iter().unzip();
        let a = CscMatrix::new_from_triplets(rows, self.columns, i, j, v);
        let p = CscMatrix::zeros((self.columns, self.columns));
        let mut q = vec![0.0; self.columns];
        q[self.columns - 1] = 1.0;
        // Any move that is nearly the best will do.
        let settings = DefaultSettingsBuilder::default()
            .verbose(false)
            .max_threads(1)
            .presolve_enable(false)
            .equilibrate_enable(false)
            .iterative_refinement_enable(false)
            .tol_gap_abs(1e-6)
            .tol_gap_rel(1e-3)
            .tol_feas(1e-7)
            .build()
            .ok()?;
        let cones = [SupportedConeT::NonnegativeConeT(rows)];
        let mut solver = DefaultSolver::new(&p, &q, &a, &self.most, &cones, settings).ok()?;
        solver.solve();
        matches!(
            solver.solution.status,
            SolverStatus::Solved | SolverStatus::AlmostSolved | SolverStatus::InsufficientProgress
        )
        .then(|| solver.solution.x[..wanted].to_vec())
        .filter(|moves| moves.iter().all(|m| m.is_finite()))
    }
}
