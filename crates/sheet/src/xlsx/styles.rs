//! How cells show their numbers.

use std::collections::HashMap;

use crate::{
    error::SheetError,
    place::shortened,
    xlsx::format_code::{FormatCode, Shown},
    xml::{Element, Xml},
};

/// The number formats of a workbook and which of them each style of cells has.
#[derive(Default)]
pub(crate) struct Styles {
    /// The number format of each style of cells.
    cells: Vec<u32>,
    codes: HashMap<u32, FormatCode>,
}

impl Styles {
    pub(crate) fn read(text: &str, part: &str) -> Result<Self, SheetError> {
        let mut styles = Self::default();
        let mut named = Vec::new();
        let mut xml = Xml::new(text, part);
        xml.root()?;
        while let Some(element) = xml.child()? {
            match element.name() {
                "numFmts" => styles.read_codes(&mut xml)?,
                "cellStyleXfs" => named = read_formats(&mut xml, &[])?,
                "cellXfs" => styles.cells = read_formats(&mut xml, &named)?,
                _ => xml.skip()?,
            }
        }
        Ok(styles)
    }

    fn read_codes(&mut self, xml: &mut Xml<'_>) -> Result<(), SheetError> {
        while let Some(element) = xml.child()? {
            if element.name() == "numFmt" {
                let id = number(xml, &element, "numFmtId")?;
                let code = xml.local_attribute(&element, "formatCode")?;
                if let (Some(id), Some(code)) = (id, code) {
                    self.codes.insert(id, FormatCode::parse(&code));
                }
            }
            xml.skip()?;
        }
        Ok(())
    }

    /// How cells of a style show a value; none if there is no such style.
    pub(crate) fn shown(&self, style: usize, value: f64) -> Option<Shown> {
        let format = match self.cells.get(style) {
            Some(format) => *format,
            // A workbook without styles shows everything as it is.
            None if style == 0 => 0,
            None => return None,
        };
        Some(match self.codes.get(&format) {
            Some(code) => code.shown(value),
            None => built_in(format),
        })
    }

    /// How many styles there are.
    pub(crate) fn len(&self) -> usize {
        self.cells.len()
    }
}

/// The number format of each style; where one has none it takes that of the named style below it.
fn read_formats(xml: &mut Xml<'_>, named: &[u32]) -> Result<Vec<u32>, SheetError> {
    let mut formats = Vec::new();
    while let Some(element) = xml.child()? {
        if element.name() == "xf" {
            let own = number(xml, &element, "numFmtId")?;
            let format = match own {
                Some(own) => own,
                None => number(xml, &element, "xfId")?
                    .and_then(|below| named.get(below as usize).copied())
                    .unwrap_or(0),
            };
            formats.push(format);
        }
        xml.skip()?;
    }
    Ok(formats)
}

fn number(xml: &Xml<'_>, element: &Element<'_>, name: &str) -> Result<Option<u32>, SheetError> {
    let Some(text) = xml.local_attribute(element, name)? else {
        return Ok(None);
    };
    text.trim().parse().map(Some).map_err(|_| {
        let text = shortened(&text);
        SheetError::damaged(format!(
            "{name} of a style is \"{text}\", which is not a number"
        ))
    })
}

/// The formats that are not written out, ECMA-376 part 1, 18.8.30. Those from 27 to 36 and from 50 to 58 are
/// dates and times of East Asian languages.
fn built_in(format: u32) -> Shown {
    match format {
        9 | 10 => Shown::Percent,
        14..=22 | 27..=36 | 45 | 47 | 50..=58 => Shown::Date,
        46 => Shown::Duration,
        _ => Shown::Number,
    }
}
