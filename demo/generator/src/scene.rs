//! Saltmarsh Print Studio lends styluses to visiting illustrators and measures them between visits.

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

use crate::file::{Heading, Row, decimal_comma_csv, output_csv, percent_csv, raw_csv, toml};
use crate::page::page;
use crate::stylus::Stylus;

/// The one seed of the demo.
const SEED: u64 = 20_260_302;

pub(crate) const DUNLIN: Stylus = Stylus {
    onset_gf: 4.0,
    saturation_gf: 168.0,
    logarithmic: 0.55,
    bend: 14.0,
    exponent: 0.8,
};
pub(crate) const AVOCET: Stylus = Stylus {
    onset_gf: 9.0,
    saturation_gf: 305.0,
    logarithmic: 0.35,
    bend: 8.0,
    exponent: 1.0,
};
pub(crate) const GODWIT: Stylus = Stylus {
    onset_gf: 12.0,
    saturation_gf: 560.0,
    logarithmic: 0.6,
    bend: 20.0,
    exponent: 1.2,
};
pub(crate) const CURLEW: Stylus = Stylus {
    onset_gf: 3.0,
    saturation_gf: 830.0,
    logarithmic: 0.8,
    bend: 30.0,
    exponent: 0.7,
};

/// Every file of the demo: name and text.
pub(crate) fn files() -> Vec<(&'static str, String)> {
    let below_200 = [
        0, 2, 4, 6, 8, 10, 13, 16, 20, 25, 30, 36, 43, 50, 58, 67, 76, 86, 96, 106, 116, 126, 136,
        146, 154, 162, 170, 180, 195,
    ];
    let from_200_to_400 = [
        0, 5, 8, 10, 12, 15, 20, 27, 35, 45, 60, 75, 90, 110, 130, 150, 170, 190, 210, 230, 250,
        265, 280, 290, 300, 310, 330,
    ];
    let from_400_to_700 = [
        0, 5, 10, 14, 18, 24, 32, 45, 60, 80, 105, 135, 170, 210, 250, 300, 350, 400, 450, 500,
        530, 560, 590, 620,
    ];
    let above_700 = [
        0, 2, 4, 7, 12, 20, 32, 48, 70, 100, 140, 190, 250, 320, 400, 480, 560, 640, 710, 770, 810,
        840, 870, 900,
    ];
    let mut bench = Bench {
        random: ChaCha8Rng::seed_from_u64(SEED),
    };
    let heading = |model, unit, date, story| Heading {
        model,
        unit,
        date,
        story,
        bench: None,
    };
    vec![
        (
            "dunlin-01.csv",
            percent_csv(
                &heading(
                    "Dunlin",
                    "01",
                    "2026-03-02",
                    "The studio's lightest stylus: full at a touch, so shading runs out of room.",
                ),
                &bench.rows(&DUNLIN, &below_200, &[1.0]),
            ),
        ),
        (
            "dunlin-02.csv",
            percent_csv(
                &heading(
                    "Dunlin",
                    "02",
                    "2026-03-02",
                    "A second Dunlin from the same box, a little stiffer.",
                ),
                &bench.rows(
                    &Stylus {
                        saturation_gf: 181.0,
                        onset_gf: 5.5,
                        ..DUNLIN
                    },
                    &below_200,
                    &[1.0],
                ),
            ),
        ),
        (
            "dunlin-03.toml",
            toml(
                &heading(
                    "Dunlin",
                    "03",
                    "2026-03-03",
                    "A third Dunlin, measured twice because the lever was knocked.",
                ),
                &bench.rows(
                    &Stylus {
                        saturation_gf: 161.0,
                        onset_gf: 3.2,
                        ..DUNLIN
                    },
                    &below_200,
                    &[1.0, 1.02],
                ),
            ),
        ),
        (
            "avocet-01.csv",
            decimal_comma_csv(
                &heading(
                    "Avocet",
                    "01",
                    "2026-03-04",
                    "A visitor's Avocet, noted by hand with decimal commas and loose masses.",
                ),
                &bench.rows(&AVOCET, &from_200_to_400, &[1.0]),
            ),
        ),
        (
            "avocet-02.csv",
            percent_csv(
                &heading(
                    "Avocet",
                    "02",
                    "2026-03-04",
                    "The studio's own Avocet, worn by two winters of hatching.",
                ),
                &bench.rows(
                    &Stylus {
                        saturation_gf: 288.0,
                        exponent: 0.9,
                        ..AVOCET
                    },
                    &from_200_to_400,
                    &[1.0],
                ),
            ),
        ),
        (
            "godwit-01.toml",
            toml(
                &heading(
                    "Godwit",
                    "01",
                    "2026-03-05",
                    "A firm stylus for firm hands, over two seatings.",
                ),
                &bench.rows(&GODWIT, &from_400_to_700, &[1.0, 0.985]),
            ),
        ),
        (
            "curlew-01.csv",
            raw_csv(
                &heading(
                    "Curlew",
                    "01",
                    "2026-03-06",
                    "The widest range in the house, logged as raw counts.",
                ),
                8192,
                &bench.rows(&CURLEW, &above_700, &[1.0]),
            ),
        ),
        (
            "dunlin-01.checks.csv",
            output_csv(
                &heading(
                    "Dunlin",
                    "01",
                    "2026-03-09",
                    "Dunlin 01 again, behind its map: what the studio's painting corner shows.",
                ),
                &bench.behind_map(&CHECKED),
            ),
        ),
        (
            "grass.inkml",
            page(&DUNLIN, &mut ChaCha8Rng::seed_from_u64(SEED + 1)),
        ),
    ]
}

/// Forces placed again behind the map.
const CHECKED: [u32; 14] = [5, 10, 15, 20, 30, 40, 55, 70, 85, 100, 115, 130, 142, 160];
/// What the map of `dunlin-01.csv` was made for.
const LIGHT_GF: f64 = 8.0;
const FULL_GF: f64 = 150.0;
const CLIMB: f64 = 0.8;

struct Bench {
    random: ChaCha8Rng,
}

impl Bench {
    /// Outputs behind a map that gives what was wanted, in loading order.
    fn behind_map(&mut self, forces: &[u32]) -> Vec<Row> {
        let mut rows = Vec::new();
        for force in forces {
            let force_gf = f64::from(*force);
            let mut noise = || self.random.sample::<f64, _>(StandardNormal);
            let on_the_nib = force_gf * (1.0 + 0.002 * noise()) + 0.3 * noise();
            let part = ((on_the_nib - LIGHT_GF) / (FULL_GF - LIGHT_GF)).clamp(0.0, 1.0);
            let output = part.powf(CLIMB);
            let noisy = if part <= 0.0 || part >= 1.0 {
                output
            } else {
                (output + 0.003 * noise()).clamp(0.0, 1.0)
            };
            rows.push(Row {
                force_gf,
                reading: noisy,
                seating: 1,
            });
        }
        rows
    }

    /// A ladder of forces, once for each seating's gain.
    fn rows(&mut self, stylus: &Stylus, forces: &[u32], gains: &[f64]) -> Vec<Row> {
        let mut rows = Vec::new();
        for (seating, gain) in (1..).zip(gains) {
            for force in forces {
                let force_gf = f64::from(*force);
                let reading = stylus.measured(force_gf, *gain, &mut self.random);
                rows.push(Row {
                    force_gf,
                    reading,
                    seating,
                });
            }
        }
        rows
    }
}
