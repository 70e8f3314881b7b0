//! Spreadsheets: whole files, and single parts put into files that are right otherwise.
#![no_main]

use std::io::{Cursor, Write as _};

use evenhand_measurement::{ReadOptions, parse_measurement};
use evenhand_sheet::read_sheet;
use zip::write::SimpleFileOptions;

const TYPES: &str = r#"<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>"#;
const LINKS: &str = r#"<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>"#;
const BOOK: &str = r#"<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="S" sheetId="1" r:id="rId1"/></sheets></workbook>"#;
const BOOK_LINKS: &str = r#"<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/></Relationships>"#;

/// A spreadsheet in which one part is the bytes.
fn with_part(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut file = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        file.start_file(*name, SimpleFileOptions::default()).unwrap();
        file.write_all(bytes).unwrap();
    }
    file.finish().unwrap().into_inner()
}

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let Some((first, rest)) = bytes.split_first() else {
        return;
    };
    let file = match first % 3 {
        0 => bytes.to_vec(),
        1 => with_part(&[
            ("[Content_Types].xml", TYPES.as_bytes()),
            ("_rels/.rels", LINKS.as_bytes()),
            ("xl/workbook.xml", BOOK.as_bytes()),
            ("xl/_rels/workbook.xml.rels", BOOK_LINKS.as_bytes()),
            ("xl/worksheets/sheet1.xml", rest),
        ]),
        _ => with_part(&[
            ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
            ("content.xml", rest),
        ]),
    };
    if let Ok(sheet) = read_sheet(&file, None) {
        for row in &sheet.rows {
            assert!(row.number > 0 && !row.cells.is_empty());
        }
    }
    for name in ["fuzz.xlsx", "fuzz"] {
        if let Err(faults) = parse_measurement(name, &file, &ReadOptions::default()) {
            for fault in faults.iter() {
                assert!(!fault.found.is_empty() && fault.remedy != Default::default(), "{fault}");
                assert!(evenhand_text::is_clean(&fault.to_string()), "{fault}");
            }
        }
    }
});
