//! `evenhand export`.

use evenhand_measurement::save_atomically;
use evenhand_receiver::{ControlPoint, ExportError, ExportForm, export, verify_legal};

use crate::args::{ExportArgs, Form};
use crate::failure::Failure;
use crate::input;
use crate::map::refuse_existing;
use crate::map_file::MapFile;
use crate::output::Output;

/// Entries of a table where the number is not given: one for each reading of eight bits.
const ENTRIES: u32 = 256;

pub(crate) fn run(args: &ExportArgs, output: &Output) -> Result<u8, Failure> {
    if let Some(out) = &args.out {
        refuse_existing(out, args.force)?;
    }
    let (file, _) = MapFile::read(&args.map)?;
    let points: Vec<ControlPoint> = file
        .map
        .control_points
        .iter()
        .map(|[x, y]| ControlPoint::new(*x, *y))
        .collect();
    verify_legal(&file.receiver, &points).map_err(|broken| {
        Failure::bad_input(
            format!(
                "{}: the map breaks a rule of its receiver: {broken}",
                args.map.display()
            ),
            "make the map again from its measurement with `evenhand map`",
        )
    })?;
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
    let text = export(form, &file.receiver, &points, file.map.exponent).map_err(|error| {
        let message = format!("{}: {error}", args.map.display());
        match error {
            ExportError::NoMap(_) => Failure::bad_input(
                message,
                "make the map again from its measurement with `evenhand map`",
            ),
            _ => Failure::cannot(
                message,
                "this is a fault of evenhand; please report it with the map",
            ),
        }
    })?;
    match &args.out {
        None => output.data(&text)?,
        Some(out) => {
            save_atomically(out, text.as_bytes(), args.force)
                .map_err(|error| input::save_failure(&error))?;
            output.people(&format!("saved as {}\n", out.display()))?;
        }
    }
    Ok(0)
}
