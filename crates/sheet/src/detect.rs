//! What kind of file bytes are.

use crate::{
    error::SheetError,
    package::{Package, first_entry},
    sheet::SheetFormat,
};

/// What bytes begin like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Container {
    /// A zip, as both formats are.
    Zip,
    /// An OLE compound file around a workbook that a password protects.
    EncryptedPackage,
    /// Any other OLE compound file: workbooks of the nineties.
    OldBinary,
    /// Nothing at all.
    Empty,
    /// Something else.
    Strange,
}

const OPEN_DOCUMENT: &str = "application/vnd.oasis.opendocument.";
const CONTENT_TYPES: &str = "[Content_Types].xml";

pub(crate) fn container(bytes: &[u8]) -> Container {
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06") {
        Container::Zip
    } else if bytes.starts_with(b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1") {
        if has_stream(bytes, "EncryptedPackage") {
            Container::EncryptedPackage
        } else {
            Container::OldBinary
        }
    } else if bytes.is_empty() {
        Container::Empty
    } else {
        Container::Strange
    }
}

/// Returns whether bytes begin like a spreadsheet: a zip with the parts of one, or an OLE compound file, which
/// is an encrypted or an old binary workbook and which [`crate::read_sheet`] refuses with that reason. Only
/// the list of parts is read.
#[must_use]
pub fn looks_like_sheet(bytes: &[u8]) -> bool {
    match container(bytes) {
        Container::EncryptedPackage | Container::OldBinary => true,
        Container::Empty | Container::Strange => false,
        Container::Zip => match Package::open(bytes) {
            Ok(package) if package.has("mimetype") => stored_type(bytes)
                .is_none_or(|kind| kind.starts_with(b"application/vnd.oasis.opendocument.sp")),
            Ok(package) => {
                package.has(CONTENT_TYPES) && package.any(|name| name.contains("workbook."))
                    || package.has("content.xml")
            }
            // Cut off: the first part is all there is to go by.
            Err(_) => first_entry(bytes).is_some_and(|(name, _)| {
                name == b"mimetype"
                    || name == CONTENT_TYPES.as_bytes()
                    || [&b"xl/"[..], b"_rels/", b"docProps/"]
                        .iter()
                        .any(|folder| name.starts_with(folder))
            }),
        },
    }
}

/// The media type where it is the first part and not compressed, as `OpenDocument` asks.
fn stored_type(bytes: &[u8]) -> Option<&[u8]> {
    first_entry(bytes)
        .filter(|(name, _)| *name == b"mimetype")
        .map(|(_, data)| data)
}

/// Which of the two formats a zip is.
pub(crate) fn package_format(package: &mut Package<'_>) -> Result<SheetFormat, SheetError> {
    if let Some(kind) = package.part("mimetype")? {
        return match kind.trim().strip_prefix(OPEN_DOCUMENT) {
            Some("spreadsheet" | "spreadsheet-template") => Ok(SheetFormat::Ods),
            _ => Err(strange()),
        };
    }
    if package.has("_rels/.rels") || package.has(CONTENT_TYPES) {
        Ok(SheetFormat::Xlsx)
    } else if package.has("content.xml") {
        Ok(SheetFormat::Ods)
    } else {
        Err(strange())
    }
}

/// The error for a file that is not a spreadsheet.
pub(crate) fn strange() -> SheetError {
    SheetError::Unsupported {
        found: "a file that is not a spreadsheet",
        remedy: "save the table as .xlsx or .ods",
    }
}

/// Whether an OLE compound file has a stream of that name. Directory entries are 128 bytes long and aligned;
/// an entry is told from data by the length of its name and its kind.
fn has_stream(bytes: &[u8], name: &str) -> bool {
    let wide: Vec<u8> = name.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let length = u16::try_from(wide.len() + 2).unwrap_or_default();
    bytes.chunks_exact(128).any(|entry| {
        entry.starts_with(&wide) && entry[64..66] == length.to_le_bytes() && entry[66] == 2
    })
}
