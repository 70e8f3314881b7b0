//! When a reading has settled.

use std::collections::VecDeque;

/// The rule: the last `ticks` readings lie within `within` of their median, and the medians of their first and
/// second half differ by no more than `drift`. Parts of full scale. (Half a second, 0.4 % and 0.1 %: common
/// practice, no source.)
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StableRule {
    /// How many readings.
    pub ticks: usize,
    /// How far each may lie from their median.
    pub within: f64,
    /// How far the halves may differ.
    pub drift: f64,
}

impl Default for StableRule {
    fn default() -> Self {
        Self {
            ticks: 50,
            within: 0.004,
            drift: 0.001,
        }
    }
}

/// A settled reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settled {
    /// Median of the readings, 0..1.
    pub reading: f64,
    /// Their scatter: 1.4826 times the median distance from the median, which is the standard deviation of
    /// normal readings.
    pub scatter: f64,
    /// How many they are.
    pub ticks: usize,
}

/// Watches readings until they settle.
#[derive(Clone, Debug)]
pub struct Watcher {
    rule: StableRule,
    readings: VecDeque<f64>,
}

impl Watcher {
    /// By a rule; fewer than two readings settle nothing, so two are taken.
    #[must_use]
    pub fn new(rule: StableRule) -> Self {
        let rule = StableRule {
            ticks: rule.ticks.max(2),
            ..rule
        };
        Self {
            rule,
            readings: VecDeque::with_capacity(rule.ticks),
        }
    }

    /// Takes a reading, and says whether it has settled. An unknown reading begins anew.
    pub fn push(&mut self, reading: Option<f64>) -> Option<Settled> {
        let Some(reading) = reading.filter(|reading| reading.is_finite()) else {
            self.readings.clear();
            return None;
        };
        if self.readings.len() == self.rule.ticks {
            self.readings.pop_front();
        }
        self.readings.push_back(reading);
        if self.readings.len() < self.rule.ticks {
            return None;
        }
        let all: Vec<f64> = self.readings.iter().copied().collect();
        let middle = median(&all);
        let half = all.len() / 2;
        let drift = (median(&all[..half]) - median(&all[half..])).abs();
        let far = farthest(&all, middle);
        if far > self.rule.within || drift > self.rule.drift {
            return None;
        }
        let off: Vec<f64> = all.iter().map(|r| (r - middle).abs()).collect();
        Some(Settled {
            reading: middle,
            scatter: 1.4826 * median(&off),
            ticks: all.len(),
        })
    }

    /// The rule that it watches by.
    #[must_use]
    pub fn rule(&self) -> StableRule {
        self.rule
    }

    /// How many readings the rule looks at by now.
    #[must_use]
    pub fn ticks(&self) -> usize {
        self.readings.len()
    }

    /// How far the farthest of them lies from their median; `None` before the first.
    #[must_use]
    pub fn spread(&self) -> Option<f64> {
        let all: Vec<f64> = self.readings.iter().copied().collect();
        (!all.is_empty()).then(|| farthest(&all, median(&all)))
    }

    /// The reading now: median of the last few.
    #[must_use]
    pub fn current(&self) -> Option<f64> {
        let last: Vec<f64> = self.readings.iter().rev().take(5).copied().collect();
        (!last.is_empty()).then(|| median(&last))
    }
}

fn farthest(values: &[f64], middle: f64) -> f64 {
    values
        .iter()
        .map(|v| (v - middle).abs())
        .fold(0.0, f64::max)
}

fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let count = sorted.len();
    f64::midpoint(sorted[(count - 1) / 2], sorted[count / 2])
}
