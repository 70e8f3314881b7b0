//! `evenhand edit`.

use crate::args::EditArgs;
use crate::failure::Failure;

/// Opens the window and stays until it is closed.
#[cfg(feature = "editor")]
pub(crate) fn run(args: &EditArgs) -> Result<u8, Failure> {
    use evenhand_editor::{Start, WindowError, data_folder};

    let start = Start {
        file: args.file.clone(),
        data_folder: data_folder(),
    };
    match evenhand_editor::run(&start) {
        Ok(()) => Ok(0),
        Err(WindowError::File(failure)) => Err(failure),
        Err(WindowError::NoWindow { reason, help }) => Err(Failure::cannot(reason, help)),
    }
}

/// This build has no window.
#[cfg(not(feature = "editor"))]
pub(crate) fn run(_args: &EditArgs) -> Result<u8, Failure> {
    Err(Failure::cannot(
        "this build of evenhand has no editor",
        "build it with its default features, or use the other commands",
    ))
}
