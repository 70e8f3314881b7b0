//! Tables of a curve as people write them: read with the meaning they had, or refused.

use super::*;

#[path = "../../../text/tests/support/mod.rs"]
mod support;
use support::bends::{common, listed};
use support::faults::{assert_cases, assert_told, lines};

const PLAIN: &str = "input,output\n0,0\n0.125,0.0625\n0.5,0.75\n1,1\n";

fn read(bytes: &[u8]) -> Result<Vec<[f64; 2]>, Faults> {
    points("c.csv", bytes).map(|(table, _)| table.control_points)
}

/// Bends by what is changed.
const BENDS: &str = "
percent | input,output → input_percent,output_percent & 0.125,0.0625 → 12.5,6.25 & 0.5,0.75 → 50,75 & 1,1 → 100,100
percent in brackets | input,output → Input (%),Output [%] & 0.125,0.0625 → 12.5,6.25 & 0.5,0.75 → 50,75 & 1,1 → 100,100
percent signs | 0,0 → 0%,0% & 0.125,0.0625 → 12.5%,6.25 % & 0.5,0.75 → 50%,75% & 1,1 → 100%,100%
percent signs, no unit | input,output → inputs,outputs & 0,0 → 0%,0% & 0.125,0.0625 → 12.5%,6.25 % \
    & 0.5,0.75 → 50%,75% & 1,1 → 100%,100%
one in percent | input,output → Output %,input & 0.125,0.0625 → 6.25,0.125 & 0.5,0.75 → 75,0.5 & 1,1 → 100,1
quotes of one | 0.5 → \"0.5\"
names | input,output →  INPUT , Output (0-1)
";

#[test]
fn legal_bends_change_nothing() {
    let expected = vec![[0.0, 0.0], [0.125, 0.0625], [0.5, 0.75], [1.0, 1.0]];
    for (name, bytes) in common(PLAIN).into_iter().chain(listed(PLAIN, BENDS)) {
        assert_eq!(read(&bytes), Ok(expected.clone()), "{name}");
    }
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
    assert_cases(REFUSED, read);
    let faults = read(b"input,output,note\n0,0,gr\xfcn\n1,1,\n").unwrap_err();
    assert_told("Windows-1252", &faults, (2, 5), "not UTF-8", "UTF-8");
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
    assert_eq!(lines(&faults), [2, 3, 5]);
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
