//! A bench on which a seating changed and nobody wrote it down.

use evenhand_measurement::Measurement;
use rand_chacha::ChaCha8Rng;

use super::bench::{Bench, Reading, measurement, sample};
use super::truth::Truth;

const HOW: Reading = Reading {
    step: 1e-4,
    scatters_at_limits: false,
};

/// Two passes up the same ladder, half a step apart, the second with a gain of its own that the
/// measurement does not declare.
pub(crate) fn two_passes(
    truth: &Truth,
    half: usize,
    gain: f64,
    random: &mut ChaCha8Rng,
) -> Measurement {
    let bench = Bench::new(random);
    let samples = (0..2 * half).map(|index| {
        let (pass, at) = (index / half, index % half);
        let part = (at as f64 + 0.25 + 0.5 * pass as f64) / half as f64;
        let force = 1.15 * truth.saturation * part;
        let gain = if pass == 0 { 1.0 } else { gain };
        let reading = bench.read(truth, force * gain, HOW, random);
        sample(index, force, reading, 0)
    });
    let samples = samples.collect();
    measurement(samples, 1)
}
