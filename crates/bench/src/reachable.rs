//! Forces that the masses at hand can make.

use std::collections::BTreeMap;

use crate::placement::{Hung, Placement};
use crate::rig::Rig;

/// Sums beyond this many are not looked at; single masses come first.
const MOST_SUMS: usize = 20_000;

/// A force with what to hang for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Reachable {
    /// The force, gf.
    pub force_gf: f64,
    /// Masses at the pan, g, the largest first; none where the beam alone presses.
    pub masses_g: Vec<f64>,
}

impl Reachable {
    /// As a placement is written.
    #[must_use]
    pub fn written(&self) -> String {
        if self.masses_g.is_empty() {
            return "0".to_owned();
        }
        let words: Vec<String> = self.masses_g.iter().map(f64::to_string).collect();
        words.join("+")
    }
}

/// Every force up to `limit_gf` that sums of the lever's masses make at the pan, each with the fewest masses,
/// ascending; forces below 0 are left out.
#[must_use]
pub fn reachable(rig: &Rig, limit_gf: f64) -> Vec<Reachable> {
    let Some(lever) = &rig.lever else {
        return Vec::new();
    };
    let mut masses = lever.masses_g.clone();
    masses.sort_by(|a, b| b.total_cmp(a));
    // Sums in whole milligrams, each with the fewest masses.
    let mut sums: BTreeMap<u64, Vec<f64>> = BTreeMap::from([(0, Vec::new())]);
    for mass in masses {
        let known: Vec<(u64, Vec<f64>)> =
            sums.iter().map(|(sum, own)| (*sum, own.clone())).collect();
        for (sum, mut own) in known {
            if sums.len() >= MOST_SUMS {
                break;
            }
            own.push(mass);
            let next = sum + milligrams(mass);
            let slot = sums.entry(next).or_insert_with(|| own.clone());
            if own.len() < slot.len() {
                *slot = own;
            }
        }
    }
    let mut found: Vec<Reachable> = sums
        .into_values()
        .map(|masses_g| {
            let hung = masses_g.iter().map(|mass_g| Hung {
                mass_g: *mass_g,
                arm_mm: None,
            });
            Reachable {
                force_gf: rig.force(&Placement::Masses(hung.collect())).value,
                masses_g,
            }
        })
        .filter(|one| one.force_gf >= 0.0 && one.force_gf <= limit_gf)
        .collect();
    found.sort_by(|a, b| a.force_gf.total_cmp(&b.force_gf));
    found
}

/// Whole gf up to the limit, where masses are not known; no more than any bench needs.
#[must_use]
pub fn whole_gf(limit_gf: f64) -> Vec<Reachable> {
    const MOST: f64 = 20_000.0;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "not below 0 and limited; no number becomes 0"
    )]
    let last = limit_gf.clamp(0.0, MOST) as u32;
    (0..=last)
        .map(|force| Reachable {
            force_gf: f64::from(force),
            masses_g: Vec::new(),
        })
        .collect()
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "masses are above 0 and far below 2⁵³ mg"
)]
fn milligrams(grams: f64) -> u64 {
    (1000.0 * grams).round() as u64
}
