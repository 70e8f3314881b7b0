//! Files that are no spreadsheet, not whole, or too large.

mod common;

use common::{
    Book, MANIFEST, ODS_TYPE, damage, ods, ods_content, read, refusal, rows_book, too_large,
    zipped, zipped_bytes,
};
use evenhand_sheet::{Extent, FILE_LIMIT, SheetError, looks_like_sheet};

fn small_book() -> Book {
    rows_book("<row><c><v>1</v></c></row>")
}

fn small_ods() -> Vec<u8> {
    ods(
        "",
        r#"<table:table-row><table:table-cell office:value-type="float" office:value="1"/></table:table-row>"#,
    )
}

/// A compound file with one entry in its directory.
fn compound(stream: &str) -> Vec<u8> {
    let mut bytes = vec![0; 1536];
    bytes[..8].copy_from_slice(b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1");
    let name: Vec<u8> = stream.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let entry = &mut bytes[1024 + 128..1024 + 256];
    entry[..name.len()].copy_from_slice(&name);
    entry[64] = u8::try_from(name.len() + 2).expect("a short name");
    entry[66] = 2;
    bytes
}

#[test]
fn passwords_are_told() {
    let package = compound("EncryptedPackage");
    assert_eq!(refusal(&package), SheetError::Encrypted);
    let encrypted = |path: &str| {
        let manifest = MANIFEST.replace(
            "</manifest:manifest>",
            &format!(r#"<manifest:file-entry manifest:full-path="{path}"><manifest:encryption-data/></manifest:file-entry></manifest:manifest>"#),
        );
        let content = ods_content("", r#"<table:table table:name="S"/>"#);
        zipped(&[
            ("mimetype", ODS_TYPE),
            ("META-INF/manifest.xml", &manifest),
            ("content.xml", &content),
        ])
    };
    for path in ["content.xml", "encrypted-package"] {
        assert_eq!(refusal(&encrypted(path)), SheetError::Encrypted, "{path}");
    }
    assert!(read(&encrypted("Basic/Standard/Module1.xml")).is_ok());
}

#[test]
fn a_part_that_the_zip_encrypts_is_told() {
    let mut bytes = small_book().zip();
    // The first bit of the flags, in every header of both kinds.
    for (signature, flags) in [(b"PK\x03\x04", 6), (b"PK\x01\x02", 8)] {
        let headers: Vec<usize> = (0..bytes.len() - 4)
            .filter(|at| bytes[*at..].starts_with(signature))
            .collect();
        for at in headers {
            bytes[at + flags] |= 1;
        }
    }
    assert_eq!(refusal(&bytes), SheetError::Encrypted);
}

#[test]
fn other_files_are_not_spreadsheets() {
    let remedy = |bytes: &[u8]| match refusal(bytes) {
        SheetError::Unsupported { remedy, .. } => remedy,
        other => panic!("{other:?}"),
    };
    assert_eq!(remedy(&compound("Workbook")), "save it as .xlsx");
    // A folder of that name, not the encrypted package.
    let mut folder = compound("EncryptedPackage");
    folder[1024 + 128 + 66] = 1;
    assert_eq!(remedy(&folder), "save it as .xlsx");
    let mut binary = small_book();
    binary.replace("_rels/.rels", "workbook.xml", "workbook.bin");
    assert_eq!(remedy(&binary.zip()), "save it as .xlsx");
    let mut document = small_book();
    document.replace("xl/workbook.xml", "<workbook", "<document");
    document.replace("xl/workbook.xml", "</workbook", "</document");
    let text = ods_content("", "").replace("office:spreadsheet", "office:text");
    for bytes in [
        b"force,reading\n1,2\n".to_vec(),
        b"PK".to_vec(),
        document.zip(),
        zipped(&[("notes.txt", "1")]),
        zipped(&[
            ("mimetype", "application/vnd.oasis.opendocument.text"),
            ("content.xml", &text),
        ]),
        zipped(&[("mimetype", "application/epub+zip")]),
        zipped(&[("content.xml", &text)]),
    ] {
        assert_eq!(remedy(&bytes), "save the table as .xlsx or .ods");
    }
    assert!(damage(read(b"")).contains("empty"));
}

#[test]
fn looks_go_by_the_parts() {
    let book = small_book();
    let template = zipped(&[
        (
            "mimetype",
            "application/vnd.oasis.opendocument.spreadsheet-template",
        ),
        ("content.xml", "<a/>"),
    ]);
    for bytes in [
        book.zip(),
        small_ods(),
        template,
        zipped(&[("content.xml", "<a/>")]),
        zipped(&[("content.xml", "<a/>"), ("mimetype", ODS_TYPE)]),
        // Refused, but with a reason of its own.
        compound("EncryptedPackage"),
        compound("Workbook"),
        // Cut off.
        book.zip()[..120].to_vec(),
        small_ods()[..120].to_vec(),
    ] {
        assert!(looks_like_sheet(&bytes));
    }
    for bytes in [
        Vec::new(),
        b"PK".to_vec(),
        b"PK\x03\x04".to_vec(),
        b"force,reading\n1,2\n".to_vec(),
        zipped(&[("notes.txt", "1")]),
        zipped(&[("notes.txt", "1")])[..40].to_vec(),
        zipped(&[
            ("[Content_Types].xml", "<a/>"),
            ("word/document.xml", "<a/>"),
        ]),
        zipped(&[
            ("mimetype", "application/vnd.oasis.opendocument.text"),
            ("content.xml", "<a/>"),
        ]),
    ] {
        assert!(!looks_like_sheet(&bytes));
    }
}

#[test]
fn missing_parts_are_named() {
    let book = |part: &str| {
        let whole = small_book().strings("<si/>").styles("");
        whole.without(part).read()
    };
    for part in [
        "_rels/.rels",
        "xl/workbook.xml",
        "xl/worksheets/sheet1.xml",
        "xl/styles.xml",
        "xl/sharedStrings.xml",
    ] {
        assert!(damage(book(part)).contains(part), "{part}");
    }
    assert!(damage(book("xl/_rels/workbook.xml.rels")).contains("\"Data\""));
    let nothing = zipped(&[("mimetype", ODS_TYPE)]);
    assert!(damage(read(&nothing)).contains("content.xml"));
    let mut rootless = small_book();
    rootless.replace("_rels/.rels", "/officeDocument\"", "/thumbnail\"");
    assert!(damage(rootless.read()).contains("workbook"));
    let mut chart = small_book();
    chart.replace("xl/worksheets/sheet1.xml", "<worksheet", "<chartsheet");
    chart.replace("xl/worksheets/sheet1.xml", "</worksheet", "</chartsheet");
    assert!(damage(chart.read()).contains("sheet1.xml"));
}

#[test]
fn no_cut_and_no_flipped_byte_panics_or_passes_for_the_whole() {
    for whole in [small_book().zip(), small_ods()] {
        let sheet = read(&whole).unwrap();
        for end in 0..whole.len() {
            assert!(read(&whole[..end]).is_err(), "cut at {end}");
            let _ = looks_like_sheet(&whole[..end]);
        }
        for at in 0..whole.len() {
            let mut flipped = whole.clone();
            flipped[at] ^= 0x24;
            let _ = looks_like_sheet(&flipped);
            // Dates and comments of the zip may differ; cells may not.
            if let Ok(found) = read(&flipped) {
                assert_eq!(found.rows, sheet.rows, "byte {at}");
            }
        }
    }
}

#[test]
fn malformed_xml_is_damage() {
    let nested = "<a>".repeat(300) + &"</a>".repeat(300);
    let many_names = (0..200).fold(String::new(), |all, i| {
        all + &format!(r#" xmlns:p{i}="urn:{i}""#)
    });
    let right = "<sheetData><row><c><v>1</v></c></row></sheetData>";
    for sheet in [
        "<sheetData><row><c><v>1</v></c></row>",
        "<sheetData><row><c></row></c></sheetData>",
        "<sheetData><row r=\"1\" r=\"1\"/></sheetData>",
        "<sheetData><row r=1/></sheetData>",
        "<sheetData><row r=\"&x;\"/></sheetData>",
        "<sheetData><row><c><v>&x;</v></c></row></sheetData>",
        "<sheetData><row><c><v>&#0;</v></c></row></sheetData>",
        "<sheetData><row><c><v>1 & 2</v></c></row></sheetData>",
        "<sheetData",
        &nested,
        &format!("<a{many_names}/>"),
    ] {
        let mut book = small_book();
        book.replace("xl/worksheets/sheet1.xml", right, sheet);
        assert!(damage(book.read()).contains("not well-formed"), "{sheet}");
    }
    for text in ["", "no element", "<!-- only -->"] {
        let mut book = small_book();
        let mut parts = book.parts.iter_mut();
        let part = parts.find(|(name, _)| name == "xl/workbook.xml").unwrap();
        part.1 = text.to_owned();
        assert!(damage(book.read()).contains("no root element"), "{text}");
    }
}

#[test]
fn parts_that_are_no_text_are_damage() {
    let book = small_book().without("xl/workbook.xml");
    let wide: [&[u8]; 4] = [
        b"\xff\xff",
        b"\xff\xfe<",
        b"\xff\xfe\x00\xdc",
        b"<a>\xe9</a>",
    ];
    for bytes in wide {
        let texts = book.texts().into_iter();
        let mut parts: Vec<_> = texts.map(|(name, text)| (name, text.as_bytes())).collect();
        parts.push(("xl/workbook.xml", bytes));
        assert!(damage(read(&zipped_bytes(&parts))).contains("not UTF-8"));
    }
}

#[test]
fn two_parts_of_one_name_are_damage() {
    let mut bytes = zipped(&[("content.xml", "<a/>"), ("contenu.xml", "<b/>")]);
    while let Some(at) = bytes.windows(7).position(|w| w == b"contenu") {
        bytes[at..at + 7].copy_from_slice(b"content");
    }
    assert!(damage(read(&bytes)).contains("the same name"));
}

#[test]
fn large_files_are_refused_unread() {
    let bytes = vec![b'x'; usize::try_from(FILE_LIMIT).unwrap() + 1];
    assert_eq!(refusal(&bytes), too_large(Extent::FileBytes(33_554_432)));
    let smaller = refusal(&bytes[1..]);
    assert!(matches!(smaller, SheetError::Unsupported { .. }));
}

#[test]
fn what_expands_without_end_is_refused() {
    let limit: u32 = 256 << 20;
    let expanded = too_large(Extent::ExpandedBytes(u64::from(limit)));
    let blank = format!("<a/>{}", " ".repeat(limit as usize - 3));
    let book = small_book().strings("").styles("");
    let with = |strings: usize, styles: usize| {
        let mut parts = book.texts();
        for (name, text) in &mut parts {
            match *name {
                "xl/sharedStrings.xml" => *text = &blank[..strings],
                "xl/styles.xml" => *text = &blank[..styles],
                _ => {}
            }
        }
        zipped(&parts)
    };
    // Each of two parts can be read, both cannot.
    assert!(read(&with(140 << 20, 4)).is_ok());
    let both = with(140 << 20, 140 << 20);
    assert!(both.len() < 1 << 20);
    assert_eq!(refusal(&both), expanded);
    let mut one = with(limit as usize + 1, 4);
    assert_eq!(refusal(&one), expanded);
    // The same part says that it is small.
    let size = (limit + 1).to_le_bytes();
    let places: Vec<usize> = (0..one.len() - 4)
        .filter(|at| one[*at..].starts_with(&size))
        .collect();
    assert_eq!(places.len(), 2, "in both headers");
    for at in places {
        one[at..at + 4].copy_from_slice(&100_u32.to_le_bytes());
    }
    assert!(damage(read(&one)).contains("sharedStrings.xml"));
}

#[test]
fn cells_are_counted() {
    let rows = |count: usize| {
        let row: String = (0..100).map(|_| "<c><v>1</v></c><c/>").collect();
        format!("<row>{row}</row>").repeat(count / 100)
    };
    let sheet = rows_book(&rows(200_000)).read().unwrap();
    assert_eq!((sheet.rows.len(), sheet.rows[0].cells.len()), (2_000, 199));
    let more = rows(200_000) + "<row><c><v>1</v></c></row>";
    let too_many = too_large(Extent::Cells(200_000));
    assert_eq!(rows_book(&more).read(), Err(too_many));
}

#[test]
fn sparse_cells_are_counted_with_those_between() {
    let far = |count: usize| {
        (1..=count).fold(String::new(), |rows, row| {
            rows + &format!(r#"<row r="{row}"><c r="XFD{row}"><v>1</v></c></row>"#)
        })
    };
    // 244 rows of 16 384 cells and one of 2 304, that is up to column CJP, are 4 000 000.
    let last = |column: &str| far(244) + &format!(r#"<row><c r="{column}245"><v>1</v></c></row>"#);
    assert!(rows_book(&last("CJP")).read().is_ok());
    let too_many = Err(too_large(Extent::PaddedCells(4_000_000)));
    assert_eq!(rows_book(&last("CJQ")).read(), too_many);
    // Covered cells count as well.
    let rows = (1..=500).fold(
        r#"<row r="501"><c r="XFD501"><v>1</v></c></row>"#.to_owned(),
        |rows, row| rows + &format!(r#"<row r="{row}"><c r="A{row}"><v>1</v></c></row>"#),
    );
    let merged = Book::new(&format!(
        r#"<sheetData>{rows}</sheetData><mergeCells><mergeCell ref="B1:XFD500"/></mergeCells>"#
    ));
    assert_eq!(merged.read(), too_many);
}

#[test]
fn shared_texts_are_counted_each_time() {
    let long = format!("<si><t>{}</t></si>", "x".repeat(1 << 20));
    let rows = |count: usize| r#"<row><c t="s"><v>0</v></c></row>"#.repeat(count);
    let too_long = too_large(Extent::TextBytes(64 << 20));
    let read = |rows: &str| rows_book(rows).strings(&long).read();
    assert!(read(&rows(64)).is_ok());
    assert_eq!(read(&rows(65)), Err(too_long.clone()));
    let one_more = rows(64) + r#"<row><c t="str"><v>x</v></c></row>"#;
    assert_eq!(read(&one_more), Err(too_long.clone()));
    for count in ["67108865", "3000000000", "99999999999999999999"] {
        let rows = format!(
            r#"<table:table-row><table:table-cell office:value-type="string"><text:p><text:s text:c="{count}"/></text:p></table:table-cell></table:table-row>"#
        );
        assert_eq!(refusal(&ods("", &rows)), too_long);
    }
}

#[test]
fn a_million_empty_rows_leave_nothing() {
    let rows = (1..=1_000_000).fold(String::new(), |mut rows, row| {
        rows += &format!(r#"<row r="{row}"/>"#);
        rows
    });
    let last = "<row><c><v>1</v></c></row>";
    let sheet = rows_book(&(rows + last)).read().unwrap();
    assert_eq!(sheet.rows.len(), 1);
    assert_eq!(sheet.rows[0].number, 1_000_001);
    assert!(sheet.rows.capacity() < 10);
}

#[test]
fn messages_say_what_to_do() {
    let names = vec!["One".to_owned(), "Two".to_owned()];
    let missing = SheetError::NoSuchSheet {
        wanted: "Three".to_owned(),
        names,
    };
    assert_eq!(
        missing.to_string(),
        r#"no sheet is named "Three"; the sheets are "One", "Two""#
    );
    assert_eq!(
        too_large(Extent::Cells(200_000)).to_string(),
        "the spreadsheet has more than 200000 cells with content; keep only the sheet and the cells that are needed"
    );
    assert_eq!(
        refusal(&compound("Book")).to_string(),
        "an old binary file (such as .xls) cannot be read; save it as .xlsx"
    );
}
