//! Numbers keep every bit.

mod common;

use common::{ods, rows_book};
use evenhand_sheet::{Sheet, read_sheet};
use proptest::prelude::*;

const PERCENT: &str = r#"<cellXfs><xf numFmtId="0"/><xf numFmtId="10"/></cellXfs>"#;

/// Any finite number, small ones and whole ones often.
fn finite() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<u64>().prop_map(f64::from_bits),
        -1.0..1.0,
        -1e6..1e6,
        any::<i32>().prop_map(f64::from),
        (any::<i32>(), 0..12).prop_map(|(digits, places)| f64::from(digits) / 10_f64.powi(places)),
    ]
    .prop_filter("finite", |value: &f64| value.is_finite())
}

/// The fraction that a percentage is: its digits with an exponent of two less, read as one number.
fn fraction(percent: &str) -> f64 {
    let number = percent.strip_suffix('%').expect("a percentage");
    let (digits, exponent) = number.split_once('e').unwrap_or((number, "0"));
    let exponent: i32 = exponent.parse().expect("an exponent");
    format!("{digits}e{}", exponent - 2)
        .parse()
        .expect("a number")
}

fn check(sheet: &Sheet, value: f64) -> Result<(), TestCaseError> {
    let cells = &sheet.rows[0].cells;
    let plain: f64 = cells[0].text.parse().expect("a number");
    prop_assert_eq!(plain.to_bits(), value.to_bits(), "{}", &cells[0].text);
    let percent = fraction(&cells[1].text);
    prop_assert_eq!(percent.to_bits(), value.to_bits(), "{}", &cells[1].text);
    for cell in cells {
        prop_assert!(cell.text.len() <= 30, "{}", &cell.text);
    }
    Ok(())
}

proptest! {
    #[test]
    fn xlsx_numbers_come_back_bit_for_bit(value in finite(), plain in any::<bool>()) {
        let written = if plain { format!("{value}") } else { format!("{value:e}") };
        let rows = format!(r#"<row><c><v>{written}</v></c><c s="1"><v>{written}</v></c></row>"#);
        check(&rows_book(&rows).styles(PERCENT).read().expect("a sheet"), value)?;
    }

    #[test]
    fn ods_numbers_come_back_bit_for_bit(value in finite()) {
        let rows = format!(
            r#"<table:table-row><table:table-cell office:value-type="float" office:value="{value}"/><table:table-cell office:value-type="percentage" office:value="{value}"/></table:table-row>"#
        );
        check(&read_sheet(&ods("", &rows), None).expect("a sheet"), value)?;
    }

    #[test]
    fn arbitrary_bytes_never_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200), at in 0_usize..4000) {
        for mut whole in [rows_book("<row><c><v>1</v></c></row>").styles(PERCENT).zip(), ods("", "")] {
            let at = at.min(whole.len());
            whole.splice(at..(at + bytes.len()).min(whole.len()), bytes.iter().copied());
            let _ = read_sheet(&whole, None);
        }
    }

    #[test]
    fn arbitrary_markup_never_panics(text in "(<(/?)(row|c|v|f|is|t|mergeCell|mergeCells|sheetData)( (r|s|t|ref)=\"[A-Z0-9:]{0,4}\")?(/?)>|[0-9a&;]){0,30}") {
        let _ = rows_book(&text).read();
    }
}
