//! `OpenDocument`.

mod manifest;
mod styles;
mod table;
mod text;
mod value;

use crate::{
    choose::{Candidate, choose, names},
    detect::strange,
    error::SheetError,
    package::Package,
    sheet::{Sheet, SheetFormat},
    xml::{Space, Xml},
};

use styles::Styles;

const CONTENT: &str = "content.xml";
const STYLES: &str = "styles.xml";
const MANIFEST: &str = "META-INF/manifest.xml";

/// Reads the wanted sheet.
pub(crate) fn read(package: &mut Package<'_>, wanted: Option<&str>) -> Result<Sheet, SheetError> {
    if let Some(text) = package.part(MANIFEST)?
        && manifest::is_encrypted(&text, MANIFEST)?
    {
        return Err(SheetError::Encrypted);
    }
    let mut styles = Styles::default();
    if let Some(text) = package.part(STYLES)? {
        let mut xml = Xml::new(&text, STYLES);
        xml.root()?;
        while let Some(element) = xml.child()? {
            // Its automatic styles are for pages, not for cells.
            if element.is(Space::Office, "styles") {
                styles.read(&mut xml)?;
            } else {
                xml.skip()?;
            }
        }
    }
    let content = package.required(CONTENT)?;
    let sheets = survey(&content, &mut styles)?;
    let chosen = choose(&sheets, wanted)?;
    let mut xml = Xml::new(&content, CONTENT);
    let grid = if open_table(&mut xml, chosen)? {
        table::read(&mut xml, &styles)?
    } else {
        return Err(SheetError::NoSheets);
    };
    Ok(Sheet {
        format: SheetFormat::Ods,
        name: sheets[chosen].name.clone(),
        names: names(&sheets),
        rows: grid.into_rows()?,
    })
}

/// All sheets; their styles are added to those that are known.
fn survey(content: &str, styles: &mut Styles) -> Result<Vec<Candidate>, SheetError> {
    let mut sheets = None;
    let mut xml = Xml::new(content, CONTENT);
    xml.root()?;
    while let Some(element) = xml.child()? {
        if element.is(Space::Office, "automatic-styles") {
            styles.read(&mut xml)?;
        } else if element.is(Space::Office, "body") {
            while let Some(element) = xml.child()? {
                if element.is(Space::Office, "spreadsheet") {
                    sheets = Some(tables(&mut xml, styles)?);
                } else {
                    xml.skip()?;
                }
            }
        } else {
            xml.skip()?;
        }
    }
    sheets.ok_or_else(strange)
}

fn tables(xml: &mut Xml<'_>, styles: &Styles) -> Result<Vec<Candidate>, SheetError> {
    let mut sheets = Vec::new();
    while let Some(element) = xml.child()? {
        if element.is(Space::Table, "table") {
            let name = xml.attribute(&element, Space::Table, "name")?;
            let style = xml.attribute(&element, Space::Table, "style-name")?;
            sheets.push(Candidate {
                name: name.unwrap_or_default(),
                hidden: style.is_some_and(|style| styles.hides(&style)),
            });
        }
        xml.skip()?;
    }
    Ok(sheets)
}

/// Goes into a table; whether it is there.
fn open_table(xml: &mut Xml<'_>, index: usize) -> Result<bool, SheetError> {
    let mut before = 0;
    xml.root()?;
    while let Some(element) = xml.child()? {
        let is_outside =
            element.is(Space::Office, "body") || element.is(Space::Office, "spreadsheet");
        if is_outside {
            continue;
        }
        if element.is(Space::Table, "table") {
            if before == index {
                return Ok(true);
            }
            before += 1;
        }
        xml.skip()?;
    }
    Ok(false)
}
