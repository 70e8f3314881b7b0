//! Tables that are written anew line for line, with numbers inside of cells.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use evenhand_text::{
    DecimalMark, Faults, Quantity, RemarkSpec, Setting, Table, TableFile, TableLine, TableSpec,
};

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Sum,
    Arm,
    Share,
}

const SPEC: TableSpec<Kind> = TableSpec {
    quantities: &[
        Quantity {
            kind: Kind::Sum,
            meaning: "sum",
            columns: &[("sum_g", "g")],
            words: &["sum"],
            units: &[("g", "g"), ("kg", "kg")],
            is_unitless: true,
            is_essential: true,
        },
        Quantity {
            kind: Kind::Arm,
            meaning: "arm",
            columns: &[],
            words: &[],
            units: &[("mm", "mm")],
            is_unitless: true,
            is_essential: false,
        },
        Quantity {
            kind: Kind::Share,
            meaning: "share",
            columns: &[("share_percent", "percent"), ("share", "fraction")],
            words: &[],
            units: &[("percent", "percent")],
            is_unitless: false,
            is_essential: true,
        },
    ],
    remarks: RemarkSpec {
        keys: &["levels"],
        aliases: &[],
        repeatable: &[],
        refused: &[],
    },
    refused_columns: &[],
    example: "sum,share",
};

fn file(text: &str) -> TableFile {
    TableFile::parse("t.csv", text.as_bytes(), None, SPEC.example).unwrap()
}

/// The sums of a table: terms with an arm behind an `@` perhaps, each the number times the arm.
fn sums(text: &str) -> Result<Vec<f64>, Faults> {
    let file = file(text);
    let mut table = Table::read(&file, &SPEC, &[]).unwrap();
    let at = table.column(Kind::Sum).unwrap();
    table.assume_unit(Kind::Sum, "g");
    let mut sums = Vec::new();
    for row in table.rows() {
        let Some(cells) = table.cells(&row) else {
            continue;
        };
        let cell = &cells[at];
        let mut sum = 0.0;
        for term in cell.text.split('+') {
            let (mass, arm) = match term.split_once('@') {
                Some((mass, arm)) => (mass, table.part(&row, cell, arm, Kind::Arm)),
                None => (term, Some(1.0)),
            };
            let mass = table.part(&row, cell, mass, Kind::Sum);
            sum += mass.unwrap_or(f64::NAN) * arm.unwrap_or(f64::NAN);
        }
        sums.push(sum);
    }
    table.finish().map(|_| sums)
}

fn places(faults: &Faults) -> Vec<(usize, usize, &str)> {
    faults
        .iter()
        .map(|fault| {
            let place = fault.place.as_ref().unwrap();
            (place.line, place.column, fault.found.as_str())
        })
        .collect()
}

#[test]
fn parts_of_cells_are_numbers_of_their_table() {
    let found = sums("sum;share\n 1,5 + 2 g;5\n20@3 mm+1@2mm;6\n\"4\";7\n");
    assert_eq!(found.unwrap(), [3.5, 62.0, 4.0]);
}

#[test]
fn parts_of_cells_have_their_own_places() {
    let faults = sums("sum;share\n1+2,5;5\n3+x;6\n\"4+y\";7\n2+1.5;8\n2+5 mm;9\n").unwrap_err();
    let mixed = "`1.5` with a decimal point, but line 2 has a decimal comma";
    assert_eq!(
        places(&faults),
        [
            (3, 3, "`x`"),
            // Behind a quote only the cell is known.
            (4, 1, "`y`"),
            (5, 3, mixed),
            (6, 3, "`5 mm`"),
        ]
    );
}

#[test]
fn parts_of_one_kind_have_one_unit() {
    let faults = sums("sum,share\n1@2 mm,5\n1@2,5\n").unwrap_err();
    let bare = "a number without a unit, but line 2 has mm";
    assert_eq!(places(&faults), [(3, 3, bare)]);
}

#[test]
fn every_line_is_told_by_what_it_is() {
    let file = file(
        "sep=;\nTuesday;the \"old\" bench\n# levels: 8;\n\nsum;share\n1;5%\n;\n\"# a \"\"quoted\"\" remark\"\n2;6%\n",
    );
    let table = Table::read(&file, &SPEC, &[]).unwrap();
    assert_eq!(table.separator(), ';');
    let found: Vec<String> = table
        .lines()
        .map(|(number, line)| match line {
            TableLine::Blank => format!("{number} blank"),
            TableLine::Title(text) => format!("{number} title {text}"),
            TableLine::Remark(text) => format!("{number} remark {}", text.trim()),
            TableLine::Header => format!("{number} header"),
            TableLine::Row(row) => format!("{number} row {}", row.line()),
        })
        .collect();
    let expected = "1 blank
2 title Tuesday, the \"old\" bench
3 remark levels: 8
4 blank
5 header
6 row 6
7 blank
8 remark a \"quoted\" remark
9 row 9";
    assert_eq!(found.join("\n"), expected);
}

#[test]
fn units_and_marks_are_known_as_far_as_the_cells_go() {
    let file = file("sum;share\n1;0,5\n2;5%\n");
    let mut table = Table::read(&file, &SPEC, &[]).unwrap();
    let share = table.needed(Kind::Share).unwrap();
    let mut so_far = Vec::new();
    for row in table.rows() {
        let cells = table.cells(&row).unwrap();
        table.number(&row, &cells, share);
        so_far.push((table.unit_so_far(share), table.decimal_mark()));
    }
    let comma = Some(DecimalMark::Comma);
    let expected = ["fraction", "percent"].map(|unit| (Some(unit), comma));
    assert_eq!(so_far, expected);
    let bare = "a number without a unit, but line 3 has percent";
    assert_eq!(places(&table.finish().unwrap_err()), [(2, 3, bare)]);
}

#[test]
fn counts_come_from_the_file_or_from_outside_and_must_agree() {
    let count = |text: &str, set: Option<u32>| {
        let file = file(text);
        let mut table = Table::read(&file, &SPEC, &[]).unwrap();
        let found = table.count("levels", &(2..=9000), 8192, set);
        table.finish().map(|_| found)
    };
    let told = "# Levels: 512\nsum,share\n1,1\n";
    assert_eq!(count(told, None), Ok(Some(512)));
    assert_eq!(count(told, Some(512)), Ok(Some(512)));
    assert_eq!(count("sum,share\n1,1\n", Some(7)), Ok(Some(7)));
    assert_eq!(count("sum,share\n1,1\n", None), Ok(None));
    let faults = count(told, Some(4096)).unwrap_err();
    let differs = "levels = 512 in the file, and 4096 as set for it";
    assert_eq!(places(&faults), [(1, 1, differs)]);
    for wrong in ["1", "9001", "8,192", "many", ""] {
        let faults = count(&format!("# levels = {wrong}\nsum,share\n1,1\n"), Some(7)).unwrap_err();
        let fault = faults.first();
        assert!(fault.expected.contains("2 to 9000"), "{fault:?}");
        let remedy = &fault.remedy.text;
        assert!(remedy.contains("# levels = 8192"), "{fault:?}");
    }
}

#[test]
fn several_kinds_may_be_wanted_and_choosing_is_offered_where_it_can_be_done() {
    let lacking = file("sum,other\n1,1\n");
    let mut table = Table::read_unchosen(&lacking, &SPEC).unwrap();
    assert_eq!(table.needed_one_of(&[Kind::Share, Kind::Sum]), Some(0));
    assert_eq!(table.needed_one_of(&[Kind::Share, Kind::Arm]), None);
    let faults = table.finish().unwrap_err();
    let none = "no share or arm column in the header; `other` is not known";
    assert_eq!(places(&faults), [(1, 5, none)]);
    let twice = file("sum,share,share_percent\n1,1,1\n");
    let setting = |table: Table<'_, Kind>| {
        let faults = table.finish().unwrap_err();
        faults.first().remedy.setting.clone()
    };
    assert_eq!(setting(Table::read_unchosen(&twice, &SPEC).unwrap()), None);
    let offered = setting(Table::read(&twice, &SPEC, &[]).unwrap());
    assert!(matches!(offered, Some(Setting::Column(_))));
}
