//! Parts and probabilities are typed one way, whatever the option.

use crate::bench_room::Room;

/// A command up to an option that takes a fraction, the option, and two ways to write a value that it takes.
const OPTIONS: [(&[&str], &str, [&str; 2]); 10] = [
    (&["fit", "m.csv", "--json"], "--confidence", ["90%", "0.9"]),
    (&["fit", "m.csv", "--json"], "--at", ["12.5%", "0.125"]),
    (
        &["map", "m.csv", "--full-at", "150gf", "--json"],
        "--output-floor",
        ["7%", "0.07"],
    ),
    (
        &["hand", "grass.inkml", "--stylus", "m.csv", "--json"],
        "--light-percentile",
        ["10%", "0.1"],
    ),
    (
        &["hand", "grass.inkml", "--stylus", "m.csv", "--json"],
        "--full-percentile",
        ["85%", "0.85"],
    ),
    (
        &["preview", "m.toml", "--out", "s.svg", "--force", "--json"],
        "--noise",
        ["0.7%", "0.007"],
    ),
    (
        &["preview", "m.toml", "--out", "s.svg", "--force", "--json"],
        "--tremor",
        ["2%", "0.02"],
    ),
    (
        &["bench", "plan", "m.csv", "--json"],
        "--saturation-within",
        ["3%", "0.03"],
    ),
    (
        &["bench", "plan", "m.csv", "--json"],
        "--curve-within",
        ["3%", "0.03"],
    ),
    (&["compare", "m.csv", "n.csv"], "--alike", ["2%", "0.02"]),
];

fn room() -> Room {
    let room = Room::new();
    room.demo("grass.inkml");
    room.demo("dunlin-02.csv");
    room.demo("dunlin-01.csv");
    std::fs::rename(room.path("dunlin-01.csv"), room.path("m.csv")).unwrap();
    std::fs::rename(room.path("dunlin-02.csv"), room.path("n.csv")).unwrap();
    room.ends("map m.csv --full-at 150gf --out m.toml", 0);
    room
}

/// What a command prints; plans and comparisons may end with 1, which is no fault of what was typed.
fn printed(room: &Room, command: &[&str], more: &[&str]) -> String {
    let did = room.run(&[command, more].concat());
    assert!(did.code < 2, "{command:?} {more:?}: {}", did.err);
    did.out
}

#[test]
fn percentage_and_fraction_give_the_same_bytes_in_every_option() {
    let room = room();
    for (command, option, [percent, fraction]) in OPTIONS {
        let [by_percent, by_fraction] =
            [percent, fraction].map(|value| printed(&room, command, &[option, value]));
        assert_eq!(by_percent, by_fraction, "{option}");
        assert_ne!(
            by_percent,
            printed(&room, command, &[]),
            "{option} {percent} changes nothing"
        );
    }
}

#[test]
fn bare_number_of_one_or_more_is_refused_in_every_option() {
    let room = room();
    for (command, option, _) in OPTIONS {
        for (value, advice) in [
            ("1", "write 1% or 100%"),
            ("5", "write 5%"),
            ("-5%", "below 0"),
            ("nan", "5% or 0.05"),
            ("five", "5% or 0.05"),
            ("100.5%", "write 100% or less"),
        ] {
            let did = room.ends(&[command, &[option, value][..]].concat(), 2);
            assert!(did.err.contains(advice), "{option} {value}: {}", did.err);
            assert!(did.err.contains(option), "{option} {value}: {}", did.err);
        }
    }
}
