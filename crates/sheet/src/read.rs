//! From bytes to a sheet.

use crate::{
    FILE_LIMIT,
    detect::{Container, container, package_format, strange},
    error::{Extent, SheetError},
    ods,
    package::Package,
    sheet::{Sheet, SheetFormat},
    xlsx,
};

/// Reads one sheet of a spreadsheet: the one named, exactly or, where only one name differs from it in case
/// alone, that one; without a name the first that is not hidden.
///
/// # Errors
/// [`SheetError`] says what is wrong: another kind of file, a password, damage, a name that is not there, or
/// more than the limits allow.
pub fn read_sheet(bytes: &[u8], wanted: Option<&str>) -> Result<Sheet, SheetError> {
    if u64::try_from(bytes.len()).is_ok_and(|bytes| bytes > FILE_LIMIT) {
        return Err(Extent::FileBytes(FILE_LIMIT).into());
    }
    match container(bytes) {
        Container::Zip => {
            let mut package = Package::open(bytes)?;
            match package_format(&mut package)? {
                SheetFormat::Xlsx => xlsx::read(&mut package, wanted),
                SheetFormat::Ods => ods::read(&mut package, wanted),
            }
        }
        Container::EncryptedPackage => Err(SheetError::Encrypted),
        Container::OldBinary => Err(SheetError::Unsupported {
            found: "an old binary file (such as .xls)",
            remedy: "save it as .xlsx",
        }),
        Container::Empty => Err(SheetError::damaged("the file is empty")),
        Container::Strange => Err(strange()),
    }
}
