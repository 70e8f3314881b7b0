//! Tables of strokes, of loads and of curves as people write them, through the commands that take them.

use crate::bench_room::{Parts, Room, assert_holds, items, number, string};
use crate::support::bends::{common, listed};
use crate::support::cases::cases;

/// A fault as a command prints it.
#[derive(Debug)]
struct Fault {
    place: (usize, usize),
    found: String,
    remedy: String,
}

impl Fault {
    /// It stands here and says this.
    #[track_caller]
    fn assert_at<'a>(&self, place: (usize, usize), found: impl Parts<'a>) {
        assert_eq!(self.place, place, "{self:?}");
        assert_holds(&self.found, "what was found", found);
    }

    /// This is told to be done.
    #[track_caller]
    fn assert_remedy<'a>(&self, parts: impl Parts<'a>) {
        assert_holds(&self.remedy, "remedy", parts);
    }
}

/// The faults that a command prints; all have a file and what was found.
fn faults(room: &Room, args: &str, file: &str) -> Vec<Fault> {
    let object = room.json(&format!("{args} --json"), 2);
    let fault = |fault: &serde_json::Value| {
        assert_eq!(fault["file"], file, "{fault}");
        assert!(fault["expected"].is_null() || fault["expected"].is_string());
        let remedy = string(&fault["remedy"]).to_owned();
        assert!(!remedy.is_empty(), "{fault}");
        let place = |key: &str| fault[key].to_string().parse().unwrap();
        Fault {
            place: (place("line"), place("column")),
            found: string(&fault["found"]).to_owned(),
            remedy,
        }
    };
    items(&object["faults"]).iter().map(fault).collect()
}

/// Where these faults are.
fn places(faults: &[Fault]) -> Vec<(usize, usize)> {
    faults.iter().map(|fault| fault.place).collect()
}

/// Thirty strokes that rise and fall, as cells: stroke, x, y, time in ms, reading in percent.
fn points() -> Vec<[String; 5]> {
    let mut rows = Vec::new();
    for stroke in 0..30_usize {
        for index in 0..20_usize {
            let part = (index + 1) as f64 / 21.0;
            let top = 30.0 + 2.0 * stroke as f64;
            let reading = top * (std::f64::consts::PI * part).sin();
            rows.push([
                stroke.to_string(),
                format!("{:.1}", index as f64 * 1.5),
                format!("{:.1}", stroke as f64 * 3.0),
                (1000 * stroke + 8 * index).to_string(),
                format!("{reading:.2}"),
            ]);
        }
    }
    rows
}

fn plain_strokes() -> String {
    let mut text = "stroke,x,y,t_ms,reported_percent\n".to_owned();
    for row in points() {
        text.push_str(&(row.join(",") + "\n"));
    }
    text
}

/// The same strokes as a spreadsheet of another country saves them.
fn bent_strokes() -> Vec<u8> {
    let mut text = "sep=;\r\nPage 3\r\n\r\n".to_owned();
    text.push_str("\"# Levels: 8192\";;;;;\r\n# batch = 2025;;;;;\r\n");
    text.push_str("Pressure %;Time [ms];X;Y;Stroke no.;remarks\r\n");
    for [stroke, x, y, time, reading] in points() {
        let reading = reading.replace('.', ",");
        let (x, y) = (x.replace('.', ","), y.replace('.', ","));
        text.push_str(&format!("{reading}%;{time};\u{a0}{x};{y};{stroke};\r\n"));
    }
    text.push_str(";;;;;\r\n");
    format!("\u{feff}{text}")
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect()
}

const HAND: &str = "hand strokes.csv --stylus dunlin-01.csv";

#[test]
fn a_bent_table_of_strokes_says_of_the_hand_what_the_plain_one_does() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let told = |bytes: Vec<u8>| {
        room.write("strokes.csv", bytes);
        let mut object = room.json(&format!("{HAND} --json"), 0);
        let read_as = object["recording_read_as"].take();
        (object, read_as)
    };
    let (plain, _) = told(plain_strokes().into_bytes());
    let (bent, read_as) = told(bent_strokes());
    assert_eq!(plain, bent);
    assert_eq!(read_as["header_line"], 6, "{read_as}");
    assert_eq!(read_as["columns"][0]["name"], "Pressure %");
    assert_eq!(read_as["columns"][0]["unit"], "percent");
    assert_eq!(read_as["labels"]["batch"], "2025");
    assert_eq!(read_as["ignored"][0], "remarks");
    let did = room.ends(HAND, 0);
    assert_eq!(
        did.out.matches("not read: remarks").count(),
        1,
        "{}",
        did.out
    );
}

#[test]
fn every_fault_of_a_table_of_strokes_is_told_at_once() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    room.write(
        "strokes.csv",
        "# skip = 4\nstroke,t_ms,reported_percent\n1,0,10\n1,eight,20\n1,16,200\n1,24,1,5\n1,20,30\n",
    );
    let found = faults(&room, HAND, "strokes.csv");
    assert_eq!(
        places(&found),
        [(1, 1), (4, 3), (5, 6), (6, 1)],
        "{found:?}"
    );
    found[0].assert_remedy("delete those lines");
    found[3].assert_remedy("semicolons");
    for place in ["1:1", "4:3", "5:6", "6:1"] {
        room.refuses(HAND, &format!("strokes.csv:{place}"));
    }
}

#[test]
fn levels_of_a_recording_are_its_own() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let raw = plain_strokes().replace("reported_percent", "Raw");
    let raw: String = raw
        .lines()
        .map(|line| match line.rsplit_once(',') {
            Some((rest, reading)) if !line.starts_with("stroke") => {
                format!("{rest},{:.0}\n", reading.parse::<f64>().unwrap() * 10.0)
            }
            _ => format!("{line}\n"),
        })
        .collect();
    // The option counts for the stylus too, so that runs with it are compared with each other.
    let percentile = |object: &serde_json::Value| object["percentiles"].clone();
    let middle =
        |object: &serde_json::Value| number(&object["percentiles"][3]["force_gf"]["estimate"]);
    room.write("strokes.csv", &raw);
    let args = format!("{HAND} --levels 1001");
    let by_option = room.json(&format!("{args} --json"), 0);
    room.write("strokes.csv", format!("# levels: 2001\n{raw}"));
    let half = room.json(&format!("{HAND} --json"), 0);
    room.write("strokes.csv", format!("# levels: 1001\n{raw}"));
    let by_file = room.json(&format!("{HAND} --json"), 0);
    assert!((middle(&by_option) / middle(&by_file) - 1.0).abs() < 0.001);
    assert!(middle(&half) < 0.8 * middle(&by_file));
    // Both may say the same; they may not differ.
    let same = room.json(&format!("{args} --json"), 0);
    assert_eq!(percentile(&same), percentile(&by_option));
    room.write("strokes.csv", format!("# levels: 8192\n{raw}"));
    let found = faults(&room, &args, "strokes.csv");
    found[0].assert_at((1, 1), ["8192", "1001"]);
    // Without either the remedy names the option.
    room.write("strokes.csv", &raw);
    let found = faults(&room, HAND, "strokes.csv");
    found[0].assert_remedy(["# levels = 8192", "--levels"]);
}

#[test]
fn bent_strokes_are_drawn_as_the_plain_ones_and_ambiguous_ones_refused() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let map = "map dunlin-01.csv --full-at 150gf --out m.toml";
    room.ends(map, 0);
    let sheet = |bytes: Vec<u8>, out: &str| {
        room.write("strokes.csv", bytes);
        let args = format!("preview m.toml --strokes strokes.csv --out {out}");
        let did = room.ends(&args, 0);
        did.out
    };
    sheet(plain_strokes().into_bytes(), "plain.svg");
    let told = sheet(bent_strokes(), "bent.svg");
    assert_eq!(room.read("plain.svg"), room.read("bent.svg"));
    assert_eq!(told.matches("not read: remarks").count(), 1, "{told}");
    room.write("strokes.csv", "x,y,reported,Pressure %\n1,2,0.5,50\n");
    let args = "preview m.toml --strokes strokes.csv --out no.svg";
    let found = faults(&room, args, "strokes.csv");
    found[0].assert_at((1, 14), "a second column of reading");
    // Nobody can choose a column here, so none is offered.
    assert!(!found[0].remedy.contains("--column"), "{found:?}");
    assert!(!room.path("no.svg").exists());
}

const CONVERT: &str = "bench convert loads.csv --rig rig.toml";
const LOADS: &str = "\
# Redshank 05 came late.
# model = Redshank
# batch = 2025
load,reported_percent
lifted,0
2,0
5@250+1@250,1.06
20+10,28.74
# the last one
100,100
";

/// Bends by what is changed.
const BENDS: &str = "
placed | load, → placed,
units in the header | load,reported_percent → Load (g),Pressure %
units in cells | 2,0⏎ → 2 g,0 %⏎,⏎ & 28.74 → 28.74% & 1.06 → 1.06 % & lifted,0 → Lifted,0% & 100,100 → 100 g,100%
units of arms | 5@250+1@250 →  5 g @ 250 mm + 1@250\u{20}
quotes of one | 20+10 → \u{a0}\"20+10\"\u{a0}
remarks | # batch = 2025 → \"# batch: 2025\", & # model = → # Model:
";

/// The measurement that a table of loads becomes: what it prints, and what is written.
fn measured(room: &Room, bytes: impl AsRef<[u8]>) -> (serde_json::Value, String) {
    room.write("loads.csv", bytes);
    let args = format!("{CONVERT} --out out.csv --force --json");
    (room.json(&args, 0), room.read("out.csv"))
}

#[test]
fn bent_tables_of_loads_become_the_same_measurement() {
    let room = Room::new();
    room.demo("rig.toml");
    let (plain, written) = measured(&room, LOADS);
    let kept = "# Redshank 05 came late.
# model = Redshank
# batch = 2025
force_gf,reported_percent
# the last one
# force_acts = along-stylus
# tilt_deg = 0
# bench = window";
    for line in kept.lines() {
        assert!(written.lines().any(|own| own == line), "{line}\n{written}");
    }
    // Every sample stands in the line of its load.
    let lines: Vec<&str> = written.lines().collect();
    assert!(
        lines[7].ends_with(",28.74") && lines[9].ends_with(",100"),
        "{written}"
    );
    let budgets = |object: &serde_json::Value| {
        let rows = items(&object["rows"]);
        let forces: Vec<f64> = rows.iter().map(|row| number(&row["force_gf"])).collect();
        (
            forces,
            object["force_gain_u"].clone(),
            object["force_scatter_u"].clone(),
        )
    };
    let fitted = |room: &Room| {
        let object = room.json("fit out.csv --json --resamples 50", 0);
        (object["curve"].clone(), object["stylus"].clone())
    };
    let fit = fitted(&room);
    for (name, bytes) in common(LOADS).into_iter().chain(listed(LOADS, BENDS)) {
        let (found, written) = measured(&room, &bytes);
        assert_eq!(budgets(&found), budgets(&plain), "{name}");
        assert_eq!(fitted(&room), fit, "{name}\n{written}");
        assert!(
            written.contains("# batch = 2025") || written.contains("# batch: 2025"),
            "{written}"
        );
    }
}

#[test]
fn what_a_table_of_loads_says_travels_along() {
    let room = Room::new();
    room.demo("rig.toml");
    let text = "Batch 7: blue
Skip nothing here
Tuesday
model;Redshank
# unit: 05
# lever = the one of oak
# notes = \"a, b,\"
# exclude = 12
Reading (%);Load;direction;why
5;10;loading;
# seating = 2
10;20;Unloading;slow
# seating = 3
100;100;;
";
    let (object, written) = measured(&room, text);
    let lines: Vec<&str> = written.lines().collect();
    let row = |at: usize, reading: &str, rest: &str| {
        let force = number(&object["rows"][at]["force_gf"]);
        format!("{reading};{force:.4};{rest}")
    };
    assert_eq!(
        lines[..14],
        [
            "# title 1 = Batch 7: blue",
            "# title 2 = Skip nothing here",
            "# Tuesday",
            "# model = Redshank",
            "# unit = 05",
            "# lever = the one of oak",
            "# notes = \"a, b,\"",
            "# exclude = 12",
            "reported_percent;force_gf;direction;seating",
            row(0, "5", "loading;1").as_str(),
            "",
            row(1, "10", "unloading;2").as_str(),
            "",
            row(2, "100", ";3").as_str(),
        ],
        "{written}"
    );
    assert_eq!(object["read_as"]["ignored"][0], "why");
    let check = room.json("check out.csv --json", 0);
    assert_eq!(check["files"][0]["samples"], 2, "{check}");
    assert_eq!(
        check["files"][0]["read_as"]["labels"]["title 1"],
        "Batch 7: blue"
    );
    let did = room.run(CONVERT);
    assert_eq!(did.out.matches("not read: why").count(), 1, "{}", did.out);
}

const REFUSED_LOADS: &str = r#"
load,reported,Pressure %⏎5,0.5,50⏎ | 1:15 | a second column of reading | --column
load,placed,reported⏎5,5,0.5⏎ | 1:6 | a second column of load | --column
load,reading⏎5,0.5⏎ | 1:6 | `reading`, which has no unit | reported_percent
load,reported,seatng⏎5,0.5,1⏎ | 1:15 | the column `seatng` | write seating
force_gf,reported⏎5,0.5⏎ | 1:1 | the column `force_gf` | name it load
Load (N),reported⏎5,0.5⏎ | 1:1 | loads in N, but this rig's are in g | write loads in g
load,reported⏎5 N,0.5⏎ | 2:1 | `5 N` | write masses in g
load,reported⏎5 kg,0.5⏎ | 2:1 | `5 kg` | write masses in g
load,reported⏎5@3 cm,0.5⏎ | 2:1 | `5@3 cm` | with its arm in mm
load,reported⏎20+,0.5⏎ | 2:1 | `20+` | 20+10
load,reported⏎1 000,0.5⏎ | 2:1 | `1 000` | without spaces
load;reported⏎2,5+10;0.5⏎ | 2:1 | `2,5` with a decimal comma, but line 2 has a decimal point | one decimal mark
load;reported⏎10;0,5⏎20+2.5;0,6⏎ | 3:4 | `2.5` with a decimal point | one decimal mark
load;reported_percent⏎1.050;5⏎900;10⏎ | 2:1 | `1.050`, which may be thousands | write 1050
# unit = 1⏎# unit = 2⏎load,reported⏎5,0.5⏎ | 2:1 | unit = `2` here and `1` in line 1 | keep the one
# tilt_deg = 5⏎load,reported⏎5,0.5⏎ | 1:1 | tilt_deg = `5`, but the rig says 0 | delete the line
load,reported_percent⏎5,50 gf⏎ | 2:3 | `50 gf` | one unit
# skip = 5⏎load,reported⏎5,0.5⏎ | 1:1 | the remark `skip = 5` | # exclude = 12
# exclude = last⏎load,reported⏎5,0.5⏎ | 1:1 | `last` | # exclude = 12
# exclude = 9⏎load,reported⏎5,0.5⏎6,0.6⏎ | 1:1 | line 9 | 
# load unit: N⏎load,reported⏎5,0.5⏎ | 2:1 | the remark load unit = `N` | header
load,reported⏎5,0.5,1⏎ | 2:1 | 3 cells | semicolons
load,reported⏎"5"1,0.5⏎ | 2:1 | text behind a closing quote | quotes
load,reported⏎5,2⏎ | 2:3 | a reading of 2 | fractions from 0 to 1
load,reported,direction⏎5,0.5,up⏎ | 2:7 | `up` | loading or unloading
# seating = 2⏎load,reported,seating⏎5,0.5,1⏎ | 1:1 | beside a column of seatings | keep one
"#;

#[test]
fn ambiguous_tables_of_loads_are_refused_with_place_and_remedy() {
    let room = Room::new();
    room.demo("rig.toml");
    for case in cases(REFUSED_LOADS) {
        let text = case.text;
        room.write("loads.csv", &text);
        let args = format!("{CONVERT} --out out.csv");
        let told = faults(&room, &args, "loads.csv");
        assert_eq!(told.len(), 1, "{text}{told:?}");
        told[0].assert_at(case.place, &case.found);
        told[0].assert_remedy(&case.remedy);
        assert!(!room.path("out.csv").exists());
    }
    room.write("loads.csv", b"load,reported,note\n5,0.5,K\xf6ln\n");
    let told = faults(&room, CONVERT, "loads.csv");
    assert_eq!(told[0].place, (2, 7), "{told:?}");
    // One of two can be chosen.
    let two = "load,reported,Pressure %\n5,0.5,60\n10,0.6,70\n";
    room.write("loads.csv", two);
    let chosen = format!("{CONVERT} --column \"pressure %\" --json");
    let object = room.json(&chosen, 0);
    assert_eq!(object["read_as"]["ignored"][0], "reported");
}

#[test]
fn every_fault_of_a_table_of_loads_is_told_at_once() {
    let room = Room::new();
    room.demo("rig.toml");
    room.write(
        "loads.csv",
        "# bench = attic\n# levels = many\nload,reported_percent\n5 and 10,50\n20+x,500\n30,-1\n\"40,50\n# load unit: N\n",
    );
    let found = faults(&room, CONVERT, "loads.csv");
    let below = [(4, 1), (5, 1), (5, 6), (6, 4), (7, 1)];
    assert_eq!(places(&found)[..3], [(1, 1), (2, 1), (3, 1)], "{found:?}");
    assert_eq!(places(&found)[3..], below, "{found:?}");
    // What lacks is told beside what is wrong.
    room.write("loads.csv", "load,Raw\n5,0\nten,500\n");
    let found = faults(&room, CONVERT, "loads.csv");
    assert_eq!(places(&found), [(1, 6), (3, 1)], "{found:?}");
    found[0].assert_remedy("--levels");
    // A beam that lifts the nib presses with less than nothing.
    let rig = room.read("rig.toml");
    let lifting = rig.replace("beam_moment_g_mm = 0", "beam_moment_g_mm = -3000");
    room.write("rig.toml", lifting);
    room.write("loads.csv", "load,reported\n5,0\n100,0.5\n");
    let found = faults(&room, CONVERT, "loads.csv");
    assert_eq!((found.len(), found[0].place.0), (1, 2), "{found:?}");
    assert!(found[0].found.contains("away from the nib"), "{found:?}");
}

#[test]
fn levels_of_a_table_of_loads_are_its_own() {
    let room = Room::new();
    room.demo("rig.toml");
    let table = "load,Raw\n5,0\n10,500\n50,4000\n100,8191\n";
    room.write("loads.csv", format!("# Levels: 8192\n{table}"));
    let args = format!("{CONVERT} --levels 1024");
    let found = faults(&room, &args, "loads.csv");
    found[0].assert_at((1, 1), ["8192", "1024"]);
    room.write("loads.csv", table);
    room.json(&format!("{CONVERT} --levels 8192 --out out.csv --json"), 0);
    assert!(room.read("out.csv").contains("# levels = 8192"));
}

const MAP: &str = "map dunlin-01.csv --full-at 150gf --before curve.csv";

#[test]
fn a_bent_table_of_a_curve_makes_the_same_map_and_an_ambiguous_one_none() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let points = |bytes: &[u8]| {
        room.write("curve.csv", bytes);
        let object = room.json(&format!("{MAP} --json"), 0);
        (
            object["control_points"].clone(),
            object["warnings"].to_string(),
        )
    };
    let (plain, _) = points(b"input,output\n0,0\n0.5,0.25\n1,1\n");
    let bent = "sep=;\nThe brush\n\nOutput (%);Input;why\n0;0;\n25,0;50%;\n100;100%;\n";
    let bent = bent.replace("0;0;\n", "0;0%;\n");
    let (found, warnings) = points(bent.as_bytes());
    assert_eq!(found, plain);
    assert_eq!(warnings.matches("not read: why").count(), 1, "{warnings}");
    let did = room.run(MAP);
    did.assert_out("output in percent from `Output (%)`");
    room.write(
        "curve.csv",
        "# skip = 1\ninput,output,Output %\n0,0,0\n0.5,zero,25\n0.4,1,100\n",
    );
    let found = faults(&room, MAP, "curve.csv");
    assert_eq!(places(&found), [(1, 1), (2, 14), (4, 5)], "{found:?}");
    assert!(!found[1].remedy.contains("--column"), "{found:?}");
}
