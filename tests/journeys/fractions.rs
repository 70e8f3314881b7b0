//! Parts and probabilities are typed one way, whatever the option.

use crate::bench_room::Room;

const MAP: &str = "map m.csv --full-at 150gf --json";
const HAND: &str = "hand grass.inkml --stylus m.csv --json";
const PREVIEW: &str = "preview m.toml --out s.svg --force --json";
const PLAN: &str = "bench plan m.csv --json";

/// A command up to an option that takes a fraction, the option, and two ways to write a value that it takes.
const OPTIONS: [(&str, &str, [&str; 2]); 10] = [
    ("fit m.csv --json", "--confidence", ["90%", "0.9"]),
    ("fit m.csv --json", "--at", ["12.5%", "0.125"]),
    (MAP, "--output-floor", ["7%", "0.07"]),
    (HAND, "--light-percentile", ["10%", "0.1"]),
    (HAND, "--full-percentile", ["85%", "0.85"]),
    (PREVIEW, "--noise", ["0.7%", "0.007"]),
    (PREVIEW, "--tremor", ["2%", "0.02"]),
    (PLAN, "--saturation-within", ["3%", "0.03"]),
    (PLAN, "--curve-within", ["3%", "0.03"]),
    ("compare m.csv n.csv", "--alike", ["2%", "0.02"]),
];

fn room() -> Room {
    let room = Room::new();
    room.demo("grass.inkml");
    for (from, to) in [("dunlin-01.csv", "m.csv"), ("dunlin-02.csv", "n.csv")] {
        room.demo(from);
        std::fs::rename(room.path(from), room.path(to)).unwrap();
    }
    room.ends("map m.csv --full-at 150gf --out m.toml", 0);
    room
}

/// What a command prints; plans and comparisons may end with 1, which is no fault of what was typed.
fn printed(room: &Room, args: &str) -> String {
    let did = room.run(args);
    assert!(did.code < 2, "{args}: {}", did.err);
    did.out
}

#[test]
fn percentage_and_fraction_give_the_same_bytes_in_every_option() {
    let room = room();
    for (command, option, [percent, fraction]) in OPTIONS {
        let [by_percent, by_fraction] =
            [percent, fraction].map(|value| printed(&room, &format!("{command} {option} {value}")));
        assert_eq!(by_percent, by_fraction, "{option}");
        let without = printed(&room, command);
        assert_ne!(by_percent, without, "{option} {percent} changes nothing");
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
            room.refuses(&format!("{command} {option} {value}"), [advice, option]);
        }
    }
}
