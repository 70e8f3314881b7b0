//! Forces that a bench can make.

use std::collections::BTreeMap;

use evenhand_measurement::ForceBudget;

use crate::budget::{Budget, force_budget};
use crate::load::{Load, MOST_MASSES};
use crate::rig::{Rig, RigKind};

/// Sums of masses that are told apart, up to the limit: of those that are nearer to each other the one of the
/// fewest masses stands for all.
const CELLS: f64 = 20_000.0;
/// More whole gf than any bench needs.
const MOST_WHOLE: f64 = 20_000.0;
/// Shown on a scale or gauge, gf, for what their budget is.
const USUAL_GF: [f64; 4] = [10.0, 50.0, 200.0, 1000.0];

/// How a force is made.
#[derive(Clone, Debug, PartialEq)]
pub enum LoadRecipe {
    /// By what the person has; nothing is known of it.
    Free,
    /// By masses at the pan, g, the largest first; none where the beam alone presses.
    Masses(Vec<f64>),
    /// By pressing until a scale shows so many g.
    Scale {
        /// What it shows.
        shown_g: f64,
        /// Digits after the point.
        decimals: usize,
    },
    /// By pressing until a gauge shows so many N.
    Gauge {
        /// What it shows.
        shown_n: f64,
        /// Digits after the point.
        decimals: usize,
    },
}

/// A force with how it is made.
#[derive(Clone, Debug, PartialEq)]
pub struct AvailableForce {
    /// The force, gf.
    pub force_gf: f64,
    /// How it is made.
    pub recipe: LoadRecipe,
}

impl LoadRecipe {
    /// As a placement is written; `None` where nothing is known of it.
    #[must_use]
    pub fn written(&self) -> Option<String> {
        match self {
            Self::Free => None,
            Self::Masses(masses) if masses.is_empty() => Some("0".to_owned()),
            Self::Masses(masses) => {
                let words: Vec<String> = masses.iter().map(f64::to_string).collect();
                Some(words.join("+"))
            }
            Self::Scale { shown_g, decimals } => Some(format!("{shown_g:.decimals$}")),
            Self::Gauge { shown_n, decimals } => Some(format!("{shown_n:.decimals$}")),
        }
    }

    /// What to do for it, such as `hang 100+20 g`; `None` where nothing is known of it.
    #[must_use]
    pub fn in_words(&self) -> Option<String> {
        let written = self.written()?;
        Some(match self {
            Self::Free => return None,
            Self::Masses(masses) if masses.is_empty() => "hang nothing: the beam alone".to_owned(),
            Self::Masses(_) => format!("hang {written} g"),
            Self::Scale { .. } => format!("press until the scale shows {written} g"),
            Self::Gauge { .. } => format!("press until the gauge shows {written} N"),
        })
    }
}

/// Every force from 0 up to `limit_gf` that a bench can make, ascending: of a lever by sums of its masses at the pan,
/// each with the fewest masses; of a scale or gauge whole gf as near as its steps allow; whole gf where no bench is
/// given.
#[must_use]
pub fn available_forces(rig: Option<&Rig>, limit_gf: f64) -> Vec<AvailableForce> {
    let free = |force_gf| AvailableForce {
        force_gf,
        recipe: LoadRecipe::Free,
    };
    let mut found = match rig {
        None => whole_gf(limit_gf).map(free).collect(),
        Some(rig) => match &rig.kind {
            RigKind::Lever(lever) => by_masses(rig, &lever.masses_g, limit_gf),
            RigKind::Scale(scale) => shown(rig, scale.step_g, limit_gf),
            RigKind::Gauge(gauge) => shown(rig, gauge.step_n, limit_gf),
        },
    };
    found.retain(|one| one.force_gf >= 0.0 && one.force_gf <= limit_gf);
    found.sort_by(|a, b| a.force_gf.total_cmp(&b.force_gf));
    found.dedup_by(|a, b| a.force_gf.total_cmp(&b.force_gf).is_eq());
    found
}

/// The one of `forces` that is nearest to a force.
#[must_use]
pub fn nearest_available(forces: &[AvailableForce], force_gf: f64) -> Option<&AvailableForce> {
    let off = |one: &&AvailableForce| (one.force_gf - force_gf).abs();
    forces.iter().min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// The force of a load, gf; 0 of one that the rig cannot take.
fn force_of(load: Option<Load<'_>>) -> f64 {
    load.map_or(0.0, |load| load.force().value)
}

fn by_masses(rig: &Rig, masses_g: &[f64], limit_gf: f64) -> Vec<AvailableForce> {
    let force = |masses: &[f64]| force_of(rig.at_pan(masses));
    // Straight in the mass: from the beam alone and one gram.
    let beam_gf = force(&[]);
    let a_gram_gf = force(&[1.0]) - beam_gf;
    let all_g: f64 = masses_g.iter().sum();
    let most_g = ((limit_gf - beam_gf) / a_gram_gf).min(all_g);
    if !(a_gram_gf > 0.0 && most_g >= 0.0) {
        return vec![AvailableForce {
            force_gf: beam_gf,
            recipe: LoadRecipe::Masses(Vec::new()),
        }];
    }
    let milligram = 1e-3;
    let cell_g = (most_g / CELLS).max(milligram);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "not below 0, and no more than the number of cells"
    )]
    let cell = |sum_g: f64| (sum_g / cell_g).round() as u64;
    let mut masses = masses_g.to_vec();
    masses.sort_by(|a, b| b.total_cmp(a));
    let mut sums: BTreeMap<u64, (f64, Vec<f64>)> = BTreeMap::from([(0, (0.0, Vec::new()))]);
    for mass in masses {
        // Each mass hangs once: sums that hold it already are not looked at again.
        let mut better = Vec::new();
        for (sum_g, own) in sums.values() {
            let next_g = sum_g + mass;
            if next_g > most_g + milligram || own.len() == MOST_MASSES {
                continue;
            }
            let is_fewer = sums
                .get(&cell(next_g))
                .is_none_or(|(_, known)| own.len() + 1 < known.len());
            if is_fewer {
                let mut own = own.clone();
                own.push(mass);
                better.push((next_g, own));
            }
        }
        for (sum_g, own) in better {
            match sums.entry(cell(sum_g)) {
                std::collections::btree_map::Entry::Vacant(slot) => {
                    slot.insert((sum_g, own));
                }
                std::collections::btree_map::Entry::Occupied(mut slot) => {
                    if own.len() < slot.get().1.len() {
                        slot.insert((sum_g, own));
                    }
                }
            }
        }
    }
    sums.into_values()
        .map(|(_, masses)| AvailableForce {
            force_gf: force(&masses),
            recipe: LoadRecipe::Masses(masses),
        })
        .collect()
}

fn shown(rig: &Rig, step: f64, limit_gf: f64) -> Vec<AvailableForce> {
    let force = |shown: f64| force_of(rig.showing(shown));
    // Straight through 0 in what is shown.
    let of_one = force(1.0);
    let is_gauge = matches!(rig.kind, RigKind::Gauge(_));
    let (step, decimals) = match (step > 0.0, is_gauge) {
        (true, _) => (step, decimals_of(step)),
        (false, false) => (0.01, 2),
        (false, true) => (0.0001, 4),
    };
    whole_gf(limit_gf)
        .map(|wanted_gf| {
            let shown = (wanted_gf / of_one / step).round() * step;
            AvailableForce {
                force_gf: force(shown),
                recipe: if is_gauge {
                    LoadRecipe::Gauge {
                        shown_n: shown,
                        decimals,
                    }
                } else {
                    LoadRecipe::Scale {
                        shown_g: shown,
                        decimals,
                    }
                },
            }
        })
        .collect()
}

/// Digits after the point that a step needs.
fn decimals_of(step: f64) -> usize {
    const MOST: usize = 6;
    (0..MOST)
        .find(|digits| {
            let written = format!("{step:.digits$}");
            let read: f64 = written.parse().unwrap_or(0.0);
            (read - step).abs() < 1e-6 * step
        })
        .unwrap_or(MOST)
}

/// Whole gf from 0 to the limit.
fn whole_gf(limit_gf: f64) -> impl Iterator<Item = f64> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "not below 0 and limited; no number becomes 0"
    )]
    let last = limit_gf.clamp(0.0, MOST_WHOLE) as u32;
    (0..=last).map(f64::from)
}

impl Rig {
    /// What its budgets say of a whole measurement, before it is known what will be placed: of a lever from all that
    /// its masses make, of a scale or gauge from 10 gf to 1 kgf.
    #[must_use]
    pub fn usual_budget(&self) -> ForceBudget {
        let budgets: Vec<Budget> = if self.lever().is_some() {
            available_forces(Some(self), f64::INFINITY)
                .iter()
                .filter_map(|one| match &one.recipe {
                    LoadRecipe::Masses(masses) => Some(self.at_pan(masses)?.force()),
                    _ => None,
                })
                .collect()
        } else {
            let of_one = force_of(self.showing(1.0));
            USUAL_GF
                .iter()
                .filter_map(|force_gf| Some(self.showing(force_gf / of_one)?.force()))
                .collect()
        };
        force_budget(&budgets)
    }
}
