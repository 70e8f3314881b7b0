//! Bends of a plain table that leave what it means.

use super::cases::{changed, rows};

/// A name and a table.
pub(crate) type Bend = (String, Vec<u8>);

/// A text of two bytes a unit.
pub(crate) fn utf16(text: &str, bytes: fn(u16) -> [u8; 2]) -> Vec<u8> {
    text.encode_utf16().flat_map(bytes).collect()
}

/// The table with each of its rows changed, its header being row 0; remarks stay.
pub(crate) fn each_row(plain: &str, change: impl Fn(usize, Vec<String>) -> String) -> String {
    let mut row = 0..;
    let lines = plain.lines().map(|line| {
        if line.starts_with('#') {
            return format!("{line}\n");
        }
        let cells = line.split(',').map(str::to_owned).collect();
        change(row.next().unwrap_or_default(), cells) + "\n"
    });
    lines.collect()
}

/// The table with each cell below its header changed, by its column.
pub(crate) fn each_cell(plain: &str, change: impl Fn(usize, &str) -> String) -> String {
    each_row(plain, |row, cells| {
        let cells = cells.iter().enumerate().map(|(column, cell)| match row {
            0 => cell.clone(),
            _ => change(column, cell),
        });
        cells.collect::<Vec<_>>().join(",")
    })
}

/// Tables that mean what a plain one does, which has commas, decimal points, and remarks in lines of their own.
pub(crate) fn common(plain: &str) -> Vec<Bend> {
    let marked = format!("\u{feff}{plain}");
    let joined = |table: &str, separator: &str| each_row(table, |_, cells| cells.join(separator));
    let semicolons = joined(plain, ";");
    let swapped =
        |separator: &str| each_row(plain, |_, cells| cells.join(separator).replace('.', ","));
    let with = |cell: &str| each_row(plain, |_, cells| format!("{},{cell}", cells.join(",")));
    let blank = |row: usize, cells: Vec<String>| match row {
        0 => cells.join(","),
        _ => {
            let commas = ",".repeat(cells.len() - 1);
            let spaces = " ,".repeat(cells.len() - 1);
            format!("{}\n{commas}\n,\n\n{spaces} ", cells.join(","))
        }
    };
    let reversed = |_, cells: Vec<String>| {
        let turned: Vec<String> = cells.into_iter().rev().collect();
        turned.join(",")
    };
    let texts = [
        ("plain", plain.to_owned()),
        ("a title", format!("Tuesday, at the window\n{plain}")),
        (
            "titles",
            format!("Tuesday, the long pen\n\nBy day\n{plain}"),
        ),
        (
            "a comment",
            format!("# a rainy day\n{plain}# 12:30 the end\n"),
        ),
        (
            "padded remarks",
            format!("# drawn = by day,,,,\n{plain}# end,,,,\n"),
        ),
        (
            "quoted remark",
            format!("\"# drawn = by day; rain\",,\n{plain}"),
        ),
        (
            "quoted remark, semicolons",
            format!("\"# drawn = by day; rain\";;\n{semicolons}"),
        ),
        ("blank rows", each_row(plain, blank)),
        ("stated separator", format!("sep=;\n{semicolons}")),
        (
            "quoted stated separator",
            format!("\"sep=;\"\n{semicolons}"),
        ),
        ("stated comma", format!("SEP=,\r\n{plain}")),
        ("semicolons", semicolons.clone()),
        ("tabs", joined(plain, "\t")),
        ("semicolons and decimal commas", swapped(";")),
        ("tabs and decimal commas", swapped("\t")),
        (
            "closing empty cells",
            each_row(plain, |_, cells| cells.join(";") + ";;"),
        ),
        ("spaces", each_cell(plain, |_, cell| format!("  {cell} "))),
        (
            "no-break spaces",
            each_cell(plain, |_, cell| format!("\u{a0}{cell}\u{202f}")),
        ),
        ("quotes", each_cell(plain, |_, cell| format!("\"{cell}\""))),
        ("a column of notes", with("notes")),
        ("a column of nothing", with("")),
        ("another order", each_row(plain, reversed)),
        ("byte-order mark", marked.clone()),
        ("CRLF", plain.replace('\n', "\r\n")),
        ("CR", plain.replace('\n', "\r")),
    ];
    let bytes = [
        ("UTF-16, lower byte first", utf16(&marked, u16::to_le_bytes)),
        ("UTF-16, upper byte first", utf16(&marked, u16::to_be_bytes)),
        ("UTF-16 without a mark", utf16(plain, u16::to_le_bytes)),
        (
            "Windows-1252 in a remark",
            [b"# by = J\xf6rg\n", plain.as_bytes()].concat(),
        ),
    ];
    let texts = texts.map(|(name, text)| (name, text.into_bytes()));
    let all = texts.into_iter().chain(bytes);
    all.map(|(name, bytes)| (name.to_owned(), bytes)).collect()
}

/// Those of a list, as in [`changed`], each behind its name and ` | `.
pub(crate) fn listed(plain: &str, list: &str) -> Vec<Bend> {
    rows(list)
        .map(|[name, changes]| (name, changed(plain, &changes).into_bytes()))
        .collect()
}
