//! Files in every shape: what is read, what is refused, what survives being written.

use evenhand_measurement::{
    Bench, Direction, Force, ForceActs, Measurement, ReadAt, ReadOptions, Sample, Seating, Stylus,
    SuspicionKind, parse_measurement, suspicions, write_csv, write_toml,
};
use evenhand_text::{Faults, Setting, save_atomically};
use proptest::prelude::*;

#[path = "../../text/tests/support/mod.rs"]
mod support;
use support::cases::rows;

fn read(name: &str, text: &str) -> Result<Measurement, Faults> {
    parse_measurement(name, text.as_bytes(), &ReadOptions::default()).map(|(m, _)| m)
}

/// What to do about the first fault; a setting by its name.
fn advice(faults: &Faults) -> String {
    faults
        .first()
        .remedy
        .in_words(|setting| format!("set {setting:?}"))
}

/// There is an error that says this and advises that.
#[track_caller]
fn assert_advised(read: Result<Measurement, Faults>, said: &str, advised: &str) {
    let error = read.expect_err(said);
    assert!(error.to_string().contains(said), "{error}");
    assert!(advice(&error).contains(advised), "{}", advice(&error));
}

/// Forces and readings without their lines.
fn values(measurement: &Measurement) -> Vec<(f64, f64, usize)> {
    measurement
        .samples
        .iter()
        .map(|s| (s.force.gf(), s.reading, s.seating))
        .collect()
}

#[test]
fn every_unit_and_every_column() {
    let text = "# model = Dunlin\n# unit = 01\n# levels = 1025\n# force_acts = along-stylus\n# tilt_deg = 30\n# just a word\n\n\
                direction,force_mn,seating,reported_raw\nloading,980.665,7,512\nunloading,0,-2,1024\n,9.80665,7,0\n";
    let measurement = read("m.csv", text).unwrap();
    assert_eq!(measurement.stylus.model.as_deref(), Some("Dunlin"));
    assert_eq!(measurement.stylus.levels, Some(1025));
    assert_eq!(measurement.bench.tilt_deg, Some(30.0));
    let found = values(&measurement);
    assert!((found[0].0 - 100.0).abs() < 1e-12 && found[0].1 == 0.5);
    assert_eq!(found[1], (0.0, 1.0, 1));
    assert!((found[2].0 - 1.0).abs() < 1e-12);
    let indices: Vec<i64> = measurement.seatings.iter().map(|s| s.index).collect();
    assert_eq!(indices, [7, -2]);
    let samples = measurement.samples.iter();
    let directions: Vec<_> = samples.map(|s| (s.line, s.direction)).collect();
    let [loading, unloading] = [Direction::Loading, Direction::Unloading].map(Some);
    assert_eq!(directions, [(9, loading), (10, unloading), (11, None)]);
    let newtons = 2.0 / 9.806_65e-3;
    for (header, force) in [("force_gf", 2.0), ("mass_g", 2.0), ("force_n", newtons)] {
        let measurement = read("m.csv", &format!("{header},reported\n2,0.25\n")).unwrap();
        let (found, reading, _) = values(&measurement)[0];
        assert!((found - force).abs() < 1e-10, "{header}");
        assert_eq!(reading, 0.25);
    }
}

#[test]
fn levels_from_outside_serve_where_the_file_has_none() {
    let text = "force_gf,reported_raw\n5,1023\n";
    let options = ReadOptions {
        levels: Some(1024),
        ..ReadOptions::default()
    };
    let (measurement, _) = parse_measurement("m.csv", text.as_bytes(), &options).unwrap();
    assert_eq!(measurement.samples[0].reading, 1.0);
    let own = format!("# levels = 2047\n{text}");
    let (measurement, _) = parse_measurement("m.csv", own.as_bytes(), &options).unwrap();
    assert_eq!(measurement.samples[0].reading, 0.5);
}

#[test]
fn toml_with_everything() {
    let text = r#"
[stylus]
model = "Godwit"
unit = "01"

[bench]
date = 2026-03-05
force = "n"
reading = "fraction"
lever = { nib_mm = 100, weight_mm = 300 }

[[seating]]
direction = "loading"
samples = [[0, 0], [1.0, 0.5],
  [0x2, 1]]

[[seating]]
samples = [[0.5, 0.25]]
"#;
    let measurement = read("m.toml", text).unwrap();
    assert_eq!(measurement.bench.date.as_deref(), Some("2026-03-05"));
    assert_eq!(
        measurement.bench.lever.as_deref(),
        Some("nib_mm = 100, weight_mm = 300")
    );
    assert_eq!(measurement.samples.len(), 4);
    assert_eq!(measurement.samples[2].line, 15);
    assert!((measurement.samples[2].force.newtons() - 2.0).abs() < 1e-12);
    assert_eq!(measurement.seatings[0].direction, Some(Direction::Loading));
    // The form is found without an ending too.
    assert_eq!(read("notes", text).unwrap(), measurement);
}

/// Wrong texts: their files, the lines that must be named (0: none), and words of message and advice.
const WRONG: &str = r#"
m.csv | # only⏎# comments⏎ | 0 | only remarks | header
m.csv | 0,0⏎5,3⏎ | 1 | numbers | force_gf
m.csv | force_gf⏎5⏎ | 1 | reading | reported
m.csv | force_gf,pressure⏎5,1⏎ | 1 | `pressure`, which has no unit | reported_percent
m.csv | force_gf,reported,reported_percent⏎5,1,1⏎ | 1 | `reported_percent`, beside `reported` | keep one
m.csv | force_gf,seating,reported,seating⏎5,1,1,1⏎ | 1 | second column of seating | keep one
m.csv | force_gf,reported_percent⏎5,1,5⏎ | 2 | 3 cells | semicolons
m.csv | force_gf;reported_percent⏎5⏎ | 2 | empty cell | leave the whole line out
m.csv | force_gf;reported_percent⏎1.234,5;1⏎ | 2 | expected a number, found `1.234,5` | thousands
m.csv | force_gf;reported_percent⏎5,5;1⏎1.234;2⏎ | 3 | line 2 | one decimal mark
m.csv | force_gf,reported_percent⏎5 N,1⏎ | 2 | `5 N` | one unit
m.csv | force_gf,reported_percent⏎,1⏎ | 2 | empty cell | leave the whole line out
m.csv | force_gf,reported⏎5,40⏎ | 2 | 40 | percent
m.csv | force_gf,reported_percent⏎5,-1⏎ | 2 | negative reading | 0 up
m.csv | # levels = 9⏎force_gf,reported_raw⏎5,1.5⏎ | 3 | 1.5 | whole counts
m.csv | # levels = many⏎force_gf,reported_raw⏎5,1⏎ | 1 | many | 8192
m.csv | force_gf,reported,seating⏎5,1,a⏎ | 2 | `a` | whole number
m.csv | force_gf,reported,direction⏎5,1,up⏎ | 2 | `up` | loading or unloading
m.csv | force_gf,reported⏎"5,1⏎ | 2 | never closed | same line
m.toml | [bench⏎ | 1 |  | [bench]
m.toml | [bench]⏎force = "gf"⏎readin = "percent"⏎ | 3 | readin | reading
m.toml | [bench]⏎force = "kg"⏎reading = "percent"⏎ | 2 | expected one of gf, n, mn, mass_g | force = "gf"
m.toml | [bench]⏎force = "gf"⏎reading = "raw"⏎ | 3 | levels | set Levels
m.toml | [bench]⏎force = "gf"⏎reading = "percent"⏎ | 3 | seating | samples
m.toml | SAMPLES[] | 0 | no samples | [[seating]]
m.toml | SAMPLES[[1, 2, 3]] | 5 | pairs of a force and a reading, found samples = `[1, 2, 3]` | pairs
m.toml | SAMPLES[[1, "2"]] | 5 | reading = `"2"` | pairs
m.toml | SAMPLES[[1, inf]] | 5 | finite number, found reading = `inf` | pairs
m.toml | SAMPLES[[-1, 2]] | 5 | negative force | positive
m.toml | SAMPLES[[1, 200]] | 5 | 200 | 100
"#;
/// What stands before the samples of a TOML file that is right up to there.
const SAMPLES: &str = "[bench]\nforce = \"gf\"\nreading = \"percent\"\n[[seating]]\nsamples = ";

#[test]
fn what_is_refused_names_place_and_advice() {
    for [name, text, line, message, help] in rows(WRONG) {
        let error = read(&name, &text.replace("SAMPLES", SAMPLES)).unwrap_err();
        let told = format!("{error}\n{}", advice(&error));
        assert_eq!(
            error.line().unwrap_or(0).to_string(),
            line,
            "{text}\n{told}"
        );
        assert!(error.to_string().contains(&message), "{text}\n{told}");
        assert!(advice(&error).contains(&help), "{text}\n{told}");
        assert!(error.to_string().starts_with(&name), "{told}");
    }
    for (bytes, words) in [
        (&b"\xff\xfef\0o\0\0\xd8"[..], "UTF-16"),
        (&b"force_gf,reported\n5,\xff\n"[..], ":2:3: "),
        (&b"force_gf,reported\n5,\xff\n"[..], "not UTF-8"),
        (&b"force_gf\n\0"[..], "binary"),
    ] {
        let error = parse_measurement("m.csv", bytes, &ReadOptions::default()).unwrap_err();
        assert!(error.to_string().contains(words), "{error}");
    }
}

/// A fault put into a right ladder: from row and percent to percent.
type Change<'a> = &'a dyn Fn(u32, f64) -> f64;

#[test]
fn suspicious_things_are_named_and_harmless_ones_are_not() {
    use SuspicionKind::{
        AllZero, Falling, FlatBelowFull, ForceUnit, LargeForce, Outlier, ReadingAtRest, ReadingUnit,
    };
    let kinds = |text: &str| -> Vec<SuspicionKind> {
        suspicions(&read("m.csv", text).unwrap())
            .into_iter()
            .map(|s| s.kind)
            .collect()
    };
    let ladder = |change: &dyn Fn(u32, f64) -> f64| -> String {
        let rows: Vec<String> = (0..30)
            .map(|i| {
                let reading = (f64::from(i) - 3.0) / 24.0 * 100.0;
                format!("{},{:.2}", i * 8, change(i, reading.clamp(0.0, 100.0)))
            })
            .collect();
        format!("force_gf,reported_percent\n{}\n", rows.join("\n"))
    };
    assert_eq!(kinds(&ladder(&|_, y| y)), []);
    let cases: [(SuspicionKind, Change<'_>); 6] = [
        (Outlier, &|i, y| if i == 15 { y + 9.0 } else { y }),
        (FlatBelowFull, &|_, y| 0.6 * y),
        (ReadingUnit, &|_, y| (0.05 * y + 1.0).min(0.9)),
        (AllZero, &|_, _| 0.0),
        (ReadingAtRest, &|i, y| if i == 0 { 2.0 } else { y }),
        (Falling, &|i, y| if i > 20 { y - 30.0 } else { y }),
    ];
    for (kind, change) in cases {
        let found = kinds(&ladder(change));
        assert!(found.contains(&kind), "{kind:?} is missing among {found:?}");
    }
    let large = "force_gf,reported_percent\n0,0\n500,50\n1500,100\n";
    assert!(kinds(large).contains(&LargeForce));
    let small = "force_gf,reported_percent\n0,0\n5,50\n9,100\n";
    assert!(kinds(small).contains(&ForceUnit));
}

fn asked(name: &str, text: &str, exclude: &str, new_seatings: &str) -> Result<Measurement, Faults> {
    let places = |list: &str| {
        list.split_whitespace()
            .map(|p| p.parse().unwrap_or_else(|e| panic!("{e}")))
            .collect()
    };
    let options = ReadOptions {
        exclude: places(exclude),
        new_seatings: places(new_seatings),
        ..ReadOptions::default()
    };
    parse_measurement(name, text.as_bytes(), &options).map(|(m, _)| m)
}

#[test]
fn samples_are_left_out_by_option_and_by_key() {
    let rows = "force_gf,reported\n10,0\n20,0.3\n30,0.2\n40,0.7\n";
    let by_option = asked("m.csv", rows, "4", "").unwrap();
    let by_key = read("m.csv", &format!("{rows}# exclude = 4\n")).unwrap();
    assert_eq!(by_option, by_key);
    assert_eq!(by_option.samples.len(), 3);
    assert_eq!(by_option.excluded.len(), 1);
    assert!((by_option.excluded[0].reading - 0.2).abs() < 1e-15);

    let table = "exclude = [\"6:2\", 8]\n[bench]\nforce = \"gf\"\nreading = \"fraction\"\n[[seating]]\nsamples = [[10, 0.0], [20, 0.9], [30, 0.2],\n# between\n[40, 0.7], \n[50, 0.8]]\n";
    let toml = read("m.toml", table).unwrap();
    let forces: Vec<f64> = toml.samples.iter().map(|s| s.force.gf()).collect();
    assert_eq!(forces, [10.0, 30.0, 50.0]);
}

#[test]
fn a_place_without_a_single_sample_is_named() {
    let rows = "force_gf,reported\n10,0\n20,0.3\n";
    let absent = asked("m.csv", rows, "9", "");
    assert_advised(absent, "no sample in line 9", "lines 2 to 3");

    let one_line = "[bench]\nforce = \"gf\"\nreading = \"fraction\"\n[[seating]]\nsamples = [[10, 0.0], [20, 0.9]]\n";
    assert_advised(asked("m.toml", one_line, "5", ""), "", "5:1 to 5:2");
    assert!(asked("m.toml", one_line, "5:3", "").is_err());
    let first = asked("m.toml", one_line, "5:1", "").unwrap();
    assert_eq!(first.samples.len(), 1);

    assert_advised(asked("m.csv", rows, "2 3", ""), "every sample", "");
    let with = |comment: &str| read("m.csv", &format!("{rows}{comment}\n"));
    assert_eq!(with("# exclude = two").unwrap_err().line(), Some(4));
    for comment in ["# exclude: 2", "# Exclude = 2", "#exclude=2"] {
        assert_eq!(with(comment).unwrap().excluded.len(), 1, "{comment}");
    }
    for comment in [
        "# excluded 2, 3",
        "#exclude 2",
        "# excludes = 2",
        "# skip = 2",
    ] {
        assert_eq!(with(comment).unwrap_err().line(), Some(4), "{comment}");
    }
    // A remark that begins like the key would leave the sample in without a word.
    let slip = with("# excluded the slip at 100 gf");
    assert_advised(slip, "", "# exclude = 12, 17");
    with("# the slip at 100 gf was excluded").unwrap();
    let behind = read("m.toml", &format!("{one_line}exclude = [5]\n"));
    assert_advised(behind, "", "above the first");
    let hexadecimal = read("m.toml", &format!("exclude = [0x6]\n{one_line}"));
    assert_advised(hexadecimal, "", "6:1 to 6:2");
    let error = read("m.toml", &format!("exclude = [2.5]\n{one_line}")).unwrap_err();
    assert_eq!(error.line(), Some(1));
}

#[test]
fn a_seating_begins_where_it_is_asked_for() {
    let rows = "force_gf,reported,seating\n10,0,1\n20,0.3,1\n10,0,4\n20,0.4,4\n30,0.5,1\n";
    assert_advised(
        asked("m.csv", rows, "", "4"),
        "begins with line 4 already",
        "",
    );
    let found = asked("m.csv", rows, "", "3 5").unwrap();
    let numbers: Vec<i64> = found
        .samples
        .iter()
        .map(|s| found.seatings[s.seating].index)
        .collect();
    assert_eq!(numbers, [1, 5, 4, 6, 5]);
}

/// Texts that people may give to names and remarks.
fn words() -> impl Strategy<Value = Option<String>> {
    prop::option::of("[A-Za-z\"'\\\\#=:;, äö☃]{1,12}")
}

/// Measurements with awkward numbers and words.
fn measurements() -> impl Strategy<Value = Measurement> {
    let sample = (
        prop_oneof![
            Just(0.0),
            0.0..1000.0_f64,
            (1_u32..100).prop_map(|n| f64::from(n) / 3.0)
        ],
        0.0..=1.0_f64,
        0..3_usize,
        prop::option::of(prop::bool::ANY),
    );
    let labels = prop::collection::btree_map("batch|operator|Größe 2", "[a-z0-9,\"=: ]{1,9}", 0..3);
    let figures = (
        prop::option::of(2..9000_u32),
        prop::option::of(0.0..80.0_f64),
        prop::option::of(prop::sample::select(ReadAt::ALL.to_vec())),
    );
    (
        prop::collection::vec(sample, 1..30),
        [words(), words(), words(), words()],
        labels,
        figures,
        0..4_usize,
    )
        .prop_map(
            |(rows, texts, labels, (levels, tilt_deg, read_at), left_out)| {
                let direction = |up: bool| {
                    if up {
                        Direction::Loading
                    } else {
                        Direction::Unloading
                    }
                };
                let mut samples: Vec<Sample> = rows
                    .into_iter()
                    .map(|(gf, reading, seating, up)| Sample {
                        force: Force::from_gf(gf),
                        reading,
                        seating,
                        direction: up.map(direction),
                        line: 0,
                    })
                    .collect();
                let excluded = samples.split_off(samples.len().saturating_sub(left_out).max(1));
                let [model, unit, name, notes] = texts;
                // A unit of force as the name of a stylus is refused wherever it is read.
                let unit = unit.filter(|unit| {
                    let unit = evenhand_text::folded(unit);
                    !["g", "n", "gf", "mn"].contains(&unit.as_str())
                });
                let trimmed = |value: &String| value.trim().trim_matches('"').trim().to_owned();
                Measurement {
                    stylus: Stylus {
                        model,
                        unit,
                        levels,
                    },
                    bench: Bench {
                        name,
                        notes,
                        read_at,
                        force_acts: tilt_deg.map(|_| ForceActs::AlongStylus),
                        tilt_deg,
                        ..Bench::default()
                    },
                    seatings: (1..=3)
                        .map(|index| Seating {
                            index,
                            direction: None,
                        })
                        .collect(),
                    samples,
                    excluded,
                    labels: labels
                        .iter()
                        .map(|(key, value)| (key.clone(), trimmed(value)))
                        .collect(),
                }
            },
        )
}

/// What a measurement says beside its samples, texts as they are shown: without spaces around them.
fn said(measurement: &Measurement) -> (Stylus, Vec<Option<String>>, Option<ReadAt>, Option<f64>) {
    let text = |text: &Option<String>| {
        let text = text.as_deref().map(|text| text.trim().to_owned());
        text.filter(|text| !text.is_empty())
    };
    let Measurement { stylus, bench, .. } = measurement;
    let named = Stylus {
        model: text(&stylus.model),
        unit: text(&stylus.unit),
        levels: stylus.levels,
    };
    let mut texts = vec![text(&bench.name), text(&bench.notes)];
    texts.extend(
        measurement
            .labels
            .iter()
            .map(|(key, value)| Some(format!("{key}={value}"))),
    );
    (named, texts, bench.read_at, bench.tilt_deg)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_written_reads_back(measurement in measurements()) {
        let key = |m: &Measurement| {
            let row = |s: &Sample, used| {
                (s.force.gf().to_bits(), s.reading.to_bits(), m.seatings[s.seating].index, used)
            };
            let used = m.samples.iter().map(|s| row(s, true));
            let mut rows: Vec<(u64, u64, i64, bool)> =
                used.chain(m.excluded.iter().map(|s| row(s, false))).collect();
            rows.sort_unstable();
            rows
        };
        let table = read("m.csv", &write_csv(&measurement)).unwrap();
        prop_assert_eq!(said(&table), said(&measurement));
        prop_assert_eq!(key(&table), key(&measurement));
        prop_assert_eq!(
            table.samples.iter().map(|s| s.direction).collect::<Vec<_>>(),
            measurement.samples.iter().map(|s| s.direction).collect::<Vec<_>>()
        );
        let used: Vec<usize> = (0..3).filter(|i| measurement.samples.iter().any(|s| s.seating == *i)).collect();
        if used.len() == 3 {
            let toml = read("m.toml", &write_toml(&measurement)).unwrap();
            prop_assert_eq!(key(&toml), key(&measurement));
            prop_assert_eq!(said(&toml), said(&measurement));
        }
    }

    #[test]
    fn no_bytes_make_it_panic(bytes in prop::collection::vec(prop::num::u8::ANY, 0..200), cut in 0..120_usize) {
        let _ = parse_measurement("m", &bytes, &ReadOptions::default());
        // Damage in a right file: any byte of it replaced, any end cut off.
        let right = "# levels = 9\nforce_gf;reported_raw;seating\n1,5;0;1\n2;3;1\n20;8;2\n".as_bytes();
        let mut damaged = right[..right.len() - cut.min(right.len() - 1)].to_vec();
        if let (Some(byte), Some(at)) = (bytes.first(), bytes.get(1)) {
            let at = usize::from(*at) % damaged.len();
            damaged[at] = *byte;
        }
        if let Err(error) = parse_measurement("m.csv", &damaged, &ReadOptions::default()) {
            prop_assert!(error.first().remedy != evenhand_text::Remedy::default());
        }
    }
}

#[test]
fn saving_replaces_only_on_request_and_follows_links() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.txt");
    save_atomically(&path, b"one", false).unwrap();
    let refused = save_atomically(&path, b"two", false).unwrap_err();
    assert_eq!(refused.remedy().setting, Some(Setting::Replace));
    assert_eq!(std::fs::read(&path).unwrap(), b"one");
    save_atomically(&path, b"two", true).unwrap();
    assert_eq!(std::fs::read(&path).unwrap(), b"two");
    #[cfg(unix)]
    {
        let link = folder.path().join("link");
        std::os::unix::fs::symlink(&path, &link).unwrap();
        save_atomically(&link, b"three", true).unwrap();
        assert!(link.is_symlink());
        assert_eq!(std::fs::read(&path).unwrap(), b"three");
    }
    assert!(save_atomically(folder.path(), b"x", true).is_err());
    assert!(save_atomically(&folder.path().join("no/such"), b"x", true).is_err());
    for entry in std::fs::read_dir(folder.path()).unwrap() {
        let name = entry.unwrap().file_name();
        assert!(!name.to_string_lossy().ends_with(".part"), "{name:?}");
    }
}

#[test]
fn a_file_says_which_force_it_holds() {
    // Along the stylus acts the cosine of the tilt: cos 60° = 1/2.
    let table =
        "# tilt_deg = 60\n# force_acts = on-surface\nforce_gf,reported\n0,0\n100,0.5\n300,1\n";
    let toml = "[bench]\nforce = \"gf\"\nforce_acts = \"on-surface\"\nreading = \"fraction\"\ntilt_deg = 60\n[[seating]]\nsamples = [[0, 0], [100, 0.5], [300, 1]]\n";
    for (name, text) in [("m.csv", table), ("m.toml", toml)] {
        let forces: Vec<f64> = values(&read(name, text).unwrap())
            .iter()
            .map(|value| value.0)
            .collect();
        for (found, expected) in forces.iter().zip([0.0, 50.0, 150.0]) {
            assert!((found - expected).abs() < 1e-9, "{name}: {forces:?}");
        }
    }
    let along = table.replace("on-surface", "along-stylus");
    assert_eq!(values(&read("m.csv", &along).unwrap())[1].0, 100.0);
    for (from, to, said) in [
        ("# tilt_deg = 60\n", "", "without a tilt"),
        ("= 60", "= 89", "tilt of 89"),
        ("on-surface", "sideways", "sideways"),
    ] {
        assert_advised(read("m.csv", &table.replace(from, to)), said, "");
    }
}
