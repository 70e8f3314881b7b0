//! Spreadsheets that general-purpose libraries wrote (`tests/reference/sheets`: recomputed, compared to the
//! last digit).

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
};

use evenhand_sheet::{Flaw, column_letters, looks_like_sheet, read_sheet};

/// Flaw and text by the letters and number of a cell.
type Cells = BTreeMap<String, (String, String)>;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference/sheets")
}

/// The expected cells by file and sheet.
fn expected() -> BTreeMap<(String, String), Cells> {
    let text = fs::read_to_string(folder().join("cells.tsv")).expect("the list of cells");
    let mut sheets: BTreeMap<_, Cells> = BTreeMap::new();
    for line in text.lines() {
        let fields: Vec<&str> = line.split('\t').collect();
        let [file, sheet, cell, flaw, text] = fields[..] else {
            panic!("five fields: {line}");
        };
        let text = text.replace("\\n", "\n").replace("\\t", "\t");
        let cells = sheets
            .entry((file.to_owned(), sheet.to_owned()))
            .or_default();
        let before = cells.insert(cell.to_owned(), (flaw.to_owned(), text));
        assert_eq!(before, None, "{line}");
    }
    sheets
}

fn found(bytes: &[u8], sheet: &str) -> Cells {
    let sheet = read_sheet(bytes, Some(sheet)).expect("a readable sheet");
    let mut cells = Cells::new();
    for row in sheet.rows {
        for (column, cell) in row.cells.into_iter().enumerate() {
            if cell.text.is_empty() && cell.flaw.is_none() {
                continue;
            }
            let flaw = match cell.flaw {
                None => "",
                Some(Flaw::Error) => "error",
                Some(Flaw::FormulaWithoutValue) => "formula",
                Some(Flaw::Merged) => "merged",
                Some(Flaw::Date) => "date",
            };
            let name = format!("{}{}", column_letters(column), row.number);
            cells.insert(name, (flaw.to_owned(), cell.text));
        }
    }
    cells
}

#[test]
fn all_cells_read_as_they_were_written() {
    let expected = expected();
    let count: usize = expected.values().map(BTreeMap::len).sum();
    assert_eq!((expected.len(), count), (9, 1346));
    for ((file, sheet), cells) in expected {
        let bytes = fs::read(folder().join(&file)).expect("the spreadsheet");
        assert!(looks_like_sheet(&bytes), "{file}");
        let found = found(&bytes, &sheet);
        for (cell, expected) in &cells {
            assert_eq!(found.get(cell), Some(expected), "{file}, {sheet}, {cell}");
        }
        assert_eq!(found.len(), cells.len(), "{file}, {sheet}: no other cells");
    }
}

#[test]
fn the_first_sheet_that_shows_is_read() {
    for (file, first, count) in [
        ("openpyxl.xlsx", "Numbers", 3),
        ("xlsxwriter.xlsx", "Run 1", 1),
        ("odfpy.ods", "Numbers", 3),
        ("ezodf.ods", "Run", 1),
    ] {
        let bytes = fs::read(folder().join(file)).expect("the spreadsheet");
        let sheet = read_sheet(&bytes, None).expect("a readable sheet");
        assert_eq!(
            (sheet.name.as_str(), sheet.names.len()),
            (first, count),
            "{file}"
        );
    }
}
