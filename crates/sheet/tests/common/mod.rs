//! Spreadsheets written by hand.

#![allow(dead_code, reason = "each test file takes what it needs")]

use std::io::{Cursor, Write};

use evenhand_sheet::{Extent, Flaw, Sheet, SheetError, read_sheet};
use zip::{CompressionMethod, ZipWriter, write::SimpleFileOptions};

/// A zip of parts.
pub(crate) fn zipped(parts: &[(&str, &str)]) -> Vec<u8> {
    let bytes = parts.iter().map(|(name, text)| (*name, text.as_bytes()));
    zipped_bytes(&bytes.collect::<Vec<_>>())
}

/// The first sheet that shows.
pub(crate) fn read(bytes: &[u8]) -> Result<Sheet, SheetError> {
    read_sheet(bytes, None)
}

/// Why bytes are no sheet.
#[track_caller]
pub(crate) fn refusal(bytes: &[u8]) -> SheetError {
    read(bytes).expect_err("a refusal")
}

pub(crate) fn too_large(extent: Extent) -> SheetError {
    SheetError::TooLarge { extent }
}

/// A zip of parts that need not be text; the media type is stored as it is.
pub(crate) fn zipped_bytes(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        let method = if *name == "mimetype" {
            CompressionMethod::Stored
        } else {
            CompressionMethod::Deflated
        };
        let options = SimpleFileOptions::default().compression_method(method);
        zip.start_file(*name, options).expect("a part");
        zip.write_all(bytes).expect("its bytes");
    }
    zip.finish().expect("a zip").into_inner()
}

const PACKAGE: &str = "http://schemas.openxmlformats.org/package/2006/relationships";
const OFFICE: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const MAIN: &str = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";

/// A workbook part by part, to be changed before it is zipped.
pub(crate) struct Book {
    pub(crate) parts: Vec<(String, String)>,
}

impl Book {
    /// One sheet named `Data` with what stands inside `worksheet`.
    pub(crate) fn new(sheet: &str) -> Self {
        Self::with_sheets(&[("Data", "", sheet)])
    }

    /// Sheets by name, further attributes, and what stands inside `worksheet`.
    pub(crate) fn with_sheets(sheets: &[(&str, &str, &str)]) -> Self {
        let mut list = String::new();
        let mut relationships = String::new();
        let mut parts = Vec::new();
        for (i, (name, attributes, sheet)) in sheets.iter().enumerate() {
            let id = i + 1;
            list +=
                &format!(r#"<sheet name="{name}" sheetId="{id}" r:id="rId{id}" {attributes}/>"#);
            relationships += &format!(
                r#"<Relationship Id="rId{id}" Type="{OFFICE}/worksheet" Target="worksheets/sheet{id}.xml"/>"#
            );
            parts.push((
                format!("xl/worksheets/sheet{id}.xml"),
                format!(r#"<?xml version="1.0" encoding="UTF-8"?><worksheet xmlns="{MAIN}">{sheet}</worksheet>"#),
            ));
        }
        let fixed = [
            (
                "[Content_Types].xml",
                r#"<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>"#
                    .to_owned(),
            ),
            (
                "_rels/.rels",
                format!(
                    r#"<Relationships xmlns="{PACKAGE}"><Relationship Id="rId1" Type="{OFFICE}/officeDocument" Target="xl/workbook.xml"/></Relationships>"#
                ),
            ),
            (
                "xl/workbook.xml",
                format!(
                    r#"<workbook xmlns="{MAIN}" xmlns:r="{OFFICE}"><workbookPr/><sheets>{list}</sheets></workbook>"#
                ),
            ),
            (
                "xl/_rels/workbook.xml.rels",
                format!(r#"<Relationships xmlns="{PACKAGE}">{relationships}</Relationships>"#),
            ),
        ];
        let fixed = fixed.map(|(name, text)| (name.to_owned(), text));
        Self {
            parts: fixed.into_iter().chain(parts).collect(),
        }
    }

    /// Adds a part that the workbook names.
    pub(crate) fn part(mut self, kind: &str, name: &str, text: &str) -> Self {
        self.replace(
            "xl/_rels/workbook.xml.rels",
            "</Relationships>",
            &format!(
                r#"<Relationship Id="x-{kind}" Type="{OFFICE}/{kind}" Target="{name}"/></Relationships>"#
            ),
        );
        self.parts.push((format!("xl/{name}"), text.to_owned()));
        self
    }

    /// Adds shared strings: what stands inside `sst`.
    pub(crate) fn strings(self, inside: &str) -> Self {
        let text = format!(r#"<sst xmlns="{MAIN}">{inside}</sst>"#);
        self.part("sharedStrings", "sharedStrings.xml", &text)
    }

    /// Adds styles: what stands inside `styleSheet`.
    pub(crate) fn styles(self, inside: &str) -> Self {
        let text = format!(r#"<styleSheet xmlns="{MAIN}">{inside}</styleSheet>"#);
        self.part("styles", "styles.xml", &text)
    }

    /// Puts one text for another in a part that must hold it.
    pub(crate) fn replace(&mut self, part: &str, from: &str, to: &str) {
        let (_, text) = self
            .parts
            .iter_mut()
            .find(|(name, _)| name == part)
            .expect("the part");
        assert!(text.contains(from), "{part} has no {from}");
        *text = text.replacen(from, to, 1);
    }

    /// Takes a part away.
    pub(crate) fn without(mut self, part: &str) -> Self {
        let before = self.parts.len();
        self.parts.retain(|(name, _)| name != part);
        assert_eq!(self.parts.len() + 1, before, "{part} was there");
        self
    }

    /// Its parts with what stands in them.
    pub(crate) fn texts(&self) -> Vec<(&str, &str)> {
        let parts = self.parts.iter();
        parts
            .map(|(name, text)| (name.as_str(), text.as_str()))
            .collect()
    }

    pub(crate) fn zip(&self) -> Vec<u8> {
        zipped(&self.texts())
    }

    pub(crate) fn read(&self) -> Result<Sheet, SheetError> {
        read(&self.zip())
    }

    /// Its rows, as [`shown`].
    #[track_caller]
    pub(crate) fn rows(&self) -> Vec<String> {
        shown(&self.read().expect("a readable workbook"))
    }
}

/// A workbook with rows, that is what stands inside `sheetData`.
pub(crate) fn rows_book(rows: &str) -> Book {
    Book::new(&format!("<sheetData>{rows}</sheetData>"))
}

pub(crate) const ODS_TYPE: &str = "application/vnd.oasis.opendocument.spreadsheet";

const ODS_NAMES: &str = concat!(
    r#"xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" "#,
    r#"xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" "#,
    r#"xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" "#,
    r#"xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0" "#,
    r#"xmlns:number="urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0" "#,
    r#"xmlns:draw="urn:oasis:names:tc:opendocument:xmlns:drawing:1.0" "#,
    r#"xmlns:dc="http://purl.org/dc/elements/1.1/" "#,
    r#"xmlns:calcext="urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0""#,
);

/// The content of a document: automatic styles, and what stands inside the spreadsheet.
pub(crate) fn ods_content(styles: &str, spreadsheet: &str) -> String {
    format!(
        r#"<?xml version="1.0" encoding="UTF-8"?><office:document-content {ODS_NAMES}><office:automatic-styles>{styles}</office:automatic-styles><office:body><office:spreadsheet>{spreadsheet}</office:spreadsheet></office:body></office:document-content>"#
    )
}

/// Common styles of a document.
pub(crate) fn ods_styles(styles: &str) -> String {
    format!(
        r#"<office:document-styles {ODS_NAMES}><office:styles>{styles}</office:styles></office:document-styles>"#
    )
}

pub(crate) const MANIFEST: &str = r#"<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"><manifest:file-entry manifest:full-path="/" manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/><manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/></manifest:manifest>"#;

/// A document of one table `Data` with rows.
pub(crate) fn ods(styles: &str, rows: &str) -> Vec<u8> {
    let table = format!(r#"<table:table table:name="Data">{rows}</table:table>"#);
    ods_of(&ods_content(styles, &table))
}

pub(crate) fn ods_of(content: &str) -> Vec<u8> {
    zipped(&[
        ("mimetype", ODS_TYPE),
        ("META-INF/manifest.xml", MANIFEST),
        ("content.xml", content),
    ])
}

/// Rows as `number: cell | cell`, flaws as a letter before `!`: short enough to be compared whole.
pub(crate) fn shown(sheet: &Sheet) -> Vec<String> {
    sheet
        .rows
        .iter()
        .map(|row| {
            let cells: Vec<String> = row
                .cells
                .iter()
                .map(|cell| {
                    let flaw = match cell.flaw {
                        None => "",
                        Some(Flaw::Error) => "E!",
                        Some(Flaw::FormulaWithoutValue) => "F!",
                        Some(Flaw::Merged) => "M!",
                        Some(Flaw::Date) => "D!",
                    };
                    format!("{flaw}{}", cell.text)
                })
                .collect();
            format!("{}: {}", row.number, cells.join(" | "))
        })
        .collect()
}

/// The rows of a workbook, as [`shown`].
pub(crate) fn xlsx_rows(rows: &str) -> Vec<String> {
    rows_book(rows).rows()
}

/// The rows of a document, as [`shown`].
pub(crate) fn ods_rows(styles: &str, rows: &str) -> Vec<String> {
    shown(&read(&ods(styles, rows)).expect("a readable document"))
}

/// The reason why a workbook with these rows is damaged.
#[track_caller]
pub(crate) fn rows_damage(rows: &str) -> String {
    damage(rows_book(rows).read())
}

/// The reason why bytes are damaged.
#[track_caller]
pub(crate) fn damage(result: Result<Sheet, SheetError>) -> String {
    match result {
        Err(SheetError::Damaged { reason }) => reason,
        other => panic!("expected damage, found {other:?}"),
    }
}
