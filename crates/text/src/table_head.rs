//! Which line of a table is its header.

use crate::fault::Fault;
use crate::header::{Named, named};
use crate::line::{Body, Cell, Line, separator_of};
use crate::line_kind::{is_blank, quote_fault, remark_text, stated_separator};
use crate::number::written_number;
use crate::table_file::TableFile;
use crate::table_spec::TableSpec;

/// Lines above a header that are looked at.
const MOST_TITLES: usize = 200;

/// A line above a header, or the header.
pub(crate) struct Titled<'t, K> {
    pub(crate) line: Line<'t>,
    pub(crate) separator: char,
    pub(crate) cells: Vec<Cell<'t>>,
    pub(crate) named: Vec<Named<K>>,
}

/// The header of a table, and the lines above it that are no remarks.
pub(crate) struct Head<'t, K> {
    pub(crate) titles: Vec<Titled<'t, K>>,
    pub(crate) header: Titled<'t, K>,
}

/// The header, and the lines above it.
pub(crate) fn find_header<'t, K: Copy + PartialEq>(
    file: &'t TableFile,
    spec: &TableSpec<K>,
) -> Result<Head<'t, K>, Box<Fault>> {
    let mut stated = None;
    let mut lines: Vec<Titled<'t, K>> = Vec::new();
    for line in file.content.lines() {
        if remark_text(&line).is_some() || is_blank(&line, ',') {
            continue;
        }
        if lines.is_empty()
            && stated.is_none()
            && let Some(mark) = stated_separator(&line)
        {
            stated = Some(mark);
            continue;
        }
        let separator = stated.unwrap_or_else(|| match line.body {
            Body::Text(text, _) => separator_of(text),
            Body::Grid(_) => ';',
        });
        let cells = match line.cells(separator, 0) {
            Ok(cells) => cells,
            // A title may have an odd quotation mark; a header must not.
            Err(quote) if lines.len() + 1 >= MOST_TITLES => {
                return Err(Box::new(quote_fault(&line, &quote)));
            }
            Err(_) => continue,
        };
        if cells.iter().all(Cell::is_blank) {
            continue;
        }
        let found: Vec<Named<K>> = cells
            .iter()
            .map(|cell| named(&cell.text, spec.quantities))
            .collect();
        let titled = Titled {
            line,
            separator,
            cells,
            named: found,
        };
        if is_header(&titled, spec, 2) {
            return Ok(Head {
                titles: lines,
                header: titled,
            });
        }
        if is_data(&titled) {
            return weak_header(lines, spec).ok_or_else(|| {
                Box::new(Fault::at(
                    titled.line.whole(),
                    "numbers",
                    "a header that names the columns",
                    format!("write a line such as {} above", spec.example),
                ))
            });
        }
        lines.push(titled);
        if lines.len() >= MOST_TITLES {
            break;
        }
    }
    let any = lines.first().map(|title| title.line);
    weak_header(lines, spec).ok_or_else(|| {
        Box::new(match any {
            Some(line) => Fault::at(
                line.whole(),
                "no line that names the columns",
                "a header",
                format!("write a line such as {}", spec.example),
            ),
            None => Fault::of_file(
                "the file holds no table, only remarks",
                format!(
                    "write a header such as {} and one line for each sample",
                    spec.example
                ),
            ),
        })
    })
}

/// Whether a line names so many kinds of columns by which a header is known, well or badly.
fn is_header<K: Copy + PartialEq>(
    titled: &Titled<'_, K>,
    spec: &TableSpec<K>,
    least: usize,
) -> bool {
    let mut kinds: Vec<K> = Vec::new();
    for named in &titled.named {
        if let Named::Known(kind, _) | Named::WrongUnit(kind, _) = named
            && !kinds.contains(kind)
            && spec
                .quantities
                .iter()
                .any(|quantity| quantity.kind == *kind && quantity.is_essential)
        {
            kinds.push(*kind);
        }
    }
    kinds.len() >= least
}

/// A line of numbers.
fn is_data<K>(titled: &Titled<'_, K>) -> bool {
    let mut filled = titled.cells.iter().filter(|cell| !cell.is_blank());
    let is_number = |cell: &Cell<'_>| written_number(&cell.text, true).is_ok();
    filled.clone().count() >= 2 && filled.all(is_number)
}

/// The line that looks most like a header where none names all it should: one that names something known, else the
/// last one with several cells.
fn weak_header<'t, K: Copy + PartialEq>(
    mut lines: Vec<Titled<'t, K>>,
    spec: &TableSpec<K>,
) -> Option<Head<'t, K>> {
    let is_several =
        |title: &Titled<'_, K>| title.cells.iter().filter(|cell| !cell.is_blank()).count() >= 2;
    let is_near = |title: &Titled<'_, K>| {
        title
            .named
            .iter()
            .any(|named| matches!(named, Named::Nearly(_)))
    };
    let at = lines
        .iter()
        .position(|title| is_header(title, spec, 1) && is_several(title))
        .or_else(|| {
            lines
                .iter()
                .position(|title| is_near(title) && is_several(title))
        })
        .or_else(|| lines.iter().position(|title| is_header(title, spec, 1)))
        .or_else(|| lines.iter().rposition(is_several))?;
    let header = lines.swap_remove(at);
    lines.truncate(at);
    Some(Head {
        titles: lines,
        header,
    })
}
