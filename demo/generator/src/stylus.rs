//! An invented stylus and the bench it is measured on.

use rand::Rng;
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

/// An invented stylus: output climbs from onset to saturation as a mixture of a logarithm and a power.
#[derive(Clone, Copy)]
pub(crate) struct Stylus {
    pub(crate) onset_gf: f64,
    pub(crate) saturation_gf: f64,
    /// Part of the logarithm in the mixture.
    pub(crate) logarithmic: f64,
    /// How sharply the logarithm bends.
    pub(crate) bend: f64,
    /// Exponent of the power.
    pub(crate) exponent: f64,
}

impl Stylus {
    /// Reading (0..1) at a force, without noise.
    pub(crate) fn reading(&self, force_gf: f64) -> f64 {
        let part = (force_gf - self.onset_gf) / (self.saturation_gf - self.onset_gf);
        let part = part.clamp(0.0, 1.0);
        let logarithm = (1.0 + self.bend * part).ln() / (1.0 + self.bend).ln();
        self.logarithmic * logarithm + (1.0 - self.logarithmic) * part.powf(self.exponent)
    }

    /// What the bench shows when this force is meant to be on the nib.
    pub(crate) fn measured(&self, force_gf: f64, gain: f64, random: &mut ChaCha8Rng) -> f64 {
        let mut noise = || random.sample::<f64, _>(StandardNormal);
        let on_the_nib = force_gf * gain * (1.0 + 0.002 * noise()) + 0.3 * noise();
        let reading = self.reading(on_the_nib);
        // Noise cannot lift a stylus that does not touch, nor lower one at its stop.
        if reading <= 0.0 || reading >= 1.0 {
            reading
        } else {
            (reading + 0.003 * noise()).clamp(0.0, 1.0)
        }
    }
}
