//! Classes of weights.

/// Accuracy class of a weight after OIML R 111-1:2004.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum MassClass {
    /// Class E2.
    E2,
    /// Class F1.
    F1,
    /// Class F2.
    F2,
    /// Class M1.
    M1,
    /// Class M2.
    M2,
    /// Class M3.
    M3,
}

/// Nominal mass, g, and the largest errors allowed, mg, from E2 to M3 (OIML R 111-1:2004, table 1; 1 to 100 g
/// seen in a reprint, 200 g and more partly from memory).
const LIMITS: [(f64, [f64; 6]); 10] = [
    (1.0, [0.03, 0.10, 0.3, 1.0, 3.0, 10.0]),
    (2.0, [0.04, 0.12, 0.4, 1.2, 4.0, 12.0]),
    (5.0, [0.05, 0.16, 0.5, 1.6, 5.0, 16.0]),
    (10.0, [0.06, 0.20, 0.6, 2.0, 6.0, 20.0]),
    (20.0, [0.08, 0.25, 0.8, 2.5, 8.0, 25.0]),
    (50.0, [0.10, 0.3, 1.0, 3.0, 10.0, 30.0]),
    (100.0, [0.16, 0.5, 1.6, 5.0, 16.0, 50.0]),
    (200.0, [0.3, 1.0, 3.0, 10.0, 30.0, 100.0]),
    (500.0, [0.8, 2.5, 8.0, 25.0, 80.0, 250.0]),
    (1000.0, [1.6, 5.0, 16.0, 50.0, 160.0, 500.0]),
];

impl MassClass {
    /// Every class by its name in files, the best first.
    pub(crate) const NAMES: [(&str, Self); 6] = [
        ("E2", Self::E2),
        ("F1", Self::F1),
        ("F2", Self::F2),
        ("M1", Self::M1),
        ("M2", Self::M2),
        ("M3", Self::M3),
    ];

    /// Largest error allowed for a weight of this nominal mass, g: its own row, else that of the next larger
    /// nominal mass of the table; `None` beyond 1 kg.
    #[must_use]
    pub fn largest_error_g(self, nominal_g: f64) -> Option<f64> {
        let (_, errors) = LIMITS.iter().find(|(mass, _)| nominal_g <= *mass)?;
        Some(1e-3 * errors[self as usize])
    }
}
