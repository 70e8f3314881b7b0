//! What the whole screen shows and what its keys do, without a terminal.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use std::path::Path;

use evenhand_recorder::{
    EventLayout, Recorder, RecorderSettings, Source, SourceSettings, StreamKind,
};
use evenhand_screen::{Canvas, Key, Look, Screen};
use unicode_width::UnicodeWidthChar;

/// A reading that creeps to its place and lies still there, then a blank line.
fn placement(percent: f64) -> String {
    let mut text = String::new();
    for step in 0..60_u32 {
        let creep = 3.0 * (-f64::from(step)).exp();
        text.push_str(&format!("{:.3}\n", (percent - creep).max(0.0)));
    }
    text.push('\n');
    text
}

fn screen(folder: &Path, forces: &[&str], percents: &[f64]) -> Screen {
    screen_of("new.csv", folder, forces, percents)
}

fn screen_of(file: &str, folder: &Path, forces: &[&str], percents: &[f64]) -> Screen {
    let settings = RecorderSettings {
        settle: 30,
        ..settings(&folder.join(file), forces)
    };
    begun(&stream(folder, percents), settings)
}

fn settings(out: &Path, forces: &[&str]) -> RecorderSettings {
    RecorderSettings {
        forces: forces.iter().map(|force| force.parse().unwrap()).collect(),
        ..RecorderSettings::new(out.to_path_buf())
    }
}

/// A source of a placement for each reading.
fn stream(folder: &Path, percents: &[f64]) -> SourceSettings {
    let path = folder.join("stream.txt");
    let stream: String = percents.iter().map(|percent| placement(*percent)).collect();
    std::fs::write(&path, stream).unwrap();
    SourceSettings {
        path,
        ..SourceSettings::default()
    }
}

fn begun(source: &SourceSettings, settings: RecorderSettings) -> Screen {
    let source = Source::open(source).unwrap();
    Screen::new(Recorder::open(settings, source).unwrap())
}

fn shown(screen: &mut Screen, width: u16, height: u16) -> String {
    let mut canvas = Canvas::new(width, height);
    screen.draw(&mut canvas);
    canvas.to_string()
}

/// Presses a key and takes what comes of it.
fn press(screen: &mut Screen, keys: &str) {
    for letter in keys.chars() {
        screen.press(match letter {
            '\n' => Key::Enter,
            '\u{8}' => Key::Backspace,
            '\u{1b}' => Key::Escape,
            other => Key::Char(other),
        });
        for _ in 0..20 {
            screen.poll();
        }
    }
}

fn kept(folder: &Path) -> Vec<String> {
    std::fs::read_to_string(folder.join("new.csv"))
        .unwrap()
        .lines()
        .filter(|line| line.starts_with(|c: char| c.is_ascii_digit()))
        .map(str::to_owned)
        .collect()
}

#[test]
fn a_session_is_shown_as_it_goes() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = screen(
        folder.path(),
        &["5gf", "20gf", "60gf", "90gf", "870gf"],
        &[0.0, 12.0, 40.0, 75.0, 100.0],
    );
    let first = shown(&mut screen, 100, 30);
    for part in [
        "new.csv",
        "seating 1",
        "0 samples",
        "NEXT FORCE, gf",
        "READING, %",
        "hang it, then press Enter",
        "guard the lever",
        "it hangs still",
        "another force",
        "retake",
        "undo",
        "new seating",
        "enough for today",
        "1 of 5 on the list",
    ] {
        assert!(first.contains(part), "{part}\n{first}");
    }
    screen.press(Key::Enter);
    screen.poll();
    let watching = shown(&mut screen, 100, 30);
    assert!(watching.contains("watching: 10 of 30"), "{watching}");
    assert!(watching.contains("may by 0.40 %"), "{watching}");
    press(&mut screen, "\n");
    let rows = kept(folder.path()).len();
    assert_eq!(rows, 1, "a second Enter begins to watch anew");
    press(&mut screen, "\n\n\n");
    let later = shown(&mut screen, 100, 30);
    assert!(later.contains("4 samples"), "{later}");
    assert!(later.contains("kept 90.00 gf: 75.00 %"), "{later}");
    assert!(later.contains("near the limit of 1000.0 gf"), "{later}");
    assert!(
        later
            .chars()
            .any(|c| ('\u{2801}'..='\u{28ff}').contains(&c)),
        "a curve\n{later}"
    );
    assert!(later.contains('•'), "samples\n{later}");
    press(&mut screen, "\n");
    let last = shown(&mut screen, 100, 30);
    assert!(last.contains("all 5 of the list are placed"), "{last}");
    assert!(!screen.is_over(), "one can still undo");
    press(&mut screen, "q");
    assert!(screen.is_over());
    assert_eq!(kept(folder.path()).len(), 5);
}

#[test]
fn keys_take_back_place_again_and_choose() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = screen(
        folder.path(),
        &["5gf", "20gf", "60gf"],
        &[1.0, 12.0, 13.0, 45.0],
    );
    press(&mut screen, "\n\nr");
    assert_eq!(kept(folder.path()).len(), 1);
    assert!(shown(&mut screen, 80, 24).contains("took back 20.00 gf at 12.00 %"));
    press(&mut screen, "\n");
    assert!(kept(folder.path())[1].starts_with("20,0.13"));
    press(&mut screen, "s7");
    let typing = shown(&mut screen, 80, 24);
    assert!(typing.contains("another force: 7"), "{typing}");
    assert!(typing.contains("that one instead"), "{typing}");
    // A force without a unit is none; what is typed can be mended or left.
    press(&mut screen, "0\n");
    assert!(shown(&mut screen, 80, 24).contains("unit"));
    press(&mut screen, "9\u{1b}70x\u{8}gf\n");
    assert!(shown(&mut screen, 80, 24).contains("70 gf instead"));
    press(&mut screen, "\n");
    assert!(kept(folder.path())[2].starts_with("70,0.45"));
    assert!(kept(folder.path())[2].contains(",2,"), "seating 2");
    press(&mut screen, "uuuu");
    assert!(shown(&mut screen, 80, 24).contains("nothing to take back"));
    assert_eq!(kept(folder.path()).len(), 0);
    press(&mut screen, "2000gf\n");
    assert!(shown(&mut screen, 80, 24).contains("not between 0 and the limit"));
    screen.press(Key::Interrupt);
    assert!(screen.is_over());
}

#[test]
fn every_size_of_terminal_is_drawn() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = screen(folder.path(), &["120.5gf", "5gf"], &[12.0, 0.0]);
    for width in [0, 1, 2, 7, 20, 34, 60, 80, 140, 300] {
        for height in [0, 1, 2, 5, 9, 15, 24, 60, 120] {
            let text = shown(&mut screen, width, height);
            // Where cautions and keys have no room it is said, and no half of them shown.
            let is_whole = text.contains("NEXT FORCE");
            let has_all = [
                "Enter",
                "retake",
                "enough for today",
                "guard the lever",
                "for nib or glass",
                "then press Enter",
            ]
            .iter()
            .all(|part| text.contains(part));
            assert_eq!(is_whole, has_all, "{width}×{height}\n{text}");
            if !is_whole && width >= 20 && height >= 4 {
                let says_so = text.contains("too small") || text.contains("too narrow");
                let shows_force = text.contains("120.5 gf");
                assert!(says_so && shows_force, "{width}×{height}\n{text}");
            }
            let is_usual = width >= 80 && height >= 24;
            let says_end = text.contains("enough for today");
            assert!(says_end || !is_usual, "{width}×{height}\n{text}");
        }
    }
    // Small ones have plain figures, larger ones large figures.
    assert!(shown(&mut screen, 64, 13).contains("120.5"));
    // A sentence is shown whole or not at all.
    press(&mut screen, "\n7gf\n");
    let text = shown(&mut screen, 64, 13);
    assert!(
        text.contains("7 gf instead") && text.contains("kept 120.5"),
        "{text}"
    );
    assert!(!text.contains("before the first"), "{text}");
    assert!(shown(&mut screen, 80, 24).contains('█'));
}

#[test]
fn figures_and_curve_are_whole_at_every_height() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = screen(folder.path(), &["870gf", "5gf"], &[12.0, 0.0]);
    let lowest = [
        "870",
        " ████     ██     █████ ",
        " ▀▀▀▀     ▀▀     ▀▀▀▀▀ ",
        "▝▀▘  ▀  ▝▀▀ ",
    ];
    for width in [64, 65, 80, 100, 200] {
        for height in 11..70 {
            let text = shown(&mut screen, width, height);
            let rows: Vec<&str> = text.lines().collect();
            assert_eq!(rows.len(), usize::from(height));
            let below = rows
                .iter()
                .position(|row| row.contains("hang it, then press Enter"))
                .unwrap();
            let is_whole = lowest.iter().any(|row| rows[below - 1].starts_with(row));
            assert!(is_whole, "{width}×{height}\n{text}");
            let has_curve = ["100│reading, %", "50 │", "0  │", "gf", "└───"]
                .iter()
                .all(|part| text.contains(part));
            assert_eq!(has_curve, height >= 20, "{width}×{height}\n{text}");
        }
    }
}

#[test]
fn names_of_files_and_what_is_typed_cannot_break_the_screen() {
    let folder = tempfile::tempdir().unwrap();
    let file = "千鳥 \u{1b}[2J e\u{301}\u{202e}\u{200b}\t.csv";
    let mut screen = screen_of(file, folder.path(), &["5gf", "20gf"], &[0.0, 12.0]);
    press(&mut screen, "\n5千\u{301}\u{202e}\u{7}鳥");
    for width in [64, 65, 80, 300] {
        let text = shown(&mut screen, width, 30);
        for row in text.lines() {
            let cells: usize = row.chars().filter_map(UnicodeWidthChar::width).sum();
            assert_eq!(cells, usize::from(width), "{row}\n{text}");
        }
        assert!(!text.chars().any(|c| c.is_control() && c != '\n'), "{text}");
        assert!(!text.contains(['\u{202e}', '\u{200b}']), "{text}");
        assert!(text.contains("another force: 5千\u{301}鳥▏"), "{text}");
    }
    let text = shown(&mut screen, 300, 30);
    let head = "千鳥 ?[2J e\u{301} .csv · seating 1";
    assert!(text.contains(head), "{text}");
}

/// A recorded session of kernel events: a pen that leans comes down, rests and is lifted.
fn leaning_events(count: i32, tilt: i32) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut event = |micros: u64, kind: u16, code: u16, value: i32| {
        bytes.extend((micros / 1_000_000).to_le_bytes());
        bytes.extend((micros % 1_000_000).to_le_bytes());
        bytes.extend(kind.to_le_bytes());
        bytes.extend(code.to_le_bytes());
        bytes.extend(value.to_le_bytes());
    };
    event(5_000_000, 1, 0x14a, 1);
    event(5_000_000, 3, 0x1a, tilt);
    event(5_000_000, 3, 0x18, count);
    event(5_000_000, 0, 0, 0);
    event(6_500_000, 1, 0x14a, 0);
    event(6_500_000, 0, 0, 0);
    bytes
}

/// How the letters of a part of the screen look, where it is on it.
fn look_of(screen: &mut Screen, part: &str) -> Look {
    let mut canvas = Canvas::new(100, 30);
    screen.draw(&mut canvas);
    let (x, y) = canvas
        .rows()
        .enumerate()
        .find_map(|(y, row)| row.find(part).map(|x| (row[..x].chars().count(), y)))
        .unwrap_or_else(|| panic!("{part}\n{canvas}"));
    let looks: Vec<Look> = (x..x + part.chars().count())
        .filter_map(|x| canvas.look(u16::try_from(x).unwrap(), u16::try_from(y).unwrap()))
        .collect();
    assert!(
        looks.iter().all(|look| *look == looks[0]),
        "{part}\n{canvas}"
    );
    looks[0]
}

#[test]
fn warnings_keys_and_figures_stand_out() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("events.bin"), leaning_events(4000, 40)).unwrap();
    let source = SourceSettings {
        path: folder.path().join("events.bin"),
        kind: Some(StreamKind::Events),
        levels: Some(8192),
        layout: Some(EventLayout::Bits64),
    };
    let out = folder.path().join("new.csv");
    let mut screen = begun(&source, settings(&out, &["20gf", "900gf"]));
    press(&mut screen, "\n");
    let (plain, bold, reversed) = (Look::PLAIN, Look::BOLD, Look::REVERSED);
    for (part, look) in [
        ("· seating 1 · 1 sample · limit 1000.0 gf  ", reversed),
        ("NEXT FORCE, gf", bold),
        ("READING, %", bold),
        ("██", bold),
        ("hang it, then press Enter", plain),
        ("the pen leans by 40    ", reversed),
        ("reading, %", plain),
        ("•", bold),
        ("near the limit of 1000.0 gf", reversed),
        ("kept 20.00 gf", plain),
        (" 60gf ", reversed),
        (" it hangs still ", plain),
    ] {
        assert_eq!(look_of(&mut screen, part), look, "{part}");
    }
    screen.press(Key::Char('7'));
    assert_eq!(look_of(&mut screen, "7▏"), bold);
}

#[test]
fn what_to_do_for_a_force_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let rig = "name = \"letter scale\"\n[scale]\nstep_g = 0.1\nwithin_part = 0.01\n";
    std::fs::write(folder.path().join("rig.toml"), rig).unwrap();
    let settings = RecorderSettings {
        rig: Some(folder.path().join("rig.toml")),
        ..settings(&folder.path().join("new.csv"), &["60gf"])
    };
    let mut screen = begun(&stream(folder.path(), &[3.0]), settings);
    let text = shown(&mut screen, 64, 24);
    let rows: Vec<&str> = text.lines().collect();
    let first = rows
        .iter()
        .position(|row| row.starts_with("press until the scale shows  "))
        .unwrap();
    assert!(rows[first + 1].starts_with("60.0 g  "), "{text}");
    let words = "press until the scale shows 60.0 g";
    assert_eq!(look_of(&mut screen, words), Look::BOLD);
    assert!(shown(&mut screen, 40, 8).contains(words));
}

#[test]
fn what_was_drawn_before_does_not_matter() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = screen(folder.path(), &["5gf", "20gf"], &[0.0, 12.0]);
    let mut canvas = Canvas::new(80, 24);
    screen.draw(&mut canvas);
    press(&mut screen, "\n\n7");
    screen.draw(&mut canvas);
    assert_eq!(canvas.to_string(), shown(&mut screen, 80, 24));
}

#[test]
fn a_sentence_too_long_for_the_screen_is_begun() {
    let folder = tempfile::tempdir().unwrap();
    let file = "long ".repeat(45) + ".csv";
    let mut screen = screen_of(&file, folder.path(), &["5gf", "20gf"], &[0.0, 12.0]);
    press(&mut screen, "\n");
    let path = folder.path().join(&file);
    std::fs::write(&path, std::fs::read_to_string(&path).unwrap() + "# mine\n").unwrap();
    press(&mut screen, "u");
    let text = shown(&mut screen, 64, 24);
    assert!(text.contains("not kept: "), "{text}");
    assert!(text.contains("enough for today"), "{text}");
}

#[test]
fn a_save_that_fails_is_told_and_keeps_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = screen(folder.path(), &["5gf", "20gf"], &[0.0, 12.0]);
    press(&mut screen, "\n");
    let file = folder.path().join("new.csv");
    let changed = std::fs::read_to_string(&file).unwrap() + "# mine\n";
    std::fs::write(&file, &changed).unwrap();
    press(&mut screen, "\n");
    let text = shown(&mut screen, 120, 30);
    assert!(text.contains("changed by another"), "{text}");
    let now = std::fs::read_to_string(&file).unwrap();
    assert_eq!(now, changed, "left alone");
}
