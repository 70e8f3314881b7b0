//! Map files: what is read of them, what is refused, and whether their points are those of their figures.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use std::path::Path;
use std::sync::OnceLock;

use evenhand_fitting::{Fit, Settings};
use evenhand_inversion::{
    CurveStage, Joining, MapRequest, NamedShape, PointShape, TargetShape, rebuild,
};
use evenhand_measurement::{Force, HoldAngle, ReadOptions};
use evenhand_receiver::{ControlPoint, Profile, move_point, profile, shipped};
use evenhand_workflow::{
    HandTable, Job, MapFile, MapTable, Read, Rebuilt, StrokesTable, Tuned, TunedTable,
    contradictions, edit_warning, fitted, measurement, rebuilt, resolve_stage,
};

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo");

/// A demo stylus with its response, fitted once.
fn stylus() -> &'static (Read, Fit) {
    static STYLUS: OnceLock<(Read, Fit)> = OnceLock::new();
    STYLUS.get_or_init(|| {
        let path = Path::new(DEMO).join("dunlin-01.csv");
        let read = measurement(&path, &ReadOptions::default()).unwrap();
        let settings = Settings {
            resamples: 50,
            ..Settings::default()
        };
        let fit = fitted(&read, &settings).unwrap();
        (read, fit)
    })
}

fn request() -> MapRequest {
    MapRequest {
        full_at: Force::from_gf(118.0),
        light_at: None,
        target: NamedShape {
            label: "power:0.8".to_owned(),
            shape: TargetShape::Power(0.8),
        },
        output_floor: 0.0,
        before: None,
        after: None,
        hold_angle: None,
    }
}

fn curve(points: &[[f64; 2]]) -> Option<CurveStage> {
    let table = MapTable {
        interpolation: "linear".to_owned(),
        exponent: None,
        control_points: points.to_vec(),
    };
    Some(table.stage().unwrap())
}

fn job(receiver: &Profile, request: MapRequest) -> Job {
    let (read, fit) = stylus();
    let read = Read {
        path: read.path.clone(),
        measurement: read.measurement.clone(),
        source: read.source.clone(),
    };
    let options = ReadOptions::default();
    Job::new(read, fit.clone(), receiver.clone(), request, options, None).unwrap()
}

fn segments() -> &'static Profile {
    profile("segments-8").unwrap()
}

/// The text of a map with all tables, and of one of its own receiver.
fn text() -> &'static str {
    static TEXT: OnceLock<String> = OnceLock::new();
    TEXT.get_or_init(|| {
        let mut request = request();
        request.before = Some(resolve_stage("power:1.4").unwrap());
        request.after = curve(&[[0.0, 0.0], [0.5, 0.6], [1.0, 1.0]]);
        request.hold_angle = HoldAngle::from_degrees(45.0);
        request.light_at = Some(Force::from_gf(12.0));
        request.output_floor = 0.05;
        let mut job = job(segments(), request);
        job.tuned = Some(Tuned {
            locked: vec![2],
            optimum: job.built.compiled.clone(),
        });
        job.strokes = Some(StrokesTable {
            least_width: 1.0,
            greatest_width: 20.0,
            width_law: "area".to_owned(),
            hands: vec![HandTable {
                name: "usual".to_owned(),
                force_gf: 80.0,
            }],
        });
        job.options.exclude = vec!["3".parse().unwrap(), "4:2".parse().unwrap()];
        job.document("dunlin-01.csv").to_toml().unwrap()
    })
}

#[path = "../../text/tests/support/mod.rs"]
mod support;
use support::cases::{changed, rows};
use support::faults;

/// Line, what is wrong and what to do, of each fault.
fn told(text: &str) -> Vec<(usize, String, String)> {
    faults::told(&MapFile::parse(text, "map.toml").unwrap_err())
}

/// The line, from 1, that begins so.
fn line_of(text: &str, start: &str) -> usize {
    1 + text
        .lines()
        .position(|line| line.starts_with(start))
        .unwrap_or_else(|| panic!("no {start} in\n{text}"))
}

/// With the line that begins so in a table of that heading exchanged; refused there and nowhere else.
#[track_caller]
fn refused(heading: &str, start: &str, instead: &str, words: &str) {
    let original = text();
    let from = original.find(heading).unwrap();
    let at = from + original[from..].find(&format!("\n{start}")).unwrap() + 1;
    let end = at + original[at..].find('\n').unwrap();
    let edited = format!("{}{instead}{}", &original[..at], &original[end..]);
    let line = original[..at].matches('\n').count() + 1;
    let faults = MapFile::parse(&edited, "map.toml").unwrap_err();
    faults::assert_one(&faults, line, words);
}

#[test]
fn what_is_written_is_read() {
    let map = MapFile::parse(text(), "map.toml").unwrap();
    assert_eq!(map.to_toml().unwrap(), text());
    assert_eq!(map.tuned.unwrap().pinned, [3]);
    assert_eq!(map.source.exclude, ["3", "4:2"]);
    assert_eq!(map.strokes.unwrap().hands[0].force_gf, 80.0);
    assert_eq!(map.before.unwrap().exponent, Some(1.4));
    assert_eq!(map.settings.hold_angle_deg, Some(45.0));
    assert_eq!(map.receiver, *segments());
}

#[test]
fn three_faults_in_three_lines_are_three_faults() {
    let changes = "resamples = 50 → resamples = 49 & \nconfidence = 0.95 → \nconfidence = 1.0 \
        & \nwidth_law → \nwidth_lav";
    let text = changed(text(), changes);
    let told = told(&text);
    let lines: Vec<usize> = told.iter().map(|fault| fault.0).collect();
    let expected = ["resamples", "confidence", "width_lav"].map(|key| line_of(&text, key));
    // The key that lacks is told once, as the mistyped one.
    assert_eq!(lines, expected, "{told:#?}");
    assert!(told[0].1.contains("from 50 to 1000000"), "{told:#?}");
    assert!(told[2].2.contains("write width_law"), "{told:#?}");
}

/// Heading, the key with a value that it cannot have, and what is told of it.
const IMPOSSIBLE: &str = r#"
format | version = 3 | a text in quotes
[source] | sha256 = "12" | 64 small hexadecimal
[source] | exclude = ["0"] | the line of a sample
[source] | file = true | a text in quotes
[settings] | resamples = 1000001 | from 50 to
[settings] | confidence = 0 | above 0 and below 1
[settings] | confidence = nan | a finite number
[settings] | seed = -1 | a whole number
[settings] | seed = 1.5 | a whole number
[settings] | full_at_gf = -1.0 | 0 or more
[settings] | light_at_gf = inf | 0 or more
[settings] | output_floor = 0.95 | to below 0.95
[settings] | hold_angle_deg = 4 | 5 to 90
[settings] | target = "steep" | no target shape
[achieved] | max_error = "small" | 0 or more
[achieved] | distinct_outputs = 1.5 | a whole number
[map] | interpolation = "natural" | natural-cubic
[map] | interpolation = "monotone-cubic" | as the receiver
[map] | control_points = [[0, 0]] | two or more
[map] | control_points = [[0, 0], [1, 1.5]] | from 0 to 1
[map] | control_points = [[0, 0], [1]] | a pair of numbers
[tuned] | pinned = [0] | a whole number from 1 to 8
[tuned] | pinned = [9] | a whole number from 1 to 8
[strokes] | greatest_width = 0.5 | widths that grow
[[strokes.hands]] | force_gf = 0 | above 0
[before] | exponent = 0 | above 0
[after] | control_points = [[0, 0.9], [1, 0.1]] | no curve
[ideal] | points = [[0, 2]] | from 0 to 1
[receiver.curve] | kind = "dots" | points, bezier
"#;

/// Changes of the text, and what is told of each first.
const IMPOSSIBLE_BESIDES: &str = r#"
[stylus]⏎ → [stylus]⏎levels = 1⏎ | from 2 to 16777216
[source]⏎ → [source]⏎levels = 99999999⏎ | from 2 to 16777216
[map]⏎ → [map]⏎exponent = 2⏎ | does not belong to kind linear
exponent = 1.4⏎ → | no exponent in [before]
[settings]⏎ → [settings]⏎target_interpolation = "linear"⏎ | no target_points
"#;

#[test]
fn every_key_has_the_limits_of_what_can_be_asked_for() {
    for [heading, instead, words] in rows(IMPOSSIBLE) {
        let key = instead.split(" = ").next().unwrap();
        refused(&heading, key, &instead, &words);
    }
    // What is not there by default has limits too.
    for [changes, words] in rows(IMPOSSIBLE_BESIDES) {
        let told = told(&changed(text(), &changes));
        assert!(told[0].1.contains(&words), "{changes}: {told:#?}");
    }
}

#[test]
fn whatever_is_missing_or_cut_is_told_with_what_to_do() {
    let lines: Vec<&str> = text().lines().collect();
    let told_or_read = |text: &str| {
        let read = MapFile::parse(text, "map.toml");
        if let Err(faults) = &read {
            let mut remedies = faults.iter().map(|fault| &fault.remedy.text);
            assert!(remedies.all(|text| !text.is_empty()), "{faults:?}");
        }
        read.is_ok()
    };
    // Each of these may be missing.
    let optional = "# A response map, model, unit, exclude, light_at_gf, output_floor, hold_angle_deg, \
        estimate, low, high, ends, min_gap";
    for index in 0..lines.len() {
        let without = [&lines[..index], &lines[index + 1..]].concat().join("\n");
        let is_read = told_or_read(&without);
        let may = optional
            .split(", ")
            .any(|key| lines[index].starts_with(key));
        let line = lines[index];
        assert!(!is_read || may || line.is_empty(), "{line}");
    }
    for end in (0..text().len())
        .step_by(37)
        .filter(|end| text().is_char_boundary(*end))
    {
        told_or_read(&text()[..end]);
    }
}

#[test]
fn the_format_is_read_before_anything_else() {
    let later = "format = 2\nversion = \"9.9.0\"\nmaps = 3\n[settings]\nfull_at = \"180gf\"\n";
    let found = told(later);
    assert_eq!(found.len(), 1, "{found:#?}");
    let (line, fault, remedy) = &found[0];
    assert_eq!(*line, 1);
    let own = env!("CARGO_PKG_VERSION");
    for words in ["format 2", "evenhand 9.9.0", "format 1", own] {
        assert!(fault.contains(words), "{words}: {fault}");
    }
    assert!(remedy.contains("a later one"), "{remedy}");
    let early = told(&text().replace("format = 1", "format = 0"));
    assert_eq!(early.len(), 1, "{early:#?}");
    assert!(early[0].2.starts_with("make the map again"), "{early:#?}");
    // What is no number is no later format.
    let none = told(&text().replace("format = 1", "format = \"one\""));
    assert!(none[0].1.contains("a whole number"), "{none:#?}");
    let other = told("name = \"x\"\n[curve]\nkind = \"power\"\n");
    assert_eq!(other.len(), 1, "{other:#?}");
    assert!(other[0].1.contains("not a map file"), "{other:#?}");
}

/// Wishes whose ideal maps have steps, level stretches and ends that are cut off.
fn requests() -> Vec<MapRequest> {
    let drawn = |points: &[[f64; 2]]| NamedShape {
        label: "mine.toml".to_owned(),
        shape: TargetShape::Drawn(PointShape::new(points.to_vec(), Joining::Linear).unwrap()),
    };
    vec![
        request(),
        MapRequest {
            before: Some(resolve_stage("power:1.4").unwrap()),
            after: Some(resolve_stage("power:0.8").unwrap()),
            hold_angle: HoldAngle::from_degrees(40.0),
            output_floor: 0.05,
            light_at: Some(Force::from_gf(12.0)),
            ..request()
        },
        // Light-at below the onset makes a step, full-at beyond the saturation is cut down.
        MapRequest {
            light_at: Some(Force::from_gf(0.5)),
            full_at: Force::from_gf(400.0),
            ..request()
        },
        MapRequest {
            before: curve(&[[0.0, 0.0], [0.3, 0.4], [0.5, 0.4], [0.9, 1.0], [1.0, 1.0]]),
            after: curve(&[[0.0, 0.0], [0.3, 0.4], [0.5, 0.4], [0.8, 1.0], [1.0, 1.0]]),
            ..request()
        },
        MapRequest {
            after: curve(&[[0.0, 0.1], [1.0, 1.0]]),
            ..request()
        },
        MapRequest {
            after: curve(&[[0.0, 0.0], [1.0, 0.9]]),
            target: drawn(&[[0.0, 0.0], [0.4, 0.25], [0.6, 0.25], [1.0, 1.0]]),
            ..request()
        },
        MapRequest {
            target: drawn(&[[0.0, 0.0], [0.4, 0.25], [0.6, 0.7], [1.0, 1.0]]),
            ..request()
        },
    ]
}

#[test]
fn maps_of_ours_contradict_nothing() {
    let path = Path::new("map.toml");
    let own = Profile::parse(
        "name = \"own\"\ntitle = \"Own\"\n[curve]\nkind = \"points\"\ninterpolation = \"natural-cubic\"\npoints = { min = 2, max = 5 }\nends = \"free-output\"\n",
        "own.toml",
    )
    .unwrap();
    for (index, request) in requests().into_iter().enumerate() {
        // Each kind once where only the request is another.
        let kinds = ["segments-8", "power", "table-256"];
        let receivers = shipped().iter().chain([&own]);
        for receiver in receivers.filter(|receiver| index == 1 || kinds.contains(&receiver.name()))
        {
            let saved = job(receiver, request.clone()).document("dunlin-01.csv");
            let read = MapFile::parse(&saved.to_toml().unwrap(), "map.toml").unwrap();
            assert_eq!(read, saved);
            let found = contradictions(path, &read);
            assert_eq!(found, Ok(Vec::new()), "{index} {}", receiver.name());
            assert_eq!(edit_warning(path, &read), None);
        }
    }
}

#[test]
fn points_that_are_moved_contradict_their_figures_and_tuned_ones_do_not() {
    let path = Path::new("map.toml");
    let receivers = ["segments-8", "segments-8-byte", "bezier"];
    for (request, receiver) in requests().iter().take(3).flat_map(|request| {
        let named = receivers.map(|name| profile(name).unwrap());
        named.map(|receiver| (request, receiver))
    }) {
        let mut job = job(receiver, request.clone());
        let saved = job.document("dunlin-01.csv");
        let points = saved.map.points();
        for index in 1..points.len() - 1 {
            let ControlPoint { input, output } = points[index];
            for down in [0.02, -0.02] {
                let to = ControlPoint::new(input, output - down);
                let moved = move_point(receiver, &points, index, to);
                if (moved[index].output - output).abs() < 0.015 {
                    continue;
                }
                let mut edited = saved.clone();
                edited.map.control_points = moved.iter().map(|p| [p.input, p.output]).collect();
                let (message, advice) = edit_warning(path, &edited)
                    .unwrap_or_else(|| panic!("{} {index} {down}", receiver.name()));
                assert!(message.contains("edited by hand"), "{message}");
                assert!(message.contains("_error"), "{message}");
                assert!(advice.contains("make the map again"), "{advice}");
                // The same points, moved where figures go along.
                let optimum = job.built.clone();
                let levels = job.read.measurement.stylus.levels;
                job.built =
                    rebuild(&job.fit, request, receiver, &optimum, moved, None, levels).unwrap();
                let tuned = job.document("dunlin-01.csv");
                assert_eq!(contradictions(path, &tuned), Ok(Vec::new()));
                job.built = optimum;
            }
        }
    }
}

#[test]
fn settings_that_are_edited_contradict_the_forces_of_the_map() {
    let path = Path::new("map.toml");
    let saved = MapFile::parse(text(), "map.toml").unwrap();
    assert_eq!(contradictions(path, &saved), Ok(Vec::new()));
    // Each figure by itself.
    type Edit = fn(&mut MapFile);
    let edits: [(&str, Edit); 6] = [
        ("compile_max_error", |map| {
            map.achieved.compile_max_error *= 1.1;
        }),
        ("max_error", |map| map.achieved.max_error *= 1.1),
        ("rms_error", |map| map.achieved.rms_error *= 1.1),
        ("distinct_outputs", |map| {
            map.achieved.distinct_outputs += 100;
        }),
        ("largest_step", |map| map.achieved.largest_step *= 1.1),
        ("largest_gain", |map| map.achieved.largest_gain *= 1.1),
    ];
    for (key, edit) in edits {
        let mut other = saved.clone();
        edit(&mut other);
        let found = contradictions(path, &other).unwrap();
        assert_eq!(found.len(), 1, "{key} {found:?}");
        assert_eq!(found[0].key, key);
        assert!((found[0].saved - found[0].found).abs() > 0.0, "{found:?}");
    }
    // Settings, and what few outputs show.
    let edits: [(&str, Edit); 3] = [
        ("light_at_gf", |map| map.settings.light_at_gf = Some(14.0)),
        ("full_at_gf", |map| map.settings.full_at_gf = 100.0),
        ("distinct_outputs", |map| map.achieved.distinct_outputs /= 2),
    ];
    for (key, edit) in edits {
        let mut other = saved.clone();
        edit(&mut other);
        assert_eq!(contradictions(path, &other).unwrap()[0].key, key);
    }
    let mut falls = saved;
    falls.map.control_points.swap(2, 3);
    assert!(edit_warning(path, &falls).unwrap().0.contains("point"));
}

#[test]
fn what_has_changed_is_listed_and_another_version_alone_is_nothing() {
    let built = job(segments(), request());
    let saved = built.document("dunlin-01.csv");
    let text = saved.to_toml().unwrap();
    assert_eq!(rebuilt(&saved, &text, &built).unwrap(), Rebuilt::Same);
    let own = format!("version = \"{}\"", env!("CARGO_PKG_VERSION"));
    let with = |text: &str| MapFile::parse(text, "map.toml").unwrap();
    // In the key alone, or in the first line as well.
    for other in [
        text.replace(&own, "version = \"0.0.9\""),
        text.replace(env!("CARGO_PKG_VERSION"), "0.0.9"),
    ] {
        let found = rebuilt(&with(&other), &other, &built).unwrap();
        assert_eq!(found, Rebuilt::OtherVersion, "{other}");
    }
    let differs = |text: &str| match rebuilt(&with(text), text, &built).unwrap() {
        Rebuilt::Differs(found) => found,
        same => panic!("{same:?}"),
    };
    let noted = differs(&format!("{text}# a note\n"));
    assert!(noted.changes.is_empty() && noted.tables.is_empty());
    assert_eq!(noted.line, Some(text.lines().count() + 1));
    let mut edited = saved;
    edited.achieved.max_error = 0.5;
    edited.map.control_points[1][1] = 0.001;
    edited.stylus.unit = Some("other".to_owned());
    let found = differs(&edited.to_toml().unwrap());
    let figures: Vec<&str> = found.changes.iter().map(|c| c.figure.as_str()).collect();
    assert_eq!(figures, ["max_error", "control point 2, output"]);
    assert_eq!(found.changes[0].saved, Some(0.5));
    let shown = found.changes[1].to_string();
    let start = "control point 2, output: 0.001 → ";
    assert!(shown.starts_with(start), "{shown}");
    assert_eq!(found.tables, ["stylus"]);
    let summary = found.summary();
    assert!(summary.contains("2 figures and coordinates, [stylus]"));
    let mut tables = edited.clone();
    tables.ideal.points[1][1] += 1e-3;
    tables.tuned = Some(TunedTable {
        pinned: vec![2],
        optimum_max_error: 0.1,
    });
    tables.settings.hold_angle_deg = Some(45.0);
    let found = differs(&tables.to_toml().unwrap());
    assert_eq!(found.tables, ["stylus", "settings", "tuned", "ideal"]);
    // A digit beyond those printed is no change of a figure.
    edited.achieved.max_error = built.built.achieved.max_error * (1.0 + 1e-9);
    edited.map.control_points[1][1] = built.built.compiled.control_points[1].output;
    edited.stylus.unit = built.read.measurement.stylus.unit.clone();
    let found = differs(&edited.to_toml().unwrap());
    assert!(found.changes.is_empty(), "{found:?}");
    assert!(found.summary().contains("no figure"), "{}", found.summary());
}
