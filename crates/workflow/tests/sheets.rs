//! Spreadsheets of strokes, loads and curves say what the same tables as text do.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use std::io::{Cursor, Write as _};
use std::path::{Path, PathBuf};

use evenhand_bench::Rig;
use evenhand_strokes::Levels;
use evenhand_workflow::{MapTable, converted, read_recording, resolve_stage};
use zip::{ZipWriter, write::SimpleFileOptions};

const RIG: &str = "name = \"s\"\n[scale]\nstep_g = 1\nwithin_part = 0\n";

/// An `OpenDocument` with a sheet of notes before the one that holds the table.
fn sheet(rows: &[&str]) -> Vec<u8> {
    let mut table = String::new();
    for row in rows {
        let cells = row.split(',').map(|cell| match cell.parse::<f64>() {
            Ok(_) => format!(
                r#"<table:table-cell office:value-type="float" office:value="{cell}"/>"#
            ),
            Err(_) => format!(
                r#"<table:table-cell office:value-type="string"><text:p>{cell}</text:p></table:table-cell>"#
            ),
        });
        let cells: String = cells.collect();
        table.push_str(&format!("<table:table-row>{cells}</table:table-row>"));
    }
    let names = r#"xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0""#;
    let content = format!(
        r#"<office:document-content {names}><office:body><office:spreadsheet><table:table table:name="notes"/><table:table table:name="table">{table}</table:table></office:spreadsheet></office:body></office:document-content>"#
    );
    let first = content.replacen(
        r#"<table:table table:name="notes"/>"#,
        "",
        usize::from(!rows[0].starts_with("notes")),
    );
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, text) in [
        ("mimetype", "application/vnd.oasis.opendocument.spreadsheet"),
        ("content.xml", first.as_str()),
    ] {
        zip.start_file(name, SimpleFileOptions::default()).unwrap();
        zip.write_all(text.as_bytes()).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

/// The same rows as a text and as a sheet.
fn both(folder: &Path, rows: &[&str]) -> [PathBuf; 2] {
    let paths = ["t.csv", "t.ods"].map(|name| folder.join(name));
    std::fs::write(&paths[0], rows.join("\n")).unwrap();
    std::fs::write(&paths[1], sheet(rows)).unwrap();
    paths
}

#[test]
fn strokes_are_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let rows = [
        "Page 3",
        "# batch,7",
        "x,y,t_ms,Pressure %",
        "1,2.5,0,50",
        "",
        "2,2.5,8,12.5",
    ];
    let [text, sheet] =
        both(folder.path(), &rows).map(|path| read_recording(&path, Levels::default()).unwrap());
    assert_eq!(text.strokes, sheet.strokes);
    let read_as = sheet.read_as.unwrap();
    assert_eq!(
        (read_as.format.as_str(), read_as.header_line),
        ("ods", Some(3))
    );
}

#[test]
fn loads_are_the_same_and_keep_the_numbers_of_their_rows() {
    let folder = tempfile::tempdir().unwrap();
    let rig = Rig::parse(RIG, "rig.toml").unwrap();
    let rows = [
        "",
        "# batch = 7",
        "Load (g),Reading (%)",
        "",
        "",
        "100,5",
        "200,12.5",
    ];
    let [text, sheet] =
        both(folder.path(), &rows).map(|path| converted(&path, &rig, None, None, &[]).unwrap());
    assert_eq!(sheet.rows[1].line, 7);
    let lines = |text: &str| -> Vec<String> {
        let lines = text.lines().map(|line| line.replace(';', ","));
        lines.collect()
    };
    let (text, sheet) = (text.measurement.unwrap(), sheet.measurement.unwrap());
    assert_eq!(lines(&text), lines(&sheet));
    assert!(lines(&sheet)[5].ends_with(",5"), "{sheet}");
}

#[test]
fn a_sheet_is_chosen_by_its_name() {
    let folder = tempfile::tempdir().unwrap();
    let rig = Rig::parse(RIG, "rig.toml").unwrap();
    let rows = ["notes", "load,reported", "100,0.5"];
    let [_, sheet] = both(folder.path(), &rows);
    assert!(converted(&sheet, &rig, None, None, &[]).is_err());
    let found = converted(&sheet, &rig, None, Some("table"), &[]).unwrap();
    assert_eq!(found.read_as.sheet.as_deref(), Some("table"));
}

#[test]
fn curves_are_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let rows = ["input,Output (%)", "0,0", "0.5,25", "1,100"];
    let [text, sheet] =
        both(folder.path(), &rows).map(|path| resolve_stage(&path.display().to_string()).unwrap());
    assert_eq!(MapTable::from(&text), MapTable::from(&sheet));
}
