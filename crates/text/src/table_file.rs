//! A file that holds a table: a text or a sheet of a spreadsheet.

use std::path::Path;

use evenhand_sheet::{SheetError, looks_like_sheet, read_sheet};

use crate::clean::{clean, quoted};
use crate::fault::{Fault, Faults, Setting};
use crate::file::{Encoding, decode};
use crate::line::Content;

/// A file that holds a table: a text or a sheet of a spreadsheet.
#[derive(Clone, Debug)]
pub struct TableFile {
    pub(crate) name: String,
    pub(crate) format: &'static str,
    pub(crate) sheet: Option<String>,
    pub(crate) content: Content,
    /// Whether characters that are not ASCII are a guess.
    pub(crate) is_guessed: bool,
}

impl TableFile {
    /// Of the bytes of a text or of a spreadsheet, whose `sheet` is read, the first one by default; `example` is a
    /// header as it could be.
    ///
    /// # Errors
    /// Bytes that are neither, a text without anything in it, and a spreadsheet that cannot be read.
    pub fn parse(
        name: &str,
        bytes: &[u8],
        sheet: Option<&str>,
        example: &str,
    ) -> Result<Self, Faults> {
        let is_named_so = Path::new(name).extension().is_some_and(|ending| {
            ["xlsx", "ods", "xls"]
                .iter()
                .any(|known| ending.eq_ignore_ascii_case(known))
        });
        if looks_like_sheet(bytes) || is_named_so {
            return Self::from_sheet(name, bytes, sheet);
        }
        if let Some(sheet) = sheet {
            let found = format!("a text, which has no sheet {}", quoted(sheet));
            return Err(Faults::one(name, Fault::of_file(found, Setting::NoSheet)));
        }
        Self::from_text(name, bytes, example)
    }

    fn from_text(name: &str, bytes: &[u8], example: &str) -> Result<Self, Faults> {
        let (text, encoding) = decode(name, bytes)?;
        if text.trim().is_empty() {
            let remedy = format!("write a header such as {example} and one line for each sample");
            return Err(Faults::one(
                name,
                Fault::of_file("the file is empty", remedy),
            ));
        }
        Ok(Self {
            name: name.to_owned(),
            format: "csv",
            sheet: None,
            content: Content::Text(text),
            is_guessed: encoding == Encoding::Windows1252,
        })
    }

    fn from_sheet(name: &str, bytes: &[u8], sheet: Option<&str>) -> Result<Self, Faults> {
        let found = read_sheet(bytes, sheet).map_err(|error| {
            let fault = match error {
                SheetError::NoSuchSheet { wanted, names } => Fault::of_file(
                    format!("no sheet named {}", quoted(&wanted)),
                    Setting::Sheet(names),
                ),
                // What to do stands behind the semicolon.
                other => {
                    let text = other.to_string();
                    let (found, remedy) = text.split_once("; ").unwrap_or((&text, ""));
                    Fault::of_file(clean(found), clean(remedy))
                }
            };
            Faults::one(name, fault)
        })?;
        if found.rows.is_empty() {
            let fault = Fault::of_file(
                format!("the sheet {} is empty", quoted(&found.name)),
                Setting::Sheet(found.names),
            );
            return Err(Faults::one(name, fault));
        }
        Ok(Self {
            name: name.to_owned(),
            format: found.format.as_str(),
            sheet: Some(found.name),
            content: Content::Grid(found.rows),
            is_guessed: false,
        })
    }

    /// The file, as it was named.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Its text; `None` for a spreadsheet.
    #[must_use]
    pub fn text(&self) -> Option<&str> {
        self.content.text()
    }

    /// Faults found in it by other means.
    #[must_use]
    pub fn faults(&self, faults: Vec<Fault>) -> Option<Faults> {
        Faults::of(&self.name, self.text(), faults)
    }
}
