//! `evenhand export`.

use std::path::Path;

use evenhand_curve::Curve as _;
use evenhand_measurement::save_atomically;
use evenhand_preview::{Card, Theme, card_svg, read_card};
use evenhand_receiver::{ControlPoint, ExportError, ExportForm, TypedPoints, export, verify_legal};

use crate::args::{ExportArgs, Form};
use crate::failure::Failure;
use crate::input;
use crate::map::refuse_existing;
use crate::map_file::MapFile;
use crate::output::Output;
use crate::picture;
use crate::stage::Stage;
use crate::text::gf;

/// Entries of a table where the number is not given: one for each reading of eight bits.
const ENTRIES: u32 = 256;

pub(crate) fn run(args: &ExportArgs, output: &Output) -> Result<u8, Failure> {
    if let Some(out) = &args.out {
        refuse_existing(out, args.force)?;
    }
    let (file, _) = MapFile::read(&args.map)?;
    let points = file.map.points();
    verify_legal(&file.receiver, &points).map_err(|broken| {
        Failure::bad_input(
            format!(
                "{}: the map breaks a rule of its receiver: {broken}",
                args.map.display()
            ),
            "make the map again from its measurement with `evenhand map`",
        )
    })?;
    let ending = args.out.as_deref().and_then(Path::extension);
    let is_text = ending.is_none_or(|ending| ending == "txt");
    let picture = args.out.as_deref().and_then(picture::by_ending);
    if let (Form::Card, Some(out), Some(form)) = (args.form, &args.out, picture) {
        let svg = card(&args.map, &file, &points, picture::theme(args.theme))?;
        picture::write(svg, out, form, args.force)?;
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

/// The picture of a card, read back before it is handed out.
fn card(
    map: &Path,
    file: &MapFile,
    points: &[ControlPoint],
    theme: Theme,
) -> Result<String, Failure> {
    let name = map.display();
    if points.len() > Card::MOST_POINTS {
        return Err(Failure::cannot(
            format!(
                "{name}: {} points do not fit on a card to type from, {} do",
                points.len(),
                Card::MOST_POINTS
            ),
            "export a table for a program to read: --as table",
        ));
    }
    let typed = TypedPoints::new(&file.receiver, points, file.map.exponent);
    let curve = Stage::from_table(file.map.clone()).map_err(|reason| {
        Failure::bad_input(
            format!("{name}: the points make no curve: {reason}"),
            "make the map again from its measurement with `evenhand map`",
        )
    })?;
    let stylus = [&file.stylus.model, &file.stylus.unit];
    let stylus: Vec<&str> = stylus.into_iter().flatten().map(String::as_str).collect();
    let whose = if stylus.is_empty() {
        file.source.file.clone()
    } else {
        stylus.join(" ")
    };
    let samples = curve.curve.sample(257);
    let further = typed
        .exponent
        .clone()
        .map(|exponent| ("exponent".to_owned(), exponent));
    let card = Card {
        title: format!("{whose}: points for {}", file.receiver.name()),
        subtitle: file.receiver.title().to_owned(),
        heads: typed.heads.clone(),
        rows: typed.rows.clone(),
        points: points.iter().map(|p| (p.input, p.output)).collect(),
        curve: samples.iter().map(|p| (p.x, p.y)).collect(),
        further,
        notes: vec![
            format!(
                "Afterwards press from light to firm in one slow stroke: nothing at {}, full at {}, no jumps between.",
                gf(file.achieved.light_at_gf),
                gf(file.achieved.full_at_gf)
            ),
            "A map changes what is drawn, not what the hand presses. With pain or numbness rest, and ask a clinician."
                .to_owned(),
        ],
    };
    let svg = card_svg(&card, theme);
    let mut read = read_card(&svg).unwrap_or_default();
    let further = if file.map.exponent.is_some() {
        read.pop().and_then(|mut texts| texts.pop())
    } else {
        None
    };
    let rows: Vec<[String; 2]> = read
        .into_iter()
        .filter_map(|texts| texts.try_into().ok())
        .collect();
    let exponent = file.map.exponent;
    if !TypedPoints::tell(&rows, further.as_deref(), &file.receiver, points, exponent) {
        return Err(Failure::cannot(
            format!("{name}: the card differs from the map when it is read back"),
            "this is a fault of evenhand; please report it with the map",
        ));
    }
    Ok(svg)
}
