//! The cells of one sheet.

use crate::{
    COLUMN_LIMIT, ROW_LIMIT,
    error::SheetError,
    grid::Grid,
    merges::Region,
    number::{number_text, percent_text},
    place::{Place, parse_place, parse_row, shortened},
    sheet::{Flaw, SheetCell},
    xlsx::{
        format_code::Shown,
        serial::{date_text, duration_text},
        shared_strings::SharedStrings,
        strings::{rich_text, unescaped},
        styles::Styles,
    },
    xml::{Element, Xml},
};

/// What cells refer to.
pub(crate) struct Context<'a> {
    pub(crate) styles: &'a Styles,
    pub(crate) strings: &'a SharedStrings,
    pub(crate) since_1904: bool,
}

/// Reads all cells and merged regions.
pub(crate) fn read(text: &str, part: &str, context: &Context<'_>) -> Result<Grid, SheetError> {
    let mut reading = Reading {
        xml: Xml::new(text, part),
        context,
        grid: Grid::default(),
    };
    let root = reading.xml.root()?;
    if root.name() != "worksheet" {
        return Err(SheetError::damaged(format!(
            "part {} is not a worksheet",
            shortened(part)
        )));
    }
    while let Some(element) = reading.xml.child()? {
        match element.name() {
            "sheetData" => reading.rows()?,
            "mergeCells" => reading.merges()?,
            _ => reading.xml.skip()?,
        }
    }
    Ok(reading.grid)
}

struct Reading<'a, 'c> {
    xml: Xml<'a>,
    context: &'c Context<'c>,
    grid: Grid,
}

/// What stands inside a cell.
#[derive(Default)]
struct Content {
    formula: Option<String>,
    value: Option<String>,
    inline: Option<String>,
}

impl Reading<'_, '_> {
    /// Rows that do not say their number follow the one before, and so do cells in their row.
    fn rows(&mut self) -> Result<(), SheetError> {
        let mut next_row = 0;
        while let Some(element) = self.xml.child()? {
            if element.name() != "row" {
                self.xml.skip()?;
                continue;
            }
            let own = match self.xml.local_attribute(&element, "r")? {
                Some(text) => Some(parse_row(&text).ok_or_else(|| {
                    let text = shortened(&text);
                    SheetError::damaged(format!("\"{text}\" is not a row number"))
                })?),
                None => None,
            };
            let row = self.cells(own, next_row)?;
            next_row = row + 1;
        }
        Ok(())
    }

    /// The cells of a row. `own` is the number that the row gives itself; otherwise its first cell that
    /// says where it stands decides. Returns the row.
    fn cells(&mut self, own: Option<u32>, expected: u32) -> Result<u32, SheetError> {
        let mut own = own;
        let mut next_column = 0;
        while let Some(element) = self.xml.child()? {
            if element.name() != "c" {
                self.xml.skip()?;
                continue;
            }
            let place = match self.xml.local_attribute(&element, "r")? {
                Some(text) => {
                    let place = parse_place(&text)?;
                    let row = *own.get_or_insert(place.row);
                    if place.row != row {
                        return Err(SheetError::damaged(format!(
                            "cell {place} is listed in row {}",
                            row + 1
                        )));
                    }
                    place
                }
                None => Place {
                    row: *own.get_or_insert(expected),
                    column: next_column,
                },
            };
            if place.row as usize >= ROW_LIMIT || place.column as usize >= COLUMN_LIMIT {
                return Err(SheetError::damaged(format!(
                    "cell {place} is beyond the last row or column"
                )));
            }
            next_column = place.column + 1;
            let cell = self.cell(&element, place)?;
            self.grid.put(place, cell)?;
        }
        Ok(own.unwrap_or(expected))
    }

    fn cell(&mut self, element: &Element<'_>, place: Place) -> Result<SheetCell, SheetError> {
        let kind = self.xml.local_attribute(element, "t")?;
        let style = self.xml.local_attribute(element, "s")?;
        let content = self.content()?;
        let broken = |what: &str, text: &str| SheetError::cell_is_not(place, text, what);
        let kind = kind.as_deref().unwrap_or("n");
        // Text inside the cell itself; some writers leave out that it is.
        let is_inline = kind == "inlineStr" || content.value.is_none() && content.formula.is_none();
        if is_inline {
            let text = content.inline.or(content.value).unwrap_or_default();
            return Ok(SheetCell::plain(text));
        }
        // The value of a formula may be an empty text, but then it is there and says that it is text.
        let value = match (&content.formula, content.value) {
            (_, Some(value)) if kind == "str" => value,
            (_, Some(value)) if !value.trim().is_empty() => value,
            (Some(formula), _) => {
                let text = format!("={}", formula.trim());
                return Ok(SheetCell::flawed(text, Flaw::FormulaWithoutValue));
            }
            (None, _) => return Ok(SheetCell::default()),
        };
        Ok(match kind {
            "n" => self.number(value.trim(), style.as_deref(), place)?,
            "s" => {
                let index = value.trim().parse().ok();
                let text = index.and_then(|index| self.context.strings.get(index));
                let text = text.ok_or_else(|| broken("the index of a shared string", &value))?;
                SheetCell::plain(text.to_owned())
            }
            "str" => SheetCell::plain(unescaped(&value)),
            "b" => match value.trim() {
                "1" | "true" => SheetCell::plain("TRUE".to_owned()),
                "0" | "false" => SheetCell::plain("FALSE".to_owned()),
                _ => return Err(broken("a boolean", &value)),
            },
            "e" => SheetCell::flawed(value.trim().to_owned(), Flaw::Error),
            "d" => SheetCell::flawed(value.trim().to_owned(), Flaw::Date),
            _ => {
                let kind = shortened(kind);
                return Err(SheetError::damaged(format!(
                    "cell {place} has the unknown type \"{kind}\""
                )));
            }
        })
    }

    fn content(&mut self) -> Result<Content, SheetError> {
        let mut content = Content::default();
        while let Some(element) = self.xml.child()? {
            match element.name() {
                "f" => content.formula = Some(self.xml.text()?),
                "v" => content.value = Some(self.xml.text()?),
                "is" => rich_text(&mut self.xml, content.inline.get_or_insert_default())?,
                _ => self.xml.skip()?,
            }
        }
        Ok(content)
    }

    fn number(
        &self,
        text: &str,
        style: Option<&str>,
        place: Place,
    ) -> Result<SheetCell, SheetError> {
        let value = text.parse::<f64>().ok().filter(|value| value.is_finite());
        let value = value.ok_or_else(|| SheetError::cell_is_not(place, text, "a finite number"))?;
        let index = style.map_or(Some(0), |style| style.trim().parse().ok());
        let shown = index.and_then(|index| self.context.styles.shown(index, value));
        let shown = shown.ok_or_else(|| {
            let style = shortened(style.unwrap_or_default());
            let count = self.context.styles.len();
            SheetError::damaged(format!(
                "cell {place} has the style {style}, but there are {count} styles"
            ))
        })?;
        Ok(match shown {
            Shown::Number => SheetCell::plain(number_text(value)),
            Shown::Percent => SheetCell::plain(percent_text(value)),
            Shown::Date => SheetCell::flawed(date_text(value, self.context.since_1904), Flaw::Date),
            Shown::Duration => SheetCell::flawed(duration_text(value), Flaw::Date),
        })
    }

    fn merges(&mut self) -> Result<(), SheetError> {
        while let Some(element) = self.xml.child()? {
            if element.name() == "mergeCell" {
                let text = self.xml.local_attribute(&element, "ref")?;
                let text = text.unwrap_or_default();
                let (first, last) = text.split_once(':').unwrap_or((&text, &text));
                let (first, last) = (parse_place(first)?, parse_place(last)?);
                let ordered = |a: u32, b: u32| (a.min(b), a.max(b));
                self.grid.merge(Region {
                    rows: ordered(first.row, last.row),
                    columns: ordered(first.column, last.column),
                });
            }
            self.xml.skip()?;
        }
        Ok(())
    }
}
