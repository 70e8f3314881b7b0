//! The cells of one sheet, with repeats.

use crate::{
    COLUMN_LIMIT, ROW_LIMIT,
    error::{Extent, SheetError},
    grid::Grid,
    merges::Region,
    number::{number_text, percent_text},
    ods::{
        styles::Styles,
        value::{self, Value},
    },
    place::{Place, shortened},
    sheet::SheetCell,
    xml::{Element, Node, Space, Xml},
};

/// Reads the table that was opened last, up to its end.
pub(crate) fn read(xml: &mut Xml<'_>, styles: &Styles) -> Result<Grid, SheetError> {
    let mut reading = Reading {
        xml,
        styles,
        columns: Vec::new(),
        grid: Grid::default(),
    };
    reading.table()?;
    Ok(reading.grid)
}

struct Reading<'a, 'x, 's> {
    xml: &'x mut Xml<'a>,
    styles: &'s Styles,
    /// Where columns of a style end, and the style of their cells.
    columns: Vec<(usize, Option<String>)>,
    grid: Grid,
}

/// Cells of one row that are alike.
struct Run {
    columns: std::ops::Range<usize>,
    /// The style of the cells or of their row.
    style: Option<String>,
    value: Value,
}

/// Cells of one row that are merged or covered.
struct Cover {
    first: usize,
    columns: usize,
    rows: usize,
    is_covered: bool,
}

impl Reading<'_, '_, '_> {
    fn table(&mut self) -> Result<(), SheetError> {
        let mut next_row = 0_usize;
        let mut depth = 0_usize;
        loop {
            match self.xml.next()? {
                Node::Open(element) if element.space() == Space::Table => match element.name() {
                    "table-row" => next_row = self.row(&element, next_row)?,
                    "table-column" => {
                        let repeat = self.count(&element, "number-columns-repeated")?;
                        let style = self.table_attribute(&element, "default-cell-style-name")?;
                        let before = self.columns.last().map_or(0, |(end, _)| *end);
                        self.columns.push((before.saturating_add(repeat), style));
                        self.xml.skip()?;
                    }
                    "table-rows"
                    | "table-header-rows"
                    | "table-row-group"
                    | "table-columns"
                    | "table-header-columns"
                    | "table-column-group" => depth += 1,
                    _ => self.xml.skip()?,
                },
                Node::Open(_) => self.xml.skip()?,
                Node::Close => match depth.checked_sub(1) {
                    Some(outer) => depth = outer,
                    None => return Ok(()),
                },
                Node::Text(_) => {}
                Node::End => return Ok(()),
            }
        }
    }

    /// Reads a row as often as it is repeated. Returns the row after.
    fn row(&mut self, element: &Element<'_>, row: usize) -> Result<usize, SheetError> {
        let repeat = self.count(element, "number-rows-repeated")?;
        let row_style = self.table_attribute(element, "default-cell-style-name")?;
        let mut runs = Vec::new();
        let mut covers = Vec::new();
        let mut next_column = 0_usize;
        while let Some(element) = self.xml.child()? {
            let is_covered = element.is(Space::Table, "covered-table-cell");
            if !is_covered && !element.is(Space::Table, "table-cell") {
                self.xml.skip()?;
                continue;
            }
            let wide = self.count(&element, "number-columns-repeated")?;
            let columns = next_column..next_column.saturating_add(wide);
            next_column = columns.end;
            let style = self.table_attribute(&element, "style-name")?;
            let spanned = (
                self.count(&element, "number-columns-spanned")?,
                self.count(&element, "number-rows-spanned")?,
            );
            if is_covered || spanned != (1, 1) {
                covers.push(Cover {
                    first: columns.start,
                    columns: wide.saturating_add(spanned.0 - 1),
                    rows: spanned.1,
                    is_covered,
                });
            }
            let value = value::read(self.xml, &element, place(row, columns.start))?;
            let is_blank = matches!(&value, Value::Plain(cell) if *cell == SheetCell::default());
            if !is_blank {
                if columns.end > COLUMN_LIMIT {
                    return Err(Extent::Columns(COLUMN_LIMIT).into());
                }
                runs.push(Run {
                    columns,
                    style: style.or_else(|| row_style.clone()),
                    value,
                });
            }
        }
        let end = row.saturating_add(repeat);
        for cover in covers {
            self.cover(row, repeat, &cover);
        }
        if runs.is_empty() {
            return Ok(end);
        }
        for row in row..end {
            if row >= ROW_LIMIT {
                return Err(Extent::Rows(ROW_LIMIT).into());
            }
            for run in &runs {
                for column in run.columns.clone() {
                    self.grid.put(place(row, column), self.cell(run, column))?;
                }
            }
        }
        Ok(end)
    }

    fn cell(&self, run: &Run, column: usize) -> SheetCell {
        let text = match &run.value {
            Value::Plain(cell) => return cell.clone(),
            Value::Percent(value) => percent_text(*value),
            Value::Number(value) => {
                let style = run.style.as_deref().or_else(|| self.column_style(column));
                if self.styles.is_percent(style, *value) {
                    percent_text(*value)
                } else {
                    number_text(*value)
                }
            }
        };
        SheetCell::plain(text)
    }

    fn column_style(&self, column: usize) -> Option<&str> {
        let index = self.columns.partition_point(|(end, _)| *end <= column);
        self.columns.get(index)?.1.as_deref()
    }

    fn cover(&mut self, row: usize, repeat: usize, cover: &Cover) {
        let rows = repeat.saturating_add(cover.rows - 1);
        if row >= ROW_LIMIT || cover.first >= COLUMN_LIMIT {
            return;
        }
        let first = place(row, cover.first);
        let last = place(
            row.saturating_add(rows - 1),
            cover.first.saturating_add(cover.columns - 1),
        );
        let region = Region {
            rows: (first.row, last.row),
            columns: (first.column, last.column),
        };
        if cover.is_covered {
            self.grid.cover(region);
        } else {
            self.grid.merge(region);
        }
    }

    fn table_attribute(
        &self,
        element: &Element<'_>,
        name: &str,
    ) -> Result<Option<String>, SheetError> {
        self.xml.attribute(element, Space::Table, name)
    }

    /// A count that is 1 unless it is given.
    fn count(&self, element: &Element<'_>, name: &str) -> Result<usize, SheetError> {
        let Some(text) = self.table_attribute(element, name)? else {
            return Ok(1);
        };
        let count = text.trim().parse::<u32>().ok().filter(|count| *count > 0);
        count
            .and_then(|count| usize::try_from(count).ok())
            .ok_or_else(|| {
                let text = shortened(&text);
                SheetError::damaged(format!(
                    "{name} is \"{text}\", which is not a positive whole number"
                ))
            })
    }
}

/// A place in the sheet, at its edge where it would be beyond.
fn place(row: usize, column: usize) -> Place {
    let within = |at: usize, limit: usize| u32::try_from(at.min(limit - 1)).unwrap_or_default();
    Place {
        row: within(row, ROW_LIMIT),
        column: within(column, COLUMN_LIMIT),
    }
}
