//! Office Open XML.

mod format_code;
mod serial;
mod shared_strings;
mod strings;
mod styles;
mod workbook;
mod worksheet;

use crate::{
    choose::{choose, names},
    error::SheetError,
    package::Package,
    sheet::{Sheet, SheetFormat},
};

use shared_strings::SharedStrings;
use styles::Styles;
use workbook::Workbook;
use worksheet::Context;

/// Reads the wanted sheet.
pub(crate) fn read(package: &mut Package<'_>, wanted: Option<&str>) -> Result<Sheet, SheetError> {
    let workbook = Workbook::read(package)?;
    let chosen = choose(&workbook.sheets, wanted)?;
    let styles = match &workbook.styles {
        Some(part) => Styles::read(&package.required(part)?, part)?,
        None => Styles::default(),
    };
    let strings = match &workbook.strings {
        Some(part) => SharedStrings::read(&package.required(part)?, part)?,
        None => SharedStrings::default(),
    };
    let part = workbook.part(chosen)?;
    let context = Context {
        styles: &styles,
        strings: &strings,
        since_1904: workbook.since_1904,
    };
    let grid = worksheet::read(&package.required(part)?, part, &context)?;
    Ok(Sheet {
        format: SheetFormat::Xlsx,
        name: workbook.sheets[chosen].name.clone(),
        names: names(&workbook.sheets),
        rows: grid.into_rows()?,
    })
}
