//! The texts that cells share.

use crate::{error::SheetError, xlsx::strings::rich_text, xml::Xml};

/// All shared texts, one after the other: a million empty ones take little memory.
#[derive(Default)]
pub(crate) struct SharedStrings {
    all: String,
    ends: Vec<usize>,
}

impl SharedStrings {
    pub(crate) fn read(text: &str, part: &str) -> Result<Self, SheetError> {
        let mut strings = Self::default();
        let mut xml = Xml::new(text, part);
        xml.root()?;
        while let Some(element) = xml.child()? {
            if element.name() == "si" {
                rich_text(&mut xml, &mut strings.all)?;
                strings.ends.push(strings.all.len());
            } else {
                xml.skip()?;
            }
        }
        Ok(strings)
    }

    /// The text at a place, from 0.
    pub(crate) fn get(&self, index: usize) -> Option<&str> {
        let end = *self.ends.get(index)?;
        let start = match index.checked_sub(1) {
            Some(before) => *self.ends.get(before)?,
            None => 0,
        };
        self.all.get(start..end)
    }
}
