//! Makes the invented measurements and strokes of the demo. The same seed gives the same bytes.
//!
//! `cargo run -p demo-generator -- FOLDER` writes every file into FOLDER.

mod file;
mod line;
mod page;
mod scene;
mod studio;
mod stylus;

use std::process::ExitCode;

fn main() -> ExitCode {
    let Some(folder) = std::env::args_os().nth(1) else {
        return fail("say where to write: cargo run -p demo-generator -- demo");
    };
    let scene = scene::files()
        .into_iter()
        .map(|(name, text)| (name.to_owned(), text));
    for (name, text) in scene
        .chain(studio::files())
        .chain(std::iter::once(line::file()))
    {
        let path = std::path::Path::new(&folder).join(name);
        let made = path.parent().map_or(Ok(()), std::fs::create_dir_all);
        if let Err(error) = made.and_then(|()| std::fs::write(&path, text)) {
            return fail(&format!("{}: {error}", path.display()));
        }
    }
    ExitCode::SUCCESS
}

#[expect(clippy::print_stderr, reason = "a small program's only way to speak")]
fn fail(message: &str) -> ExitCode {
    eprintln!("{message}");
    ExitCode::FAILURE
}
