//! Workbooks of Office Open XML.

mod common;

use common::{Book, damage, rows_book, rows_damage, shown, xlsx_rows};
use evenhand_sheet::{SheetError, SheetFormat, read_sheet};

#[test]
fn values_of_every_kind_become_text() {
    let rows = concat!(
        r#"<row r="1"><c r="A1"><v>1.50</v></c><c r="B1" t="n"><v> 42 </v></c><c r="C1"><v>1E-3</v></c>"#,
        r#"<c r="D1" t="b"><v>1</v></c><c r="E1" t="b"><v>0</v></c>"#,
        r#"<c r="F1" t="inlineStr"><is><t>as &lt;typed&gt; </t></is></c>"#,
        r#"<c r="G1" t="str"><f>A1&amp;"x"</f><v>1.5_x0078_</v></c>"#,
        r#"<c r="H1"><f>A1*2</f><v>3</v></c></row>"#,
        r#"<row r="2"><c r="A2" t="e"><v>#DIV/0!</v></c><c r="B2" t="e"><f>1/0</f><v>#N/A</v></c>"#,
        r#"<c r="C2" t="d"><v>2024-03-01</v></c><c r="D2"><is><t>no type</t></is></c></row>"#,
    );
    assert_eq!(
        xlsx_rows(rows),
        [
            "1: 1.5 | 42 | 0.001 | TRUE | FALSE | as <typed>  | 1.5x | 3",
            "2: E!#DIV/0! | E!#N/A | D!2024-03-01 | no type"
        ]
    );
}

#[test]
fn shared_strings_are_joined_from_their_runs() {
    let book = rows_book(
        r#"<row r="1"><c r="A1" t="s"><v>2</v></c><c r="B1" t="s"><v>0</v></c><c r="C1" t="s"><v>1</v></c><c r="D1" t="s"><v>3</v></c></row>"#,
    )
    .strings(concat!(
        r#"<si><t xml:space="preserve"> load </t></si>"#,
        r#"<si><r><rPr><b/></rPr><t>force</t></r><r><t xml:space="preserve"> in gf</t></r>"#,
        r#"<rPh sb="0" eb="1"><t>no</t></rPh><phoneticPr fontId="1"/></si>"#,
        r#"<si/><si><t>a_x000A_b&#10;c<![CDATA[<d>]]></t></si>"#,
    ));
    assert_eq!(book.rows(), ["1:  |  load  | force in gf | a\nb\nc<d>"]);
    for index in ["1", "-1"] {
        let row = format!(r#"<row><c t="s"><v>{index}</v></c></row>"#);
        let beyond = rows_book(&row).strings("<si><t>x</t></si>");
        assert!(damage(beyond.read()).contains("cell A1"), "{index}");
    }
}

const STYLES: &str = concat!(
    r##"<numFmts count="4"><numFmt numFmtId="164" formatCode="0.0%"/><numFmt numFmtId="165" formatCode="0.0&quot;%&quot;"/>"##,
    r##"<numFmt numFmtId="166" formatCode="0.0;-0.0%"/><numFmt numFmtId="167" formatCode="yyyy\-mm\-dd"/></numFmts>"##,
    r##"<cellStyleXfs count="2"><xf numFmtId="0"/><xf numFmtId="9"/></cellStyleXfs>"##,
    // 0 General, 1 0%, 2 0.00%, 3 0.0%, 4 0.0"%", 5 by sign, 6 from the named style, 7 to 9 dates.
    r##"<cellXfs count="10"><xf numFmtId="0"/><xf numFmtId="9"/><xf numFmtId="10" xfId="0"/><xf numFmtId="164"/>"##,
    r##"<xf numFmtId="165"/><xf numFmtId="166"/><xf xfId="1"/><xf numFmtId="14"/><xf numFmtId="167"/><xf numFmtId="46"/></cellXfs>"##,
    r##"<dxfs><dxf><numFmt numFmtId="9" formatCode="0%"/></dxf></dxfs>"##,
);

#[test]
fn percentages_follow_the_style_of_the_cell() {
    let rows = concat!(
        r#"<row><c><v>0.05</v></c><c s="0"><v>0.05</v></c><c s="1"><v>0.05</v></c><c s="2"><v>7.0000000000000007E-2</v></c>"#,
        r#"<c s="3"><v>0.123</v></c><c s="4"><v>12</v></c><c s="5"><v>0.5</v></c><c s="5"><v>-0.5</v></c><c s="6"><v>1E-7</v></c></row>"#,
        // Text and truth values are no percentages, whatever their style; a formula's value is.
        r#"<row><c s="1" t="inlineStr"><is><t>5%</t></is></c><c s="1" t="b"><v>1</v></c><c s="1"><f>A1</f><v>0.05</v></c></row>"#,
    );
    let book = rows_book(rows).styles(STYLES);
    assert_eq!(
        book.rows(),
        [
            "1: 0.05 | 0.05 | 5% | 7% | 12.3% | 12 | 0.5 | -50% | 0.00001%",
            "2: 5% | TRUE | 5%"
        ]
    );
}

#[test]
fn dates_and_times_are_flawed() {
    let rows = r#"<row><c s="7"><v>45352</v></c><c s="8"><v>45352.5</v></c><c s="7"><v>0.25</v></c><c s="9"><v>1.5</v></c></row>"#;
    let mut book = rows_book(rows).styles(STYLES);
    assert_eq!(
        book.rows(),
        ["1: D!2024-03-01 | D!2024-03-01T12:00:00 | D!06:00:00 | D!PT36H0M0S"]
    );
    let from_1904 = r#"<workbookPr date1904="1"/>"#;
    book.replace("xl/workbook.xml", "<workbookPr/>", from_1904);
    assert_eq!(
        book.rows(),
        ["1: D!2028-03-02 | D!2028-03-02T12:00:00 | D!06:00:00 | D!PT36H0M0S"]
    );
}

#[test]
fn a_style_that_is_not_there_is_damage() {
    let book = rows_book(r#"<row><c s="10"><v>1</v></c></row>"#).styles(STYLES);
    assert!(damage(book.read()).contains("style 10"));
    assert!(rows_damage(r#"<row><c s="1"><v>1</v></c></row>"#).contains("0 styles"));
    assert_eq!(xlsx_rows(r#"<row><c s="0"><v>1</v></c></row>"#), ["1: 1"]);
}

#[test]
fn formulas_without_a_stored_value_are_flawed() {
    let rows = concat!(
        r#"<row><c><f>SUM(A2:A3)</f></c><c><f> 1+1</f><v></v></c><c><f>2</f><v/></c><c t="str"><f>B1</f></c>"#,
        r#"<c><f t="shared" si="0"/><v> </v></c><c t="e"><f>X</f><v/></c></row>"#,
        // An empty text is a value, and a zero is one.
        r#"<row><c t="str"><f>""</f><v></v></c><c><f>0</f><v>0</v></c></row>"#,
    );
    assert_eq!(
        xlsx_rows(rows),
        [
            "1: F!=SUM(A2:A3) | F!=1+1 | F!=2 | F!=B1 | F!= | F!=X",
            "2:  | 0"
        ]
    );
}

#[test]
fn every_cell_of_a_merged_region_is_flawed() {
    let book = Book::new(concat!(
        r#"<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>title</t></is></c></row>"#,
        r#"<row r="2"><c r="A2"><v>1</v></c><c r="B2"><v>2</v></c></row>"#,
        r#"<row r="3"><c r="A3"><v>3</v></c><c r="B3"/></row>"#,
        r#"<row r="5"><c r="A5"><v>4</v></c><c r="C5"><v>5</v></c></row>"#,
        r#"<row r="6"><c r="A6"><v>6</v></c></row></sheetData>"#,
        r#"<mergeCells count="4"><mergeCell ref="A1:XFD1"/><mergeCell ref="B2:B1048576"/>"#,
        r#"<mergeCell ref="A6"/><mergeCell ref="C5:C5"/></mergeCells>"#,
    ));
    assert_eq!(
        book.rows(),
        [
            "1: M!title | M! | M!",
            "2: 1 | M!2",
            "3: 3 | M!",
            "5: 4 | M! | 5",
            "6: 6 | M!",
        ]
    );
    // The corners may come in any order, and the region before the cells.
    let book = Book::new(concat!(
        r#"<mergeCells><mergeCell ref="B2:A1"/></mergeCells>"#,
        r#"<sheetData><row><c/><c t="e"><v>#REF!</v></c></row></sheetData>"#,
    ));
    assert_eq!(book.rows(), ["1: M! | M!#REF!"]);
}

#[test]
fn references_may_be_missing_or_out_of_order() {
    let rows = concat!(
        r#"<row><c><v>1</v></c><c/><c><v>2</v></c></row>"#,
        r#"<row r="5"><c r="C5"><v>5</v></c><c r="A5"><v>3</v></c><c><v>4</v></c></row>"#,
        r#"<row><c r="B6"><v>6</v></c></row>"#,
        r#"<row r="3"><c r="a3"><v>7</v></c></row>"#,
        r#"<row><c r="B9"><v>8</v></c></row>"#,
        r#"<row/>"#,
        r#"<row><c><v>9</v></c></row>"#,
    );
    assert_eq!(
        xlsx_rows(rows),
        [
            "1: 1 |  | 2",
            "3: 7",
            "5: 3 | 4 | 5",
            "6:  | 6",
            "9:  | 8",
            "11: 9"
        ]
    );
}

#[test]
fn references_that_contradict_are_damage() {
    let twice = r#"<row r="1"><c r="B1"><v>1</v></c><c r="B1"><v>2</v></c></row>"#;
    assert!(rows_damage(twice).contains("cell B1"));
    let elsewhere = r#"<row r="2"><c r="A3"><v>1</v></c></row>"#;
    assert!(rows_damage(elsewhere).contains("cell A3 is listed in row 2"));
    for reference in "A0 A-1 -1 A4294967297 XFE1 A1048577 1 A  A1:B2".split(' ') {
        let row = format!(r#"<row><c r="{reference}"><v>1</v></c></row>"#);
        let merge = format!(r#"<mergeCells><mergeCell ref="A1:{reference}"/></mergeCells>"#);
        let merged = damage(Book::new(&format!("<sheetData/>{merge}")).read());
        for reason in [rows_damage(&row), merged] {
            assert!(reason.contains("not a cell reference"), "{reference}");
        }
    }
    for number in ["0", "-3", "1048577", "4294967297", "x", ""] {
        let reason = rows_damage(&format!(r#"<row r="{number}"/>"#));
        assert!(reason.contains("not a row number"), "{number}");
    }
    for past in [
        r#"<row r="1048576"/><row><c><v>1</v></c></row>"#,
        r#"<row><c r="XFD1"><v>1</v></c><c><v>1</v></c></row>"#,
    ] {
        assert!(rows_damage(past).contains("beyond"), "{past}");
    }
    let last = r#"<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>"#;
    let sheet = rows_book(last).read().unwrap();
    let row = &sheet.rows[0];
    assert_eq!((row.number, row.cells.len()), (1_048_576, 16_384));
}

#[test]
fn values_that_are_none_are_damage() {
    let cases = [
        r#"<c><v>abc</v></c>"#,
        r#"<c><v>1e999</v></c>"#,
        r#"<c><v>NaN</v></c>"#,
        r#"<c><v>inf</v></c>"#,
        r#"<c><v>1,5</v></c>"#,
        r#"<c t="b"><v>2</v></c>"#,
        r#"<c t="x"><v>2</v></c>"#,
        r#"<c s="x"><v>2</v></c>"#,
    ];
    for cell in cases {
        let reason = rows_damage(&format!("<row><c/>{cell}</row>"));
        assert!(reason.contains("cell B1"), "{cell}: {reason}");
    }
}

#[test]
fn sheets_are_found_by_name() {
    let sheet = |value: u8| format!("<sheetData><row><c><v>{value}</v></c></row></sheetData>");
    let (one, two, three) = (sheet(1), sheet(2), sheet(3));
    let book = Book::with_sheets(&[
        ("Notes", r#"state="hidden""#, &one),
        ("Run &amp; 1", "", &two),
        ("RUN", r#"state="visible""#, &three),
    ]);
    let bytes = book.zip();
    let read = |wanted| read_sheet(&bytes, wanted).map(|sheet| (sheet.name.clone(), shown(&sheet)));
    let found = |name: &str, row: &str| Ok((name.to_owned(), vec![row.to_owned()]));
    assert_eq!(read(None), found("Run & 1", "1: 2"));
    assert_eq!(read(Some("Notes")), found("Notes", "1: 1"));
    assert_eq!(read(Some("run")), found("RUN", "1: 3"));
    let names = vec!["Notes".to_owned(), "Run & 1".to_owned(), "RUN".to_owned()];
    assert_eq!(read(Some("Run")), found("RUN", "1: 3"));
    let absent = SheetError::NoSuchSheet {
        wanted: "absent".to_owned(),
        names: names.clone(),
    };
    assert_eq!(read(Some("absent")), Err(absent));
    let sheet = read_sheet(&bytes, None).unwrap();
    assert_eq!((sheet.format, sheet.names), (SheetFormat::Xlsx, names));
}

#[test]
fn sheets_without_cells_are_not_listed() {
    let data = "<sheetData><row><c><v>1</v></c></row></sheetData>";
    let mut book = Book::with_sheets(&[("Chart", "", ""), ("Data", "", data)]);
    let relationships = "xl/_rels/workbook.xml.rels";
    book.replace(relationships, "/worksheet\"", "/chartsheet\"");
    let sheet = book.read().unwrap();
    assert_eq!((sheet.name.as_str(), sheet.names.len()), ("Data", 1));
    assert_eq!(Book::with_sheets(&[]).read(), Err(SheetError::NoSheets));
    assert_eq!(rows_book("").read().unwrap().rows, []);
}

#[test]
fn prefixes_strict_names_and_other_folders_are_read() {
    let main = "http://purl.oclc.org/ooxml/spreadsheetml/main";
    let office = "http://purl.oclc.org/ooxml/officeDocument/relationships";
    let bytes = common::zipped(&[
        (
            "_RELS/.rels",
            &format!(
                r#"<p:Relationships xmlns:p="x"><p:Relationship Id="a" Type="{office}/officeDocument" Target="/Book/main.xml"/></p:Relationships>"#
            ),
        ),
        (
            "book/main.xml",
            &format!(
                r#"<x:workbook xmlns:x="{main}" xmlns:q="{office}"><x:sheets><x:sheet name="S" sheetId="7" q:id="s"/></x:sheets></x:workbook>"#
            ),
        ),
        (
            "book\\_rels\\main.xml.rels",
            &format!(
                r#"<Relationships><Relationship Id="s" Type="{office}/worksheet" Target="..\parts\one.xml"/></Relationships>"#
            ),
        ),
        (
            "parts/one.xml",
            &format!(
                r#"<x:worksheet xmlns:x="{main}"><x:sheetData><x:row><x:c><x:v>1</x:v></x:c></x:row></x:sheetData></x:worksheet>"#
            ),
        ),
    ]);
    assert_eq!(shown(&read_sheet(&bytes, None).unwrap()), ["1: 1"]);
}

#[test]
fn parts_in_utf_16_are_read() {
    let mut book = rows_book(r#"<row><c t="inlineStr"><is><t>é😀</t></is></c></row>"#);
    book.replace("xl/worksheets/sheet1.xml", "UTF-8", "UTF-16");
    for big in [false, true] {
        let unit = if big {
            u16::to_be_bytes
        } else {
            u16::to_le_bytes
        };
        let wide = |text: &str| -> Vec<u8> {
            let units = std::iter::once(0xFEFF).chain(text.encode_utf16());
            units.flat_map(unit).collect()
        };
        let texts = book.texts().into_iter();
        let parts: Vec<_> = texts.map(|(name, text)| (name, wide(text))).collect();
        let bytes = parts.iter().map(|(name, bytes)| (*name, bytes.as_slice()));
        let zip = common::zipped_bytes(&bytes.collect::<Vec<_>>());
        assert_eq!(shown(&read_sheet(&zip, None).unwrap()), ["1: é😀"]);
    }
}

#[test]
fn strangers_inside_cells_are_passed_over() {
    let rows = concat!(
        "<!-- a --><?pi?>\n <row r=\"1\" spans=\"1:2\" x:y=\"z\" xmlns:x=\"urn:x\">\n",
        r#"  <c r="A1"><extLst><ext><v>9</v></ext></extLst><v>1<!-- b -->2</v></c>"#,
        r#"<x:note><c r="A1"><v>3</v></c></x:note></row> "#,
    );
    assert_eq!(xlsx_rows(rows), ["1: 12"]);
}
