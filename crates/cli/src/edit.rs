//! `evenhand edit`: the window, which is a program of its own.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::Command;

use evenhand_workflow::Failure;

use crate::args::EditArgs;
use crate::output::Output;

/// Name of the window's program, without the ending that a system may want.
const PROGRAM: &str = "evenhand-window";

/// Becomes the window's program, or starts it and stays until it is closed.
pub(crate) fn run(args: &EditArgs, output: &Output) -> Result<u8, Failure> {
    let own = std::env::current_exe().ok();
    let folder = own.as_deref().and_then(Path::parent);
    let path = std::env::var_os("PATH");
    let Some(program) = window_program(folder, path.as_ref()) else {
        return Err(Failure::bad_input(
            format!("the window is a program of its own, {PROGRAM}, which is not installed here"),
            "install it with: cargo install --path crates/editor",
        ));
    };
    let mut command = Command::new(&program);
    command.args(output.as_arguments());
    if let Some(file) = &args.file {
        // A name that begins with a hyphen is no option.
        command.arg("--").arg(file);
    }
    start(command).map_err(|error| {
        Failure::cannot(
            format!("{} could not be started: {error}", program.display()),
            "install it again with: cargo install --path crates/editor",
        )
    })
}

/// The window's program: beside this one, else on the path.
fn window_program(folder: Option<&Path>, path: Option<&OsString>) -> Option<PathBuf> {
    let name = format!("{PROGRAM}{}", std::env::consts::EXE_SUFFIX);
    let on_path = path.into_iter().flat_map(std::env::split_paths);
    folder
        .map(Path::to_path_buf)
        .into_iter()
        // An empty entry of the path would mean the current folder, where a download may lie.
        .chain(on_path.filter(|folder| folder.is_absolute()))
        .map(|folder| folder.join(&name))
        .find(|program| program.is_file())
}

/// Nothing of this program is needed once the window is there, so where a process can become another it does.
#[cfg(unix)]
fn start(mut command: Command) -> std::io::Result<u8> {
    use std::os::unix::process::CommandExt as _;

    Err(command.exec())
}

#[cfg(not(unix))]
fn start(mut command: Command) -> std::io::Result<u8> {
    let status = command.status()?;
    let code = status.code().and_then(|code| u8::try_from(code).ok());
    Ok(code.unwrap_or(evenhand_workflow::CANNOT))
}
