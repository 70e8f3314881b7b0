//! The names in what `--json` prints, for every command: those of today are there, those of before are not.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::bench_room::{Room, Words, project};
use crate::json_values::apart;

/// Keys that had these names once; nothing prints them or reads them any more.
const DROPPED_KEYS: &str = "activation_force_gf span_band freedom doubles alike_p alike_p_corrected \
    alike_limit foretold promised wanted wished standing deviation observed_deviation \
    measurement_deviation between_units_deviation between_units_at_most ninety_percent_of_units \
    repeats_deviation units_beyond_repeats_deviation onset_deviation_gf saturation_deviation_gf \
    left_out_error left_out passed_over beyond_maps part part_of_variance holds_part_of_units \
    agreement_of_parts placed checks";

/// Words that classes of styluses, plans and suspicions were called once.
const DROPPED_WORDS: &str = "activation, scant, modest, ample, generous, span band, bench-too-coarse, \
    as-promised, common gain, wild";

/// Commands, their exit codes, and keys that they must print; `STUDIO` is the folder of that demo.
const COMMANDS: &str = "\
fit godwit-01.toml | 0 | onset_force_gf saturation_force_gf force_at saturation_class confidence curve \
    residual_rms seatings force_gain leave_one_out_rms warnings
fit dunlin-01.csv --exclude 12 | 0 | excluded
fit zero.csv | 1 | onset_force_gf force_at saturation_class
map dunlin-01.csv --full-at 150gf --light-at 8gf | 0 | control_points ideal achieved target shape output_floor
map dunlin-01.csv --full-at 150gf --light-at 8gf --receiver power --after power:1.2 | 0 | exponent \
    input_floor input_ceiling chained
map dunlin-01.csv --hand grass.inkml | 0 | target
map dunlin-01.csv --full-at 400gf | 1 | target reason
map --reproduce m.toml | 0 | target achieved
compare STUDIO --like Avocet --resamples 60 | 0 | onset_force_gf saturation_class observed_sd \
    measurement_sd between_unit_sd between_unit_sd_upper_bound between_unit_sd_lower_bound clusters \
    next_unit tolerance_90 homogeneity_p homogeneity_p_corrected consistency_limit degrees_of_freedom \
    predicted sd repeats_sd onset_sd_gf percentile_rank distance_gf repeatability verdict envelope \
    excluded skipped duplicates target uncorrectable_error fraction
compare dunlin-01.csv copy.csv zero.csv --resamples 60 | 1 | duplicates skipped
hand grass.inkml --stylus dunlin-01.csv | 0 | percentiles time_at_saturation time_below_onset suggested
verify m.toml dunlin-01.checks.csv | 0 | passed points predicted
verify m.toml not-applied.csv | 1 | passed points causes
bench plan --rig rig.toml | 0 | step load limit_gf
bench plan dunlin-01.csv | 0 | step limit_gf
bench convert placed.csv --rig rig.toml | 0 | load degrees_of_freedom fraction_of_variance correlation
check dunlin-01.csv apart.csv zero.csv | 0 | suspicions kind
receivers | 0 | receivers targets shape
receivers smooth-8 | 0 | curve interpolation
receivers soft-ends | 0 | shape
preview m.toml --out s.svg --force --strokes grass.inkml | 0 | noise gains hands
export m.toml --as json | 0 | control_points
";

/// Every key of a value and of what it holds.
fn keys(value: &Value, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(object) => {
            for (key, value) in object {
                into.insert(key.clone());
                keys(value, into);
            }
        }
        Value::Array(list) => list.iter().for_each(|value| keys(value, into)),
        _ => {}
    }
}

/// Every string that is a value.
fn words<'a>(value: &'a Value, into: &mut Vec<&'a str>) {
    match value {
        Value::Object(object) => object.values().for_each(|value| words(value, into)),
        Value::Array(list) => list.iter().for_each(|value| words(value, into)),
        Value::String(text) => into.push(text),
        _ => {}
    }
}

/// Whether a text holds a word, not as a piece of another ("sample" holds no "ample").
fn holds_word(text: &str, word: &str) -> bool {
    let text = text.to_lowercase();
    text.match_indices(word).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        let after = text[at + word.len()..].chars().next();
        [before, after]
            .into_iter()
            .flatten()
            .all(|c| !c.is_alphanumeric())
    })
}

/// Runs a command and looks at all that it prints; gives its keys.
fn looked_at(room: &Room, args: impl Words, code: i32) -> BTreeSet<String> {
    let object = room.json(&[args.words(), "--json".words()].concat(), code);
    let mut found = BTreeSet::new();
    keys(&object, &mut found);
    let dropped: Vec<&str> = DROPPED_KEYS.split(' ').collect();
    for key in &found {
        assert!(
            !dropped.contains(&key.as_str()) && !key.ends_with("_deviation"),
            "{args:?}: `{key}`"
        );
    }
    let mut all = Vec::new();
    words(&object, &mut all);
    let text = room.run(args);
    for dropped in DROPPED_WORDS.split(", ") {
        for text in all.iter().chain(&[text.out.as_str(), &text.err]) {
            assert!(
                !holds_word(text, dropped),
                "{args:?}: `{dropped}` in {text}"
            );
        }
    }
    found
}

fn room() -> Room {
    let room = Room::new();
    for file in [
        "dunlin-01.csv",
        "dunlin-01.checks.csv",
        "godwit-01.toml",
        "grass.inkml",
        "rig.toml",
        "placed.csv",
    ] {
        room.demo(file);
    }
    room.write("zero.csv", "force_gf,reported_percent\n0,0\n50,0\n90,0\n");
    apart(&room);
    room
}

#[test]
fn keys_of_every_command_are_those_of_today() {
    let room = room();
    let map = "map dunlin-01.csv --full-at 150gf --light-at 8gf --target power:0.8 --out m.toml";
    room.ends(map, 0);
    let convert = "bench convert placed.csv --rig rig.toml --out r.csv";
    room.ends(convert, 0);
    // Outputs of a map that is not applied.
    room.write(
        "not-applied.csv",
        "force_gf,output_percent\n10,12\n20,28\n40,43\n60,54\n90,68\n120,81\n140,89\n",
    );
    room.write("copy.csv", room.read("dunlin-01.csv"));
    let studio = format!("\"{}\"", project().join("demo/studio").display());
    for command in COMMANDS.lines() {
        let parts: Vec<&str> = command.split(" | ").collect();
        let [args, code, expected] = parts[..] else {
            panic!("three parts, not {command}");
        };
        let args = args.replace("STUDIO", &studio);
        let found = looked_at(&room, &args, code.parse().unwrap());
        for key in expected.split_whitespace() {
            assert!(found.contains(key), "{args}: no `{key}` in {found:?}");
        }
    }
}

#[test]
fn bench_record_prints_no_object() {
    let room = room();
    room.ends("bench record new.csv --from grass.inkml --json", 2);
}

#[test]
fn dropped_words_are_told_from_pieces_of_others() {
    assert!(!holds_word("29 samples, for example amply", "ample"));
    assert!(holds_word("Godwit: ample", "ample") && holds_word("Ample.", "ample"));
}
