//! `evenhand export`.

use std::path::Path;

use evenhand_receiver::ExportForm;
use evenhand_text::save_atomically;
use evenhand_workflow::{Failure, MapFile, card_picture, check_target, edit_warning, exported};

use crate::args::{ExportArgs, Form};
use crate::output::Output;
use crate::picture;

/// Entries of a table where the number is not given: one for each reading of eight bits.
const ENTRIES: u32 = 256;

pub(crate) fn run(args: &ExportArgs, output: &Output) -> Result<u8, Failure> {
    if let Some(out) = &args.out {
        check_target(out, args.force, &[&args.map])?;
    }
    let (file, _) = MapFile::read(&args.map)?;
    let name = args.map.display().to_string();
    let ending = args.out.as_deref().and_then(Path::extension);
    let is_text = ending.is_none_or(|ending| ending == "txt");
    let picture = args.out.as_deref().and_then(picture::by_ending);
    if let (Form::Card, Some(out), Some(form)) = (args.form, &args.out, picture) {
        let svg = card_picture(&name, &file, picture::theme(args.theme))?;
        picture::write(svg, out, form, args.force)?;
        warn_of_edits(&args.map, &file, output);
        output.people(&format!("saved as {}\n", out.display()))?;
        return Ok(0);
    }
    if let (Form::Card, Some(out), false) = (args.form, &args.out, is_text) {
        return Err(Failure::bad_input(
            format!("{}: a card is text or a picture", out.display()),
            "name it OUT.txt, OUT.svg or OUT.png",
        ));
    }
    let form = match args.form {
        Form::Csv => ExportForm::Csv,
        Form::Json => ExportForm::Json,
        Form::Card => ExportForm::Card,
        Form::Table => {
            let entries = args.entries.unwrap_or(ENTRIES);
            ExportForm::Table {
                entries,
                full_scale: args.full_scale.unwrap_or(entries - 1),
            }
        }
        Form::Css => ExportForm::Css,
        Form::Svg => ExportForm::Svg,
        Form::Inkml => ExportForm::Inkml,
    };
    let text = exported(&name, &file, form)?;
    warn_of_edits(&args.map, &file, output);
    match &args.out {
        None => output.data(&text)?,
        Some(out) => {
            save_atomically(out, text.as_bytes(), args.force)?;
            output.people(&format!("saved as {}\n", out.display()))?;
        }
    }
    Ok(0)
}

/// What is handed out are the points of the file; figures that are of others are told beside it.
fn warn_of_edits(path: &Path, file: &MapFile, output: &Output) {
    if let Some((message, advice)) = edit_warning(path, file) {
        output.warn(&format!("{}: {message}; {advice}", path.display()));
    }
}
