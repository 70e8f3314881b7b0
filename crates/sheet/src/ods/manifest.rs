//! The list of parts, which says whether they are encrypted.

use crate::{error::SheetError, xml::Xml};

/// Whether a password protects the sheets. One may protect macros alone.
pub(crate) fn is_encrypted(text: &str, part: &str) -> Result<bool, SheetError> {
    let mut xml = Xml::new(text, part);
    xml.root()?;
    while let Some(element) = xml.child()? {
        let path = xml.local_attribute(&element, "full-path")?;
        let is_macro = path.is_some_and(|path| path.starts_with("Basic/"));
        while let Some(element) = xml.child()? {
            if element.name() == "encryption-data" && !is_macro {
                return Ok(true);
            }
            xml.skip()?;
        }
    }
    Ok(false)
}
