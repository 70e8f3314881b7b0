//! A thousand measurements compared, as a user runs it: seconds, and the most memory the program held.
//!
//! `cargo bench -p evenhand --bench thousand`. The measurements are generated: 40 models of 25 units, 30 to 50
//! samples each, shapes between a logarithm and a power.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

const MODELS: u32 = 40;
const UNITS: u32 = 25;
const SEED: u64 = 20_261_126;

#[expect(clippy::print_stdout, reason = "a study is there to print")]
fn main() {
    if let Some(kib) = peak_memory() {
        println!("most memory held (resident): {:.0} MiB", kib / 1024.0);
    }
    divan::main();
}

#[divan::bench(sample_count = 3, sample_size = 1)]
fn compare_a_thousand() {
    finish(started());
}

#[divan::bench(sample_count = 3, sample_size = 1)]
fn the_page_of_a_thousand() {
    let page = folder().join("page.html");
    finish(
        command()
            .args(["--report", &page.display().to_string(), "--force"])
            .spawn(),
    );
}

fn command() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenhand"));
    command
        .arg("compare")
        .arg(folder().join("measured"))
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command
}

fn started() -> std::io::Result<std::process::Child> {
    command().spawn()
}

fn finish(child: std::io::Result<std::process::Child>) {
    let ended = child.and_then(|mut child| child.wait());
    assert!(ended.is_ok_and(|status| status.success()), "it ran");
}

/// The high-water mark of a run, KiB, where the system tells it.
fn peak_memory() -> Option<f64> {
    let mut child = started().ok()?;
    let status = format!("/proc/{}/status", child.id());
    let mut peak = None;
    while child.try_wait().ok()?.is_none() {
        let text = std::fs::read_to_string(&status).unwrap_or_default();
        let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let found = line.and_then(|rest| rest.trim().strip_suffix(" kB")?.parse::<f64>().ok());
        peak = found.or(peak);
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    peak
}

fn folder() -> &'static Path {
    static FOLDER: OnceLock<PathBuf> = OnceLock::new();
    FOLDER.get_or_init(|| {
        let folder = std::env::temp_dir().join(format!("evenhand-thousand-{}", std::process::id()));
        let measured = folder.join("measured");
        assert!(
            std::fs::create_dir_all(&measured).is_ok(),
            "a folder can be made"
        );
        let mut random = ChaCha8Rng::seed_from_u64(SEED);
        for model in 0..MODELS {
            for unit in 0..UNITS {
                let name = measured.join(format!("model-{model:02}-{unit:02}.csv"));
                let text = measurement(model, unit, &mut random);
                assert!(std::fs::write(name, text).is_ok(), "a file can be written");
            }
        }
        folder
    })
}

fn measurement(model: u32, unit: u32, random: &mut ChaCha8Rng) -> String {
    use std::fmt::Write as _;
    let mut noise = |spread: f64| spread * random.sample::<f64, _>(StandardNormal);
    let part = f64::from(model) / f64::from(MODELS);
    let onset = (3.0 + 20.0 * part) * (1.0 + noise(0.04));
    let saturation = (150.0 + 700.0 * part) * (1.0 + noise(0.04));
    let exponent = (0.6 + 0.8 * part) * (1.0 + noise(0.02));
    let count = 30 + (model + unit) % 21;
    let mut text =
        format!("# model = Model {model:02}\n# unit = {unit:02}\nforce_gf,reported_percent\n");
    for step in 0..count {
        let force = 1.1 * saturation * (f64::from(step) / f64::from(count - 1)).powf(1.4);
        let acting = force * (1.0 + noise(0.002)) + noise(0.4);
        let climb = ((acting - onset) / (saturation - onset)).clamp(0.0, 1.0);
        let logarithm = (1.0 + 9.0 * climb).ln() / 10.0_f64.ln();
        let exact = part * logarithm + (1.0 - part) * climb.powf(exponent);
        let reading = if exact <= 0.0 || exact >= 1.0 {
            exact
        } else {
            (exact + noise(0.004)).clamp(0.0, 1.0)
        };
        let _ = writeln!(text, "{force:.1},{:.2}", 100.0 * reading);
    }
    text
}
