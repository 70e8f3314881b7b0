//! Responses of kinds that no family of the model has, and readings that scatter in four ways.

use evenhand_measurement::Measurement;
use rand::Rng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal, StudentT};

use super::bench::{measurement, sample};
use super::truth::Truth;

/// A kind of response.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Plain,
    SteepKnee,
    FlatKnee,
    GentleStart,
    NearlyDead,
    GentleBothEnds,
    FlatEnd,
    Stairs,
}

impl Kind {
    pub(crate) const ALL: [Self; 8] = [
        Self::Plain,
        Self::SteepKnee,
        Self::FlatKnee,
        Self::GentleStart,
        Self::NearlyDead,
        Self::GentleBothEnds,
        Self::FlatEnd,
        Self::Stairs,
    ];

    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Plain => "plain rise",
            Self::SteepKnee => "knee, steep first",
            Self::FlatKnee => "knee, flat first",
            Self::GentleStart => "gentle start",
            Self::NearlyDead => "nearly dead, then steep",
            Self::GentleBothEnds => "gentle at both ends",
            Self::FlatEnd => "flat end",
            Self::Stairs => "stairs",
        }
    }

    /// Draws a response of this kind: onset 3 to 30 gf, span 120 to 700 gf.
    pub(crate) fn draw(self, random: &mut ChaCha8Rng) -> Truth {
        let onset = random.random_range(3.0..30.0);
        let span = random.random_range(120.0_f64.ln()..700.0_f64.ln()).exp();
        let mut between = |low: f64, high: f64| random.random_range(low..high);
        let shape: Box<dyn Fn(f64) -> f64> = match self {
            Self::Plain => {
                let (part, power, rate) =
                    (between(0.3, 1.0), between(0.75, 1.3), between(0.5, 2.0));
                Box::new(move |z| {
                    let bent = (1.0 - (-rate * z).exp()) / (1.0 - (-rate).exp());
                    part * z.powf(power) + (1.0 - part) * bent
                })
            }
            Self::SteepKnee => {
                rounded_knee(between(0.12, 0.35), between(0.5, 0.8), between(0.01, 0.04))
            }
            Self::FlatKnee => {
                rounded_knee(between(0.5, 0.8), between(0.15, 0.35), between(0.01, 0.04))
            }
            Self::GentleStart => {
                let (power, bend) = (between(1.5, 2.3), between(0.0, 0.8));
                Box::new(move |z| (1.0 + bend) * z.powf(power) / (1.0 + bend * z.powf(power)))
            }
            Self::NearlyDead => {
                let (until, little, power) = (
                    between(0.12, 0.3),
                    between(0.003, 0.015),
                    between(0.75, 1.2),
                );
                Box::new(move |z| {
                    if z < until {
                        little * z / until
                    } else {
                        little + (1.0 - little) * ((z - until) / (1.0 - until)).powf(power)
                    }
                })
            }
            Self::GentleBothEnds => {
                let (rise, end) = (between(1.4, 2.2), between(1.4, 2.2));
                Box::new(move |z| z.powf(rise) / (z.powf(rise) + (1.0 - z).powf(end)))
            }
            Self::FlatEnd => {
                let (end, power) = (between(1.6, 2.6), between(0.8, 1.1));
                Box::new(move |z| (1.0 - (1.0 - z).powf(end)).powf(power))
            }
            Self::Stairs => {
                let steps: Vec<f64> = (0..6).map(|_| between(0.25, 2.0)).collect();
                let whole: f64 = steps.iter().sum();
                Box::new(move |z| {
                    let at = z * steps.len() as f64;
                    let rise = steps.iter().enumerate();
                    rise.map(|(i, s)| s * (at - i as f64).clamp(0.0, 1.0))
                        .sum::<f64>()
                        / whole
                })
            }
        };
        Truth::of(onset, onset + span, shape)
    }
}

/// Two straight pieces that meet at a place and height, the corner rounded over `width` of the span.
fn rounded_knee(place: f64, height: f64, width: f64) -> Box<dyn Fn(f64) -> f64> {
    let (first, second) = (height / place, (1.0 - height) / (1.0 - place));
    // The integral of a slope that goes from one to the other like a logistic curve.
    let rise = move |z: f64| {
        let softplus = |u: f64| u.max(0.0) + (-u.abs()).exp().ln_1p();
        first * z + (second - first) * width * softplus((z - place) / width)
    };
    let (zero, one) = (rise(0.0), rise(1.0));
    Box::new(move |z| (rise(z) - zero) / (one - zero))
}

/// How readings scatter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Scatter {
    Even,
    Growing,
    Hardly,
    HeavyTailed,
}

impl Scatter {
    pub(crate) const ALL: [Self; 4] = [Self::Even, Self::Growing, Self::Hardly, Self::HeavyTailed];

    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Even => "even",
            Self::Growing => "growing",
            Self::Hardly => "hardly any",
            Self::HeavyTailed => "heavy-tailed",
        }
    }

    fn draw(self, reading: f64, random: &mut ChaCha8Rng) -> f64 {
        let unit: f64 = random.sample(StandardNormal);
        match self {
            Self::Even => 0.004 * unit,
            Self::Growing => (0.001 + 0.008 * reading) * unit,
            Self::Hardly => 0.0005 * unit,
            Self::HeavyTailed => 0.003 * StudentT::new(3.0).map_or(unit, |law| law.sample(random)),
        }
    }
}

/// A bench in one seating, or in two by turns.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Setup {
    pub(crate) kind: Kind,
    pub(crate) scatter: Scatter,
    pub(crate) samples: usize,
}

impl Setup {
    /// Measures a response: a jittered ladder from near zero to beyond saturation; the bench errs by a gain of
    /// 0.3 %, each force by 0.4 gf and 0.2 %. Readings are rounded to 0.01 % and do not scatter at the limits.
    /// `gains` are those of the mountings, one after the other; they are declared as seatings where `declared`.
    pub(crate) fn measure(
        self,
        truth: &Truth,
        gains: &[f64],
        declared: bool,
        random: &mut ChaCha8Rng,
    ) -> Measurement {
        let mut normal = |spread: f64| spread * random.sample::<f64, _>(StandardNormal);
        let bench = 1.0 + normal(0.003);
        let top = truth.saturation * (1.17 + normal(0.05).clamp(-0.1, 0.1));
        let power = if self.samples.is_multiple_of(2) {
            1.0
        } else {
            1.5
        };
        let own = self.samples / gains.len();
        let samples = (0..own * gains.len()).map(|index| {
            let (mounting, at) = (index / own, index % own);
            let offset = (mounting as f64 + 0.5) / gains.len() as f64;
            let jitter = random.random_range(-0.2..0.2);
            let force = top * ((at as f64 + offset + jitter).max(0.05) / own as f64).powf(power);
            let mut normal = |spread: f64| spread * random.sample::<f64, _>(StandardNormal);
            let placed = force * gains[mounting] * bench * (1.0 + normal(0.002)) + normal(0.4);
            let latent = truth.reading(placed);
            let reading = if latent <= 0.0 || latent >= 1.0 {
                latent
            } else {
                latent + self.scatter.draw(latent, random)
            };
            let reading = ((1e4 * reading).round() / 1e4).clamp(0.0, 1.0);
            let force = (100.0 * force).round() / 100.0;
            sample(index, force, reading, if declared { mounting } else { 0 })
        });
        let samples = samples.collect();
        measurement(samples, if declared { gains.len() as i64 } else { 1 })
    }
}
