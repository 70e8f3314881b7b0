//! Tables of a curve as people write them: read with the meaning they had, or refused.

use super::*;

#[path = "../../../text/tests/support/cases.rs"]
mod cases;
use cases::cases;

const PLAIN: &str = "input,output\n0,0\n0.125,0.0625\n0.5,0.75\n1,1\n";

fn read(bytes: &[u8]) -> Result<Vec<[f64; 2]>, Faults> {
    points("c.csv", bytes).map(|(table, _)| table.control_points)
}

fn utf16(text: &str, bytes: fn(u16) -> [u8; 2]) -> Vec<u8> {
    text.encode_utf16().flat_map(bytes).collect()
}

#[test]
fn legal_bends_change_nothing() {
    let expected = vec![[0.0, 0.0], [0.125, 0.0625], [0.5, 0.75], [1.0, 1.0]];
    assert_eq!(read(PLAIN.as_bytes()), Ok(expected.clone()));
    let commas = PLAIN.replace(',', ";").replace('.', ",");
    let percent = "input_percent,output_percent\n0,0\n12.5,6.25\n50,75\n100,100\n";
    let signs = "input,output\n0%,0%\n12.5%,6.25 %\n50%,75%\n100%,100%\n";
    let bends: Vec<(&str, Vec<u8>)> = vec![
        ("titles", format!("The brush of Tuesday\n\n{PLAIN}").into()),
        ("blank rows", PLAIN.replace("0,0\n", "0,0\n,\n\n").into()),
        (
            "stated separator",
            format!("sep=;\n{}", PLAIN.replace(',', ";")).into(),
        ),
        ("padded remark", format!("# brush = soft,\n{PLAIN}").into()),
        (
            "quoted remark",
            format!("\"# brush = soft, wide\",\n{PLAIN}").into(),
        ),
        ("percent", percent.into()),
        (
            "percent in brackets",
            percent
                .replace("input_percent", "Input (%)")
                .replace("output_percent", "Output [%]")
                .into(),
        ),
        ("percent signs", signs.into()),
        (
            "percent signs, no unit",
            signs.replace("input,output", "inputs,outputs").into(),
        ),
        (
            "one in percent",
            "Output %,input\n0,0\n6.25,0.125\n75,0.5\n100,1\n".into(),
        ),
        (
            "no-break spaces",
            PLAIN.replace(',', "\u{a0},\u{a0}").into(),
        ),
        ("quotes", PLAIN.replace("0.5", "\"0.5\"").into()),
        ("byte-order mark", format!("\u{feff}{PLAIN}").into()),
        (
            "UTF-16, lower byte first",
            utf16(&format!("\u{feff}{PLAIN}"), u16::to_le_bytes),
        ),
        (
            "UTF-16, upper byte first",
            utf16(&format!("\u{feff}{PLAIN}"), u16::to_be_bytes),
        ),
        (
            "Windows-1252 in a remark",
            [b"# brush = gr\xfcn\n", PLAIN.as_bytes()].concat(),
        ),
        ("CRLF", PLAIN.replace('\n', "\r\n").into()),
        ("CR", PLAIN.replace('\n', "\r").into()),
        ("semicolons", PLAIN.replace(',', ";").into()),
        ("semicolons and decimal commas", commas.clone().into()),
        ("tabs and decimal commas", commas.replace(';', "\t").into()),
        (
            "names",
            PLAIN
                .replace("input,output", " INPUT , Output (0-1)")
                .into(),
        ),
        (
            "notes",
            PLAIN
                .lines()
                .map(|line| format!("{line},notes\n"))
                .collect::<String>()
                .into(),
        ),
        (
            "another order",
            PLAIN
                .lines()
                .map(|line| {
                    let (x, y) = line.split_once(',').unwrap();
                    format!("{y},{x}\n")
                })
                .collect::<String>()
                .into(),
        ),
    ];
    for (name, bytes) in bends {
        assert_eq!(read(&bytes), Ok(expected.clone()), "{name}");
    }
}

/// There is one fault, at this place, which says this and has such a remedy.
#[track_caller]
fn assert_refused(bytes: &[u8], place: (usize, usize), found: &str, remedy: &str) {
    let name = String::from_utf8_lossy(bytes);
    let faults = read(bytes).expect_err(&name);
    assert_eq!(faults.count(), 1, "{name}: {faults:#?}");
    assert_eq!(
        faults.line().zip(faults.column()),
        Some(place),
        "{name}: {faults}"
    );
    assert!(faults.to_string().contains(found), "{name}: {faults}");
    let told = &faults.first().remedy.text;
    assert!(told.contains(remedy), "{name}: {told}");
}

const REFUSED: &str = r#"
input,output,Output %⏎0,0,0⏎1,1,100⏎ | 1:14 | a second column of output | keep one
inputs,output⏎0,0⏎1,1⏎ | 1:1 | `inputs`, which has no unit | input_percent
input_raw,output⏎0,0⏎1,1⏎ | 1:1 | the column `input_raw` | name it with its unit
input,outpt⏎0,0⏎1,1⏎ | 1:7 | the column `outpt` | write output
a,b⏎0,0⏎1,1⏎ | 1:1 | no input column | input
0,0⏎1,1⏎ | 1:1 | a header that names the columns | input,output
input;output⏎0;0,5⏎0.5;1⏎ | 3:1 | with a decimal point, but line 2 | one decimal mark
input_percent;output⏎1.050;0⏎50;1⏎ | 2:1 | thousands or decimals | write 1050
input,output⏎0,0 gf⏎1,1⏎ | 2:3 | `0 gf` | one unit
# skip = 1⏎input,output⏎0,0⏎1,1⏎ | 1:1 | the remark `skip = 1` | delete those lines
# interpolation = cubic-bezier⏎input,output⏎0,0⏎1,1⏎ | 1:1 | the remark `interpolation | map file
input,output⏎0,0,5⏎1,1⏎ | 2:1 | found 3 cells | decimal commas need semicolons
input,output⏎"0"1,0⏎1,1⏎ | 2:1 | behind a closing quote | quotes
input,output⏎0,0⏎0.5,nan⏎1,1⏎ | 3:5 | `nan` | finite
input,output⏎0,0⏎0.5,50⏎ | 3:5 | a value from 0 to 1, found `50` | input_percent
input,output⏎0,-1⏎1,1⏎ | 2:3 | a value from 0 to 1, found `-1` | from 0 to 1
input,output⏎0,0⏎0.5,0.6⏎0.4,0.7⏎1,1⏎ | 4:1 | an input above the one before, found `0.4` | in order
input,output⏎0,0⏎0.5,0.6⏎0.5,0.7⏎1,1⏎ | 4:1 | found `0.5` | in order
input,output⏎0,0⏎0.5,0.6⏎0.8,0.5⏎1,1⏎ | 4:5 | an output not below the one before, found `0.5` | in order
input,output⏎0,0⏎ | 2:1 | expected two points or more, found 1 point | a line for each
input,output⏎ | 1:1 | found 0 points | a line for each
"#;

#[test]
fn ambiguous_bends_are_refused_with_place_and_remedy() {
    for case in cases(REFUSED) {
        assert_refused(case.text.as_bytes(), case.place, case.found, case.remedy);
    }
    let windows_1252 = b"input,output,note\n0,0,gr\xfcn\n1,1,\n";
    assert_refused(windows_1252, (2, 5), "not UTF-8", "UTF-8");
    assert!(read(b"").unwrap_err().to_string().contains("empty"));
}

#[test]
fn outputs_may_stay_where_they_are() {
    let points = read(b"input,output\n0,0.5\n0.5,0.5\n1,0.5\n").unwrap();
    assert_eq!(points.len(), 3);
}

#[test]
fn all_faults_are_told_at_once() {
    let text = "input,output\n0,zero\n0.5,2\n0.6,0.5\n0.4,0.7\n1,1\n";
    let faults = read(text.as_bytes()).unwrap_err();
    let lines: Vec<usize> = faults
        .iter()
        .filter_map(|fault| fault.place.as_ref().map(|place| place.line))
        .collect();
    assert_eq!(lines, [2, 3, 5]);
}

#[test]
fn what_was_understood_is_told() {
    let (_, read_as) =
        points("c.csv", b"# by: hand\nInput (%),output,why\n0,0,\n100,1,\n").unwrap();
    assert_eq!(
        read_as.in_words(),
        "input in percent from `Input (%)`, output in fraction from `output`; labels: by = hand; not read: why"
    );
}
