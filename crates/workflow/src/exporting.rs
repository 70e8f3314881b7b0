//! A map in the forms that are read elsewhere.

use evenhand_curve::Curve as _;
use evenhand_preview::{Card, Theme, card_svg, read_card};
use evenhand_receiver::{ExportError, ExportForm, TypedPoints, export, verify_legal};
use evenhand_text::{Setting, gf, percent};

use crate::failure::Failure;
use crate::map_file::MapFile;

/// A map as text, read back before it is handed out. `name` is that of the map, for messages.
///
/// # Errors
/// Points that break a rule of their receiver.
pub fn exported(name: &str, file: &MapFile, form: ExportForm) -> Result<String, Failure> {
    let points = file.map.points();
    verify_legal(&file.receiver, &points).map_err(|broken| {
        Failure::bad_input(
            format!("{name}: the map breaks a rule of its receiver: {broken}"),
            Setting::Rebuild,
        )
    })?;
    let text = export(form, &file.receiver, &points, file.map.exponent).map_err(|error| {
        let message = format!("{name}: {error}");
        match error {
            ExportError::NoMap(_) => Failure::bad_input(message, Setting::Rebuild),
            _ => Failure::cannot(
                message,
                "this is a fault of evenhand; please report it with the map",
            ),
        }
    })?;
    Ok(match expected_error(file) {
        Some(expected) if form == ExportForm::Card => format!("{text}\n{expected}\n"),
        _ => text,
    })
}

/// How far the stylus may be off with a map, in lines that a card has room for; none of a map that does not say.
fn expected_error(file: &MapFile) -> Option<String> {
    let error = file.achieved.stylus_error?;
    Some(format!(
        "Worst error expected with this stylus:\n{:.1} % of full output, at most {:.1} %\nwith {} % confidence.",
        100.0 * error.median,
        100.0 * error.high,
        percent(file.settings.confidence),
    ))
}

/// The card of a map as a picture, read back before it is handed out. `name` is that of the map, for
/// messages.
///
/// # Errors
/// More points than a card holds, and points that make no curve.
pub fn card_picture(name: &str, file: &MapFile, theme: Theme) -> Result<String, Failure> {
    let points = &file.map.points()[..];
    if points.len() > Card::MOST_POINTS {
        return Err(Failure::cannot(
            format!(
                "{name}: {} points do not fit on a card to type from, {} do",
                points.len(),
                Card::MOST_POINTS
            ),
            Setting::ExportTable,
        ));
    }
    let typed = TypedPoints::new(&file.receiver, points, file.map.exponent);
    let curve = file.map.stage().map_err(|reason| {
        Failure::bad_input(
            format!("{name}: the points make no curve: {reason}"),
            Setting::Rebuild,
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
    let mut notes = vec![format!(
        "Afterwards press from light to firm in one slow stroke: nothing at {}, full at {}, no jumps between.",
        gf(file.achieved.light_at_gf),
        gf(file.achieved.full_at_gf)
    )];
    notes.extend(expected_error(file).map(|expected| expected.replace('\n', " ")));
    notes.push(
        "A map changes what is drawn, not what the hand presses. With pain or numbness rest, and ask a clinician."
            .to_owned(),
    );
    let card = Card {
        title: format!("{whose}: points for {}", file.receiver.name()),
        subtitle: file.receiver.title().to_owned(),
        heads: typed.heads.clone(),
        rows: typed.rows.clone(),
        points: points.iter().map(|p| (p.input, p.output)).collect(),
        curve: samples.iter().map(|p| (p.x, p.y)).collect(),
        further,
        notes,
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
    if !TypedPoints::matches(&rows, further.as_deref(), &file.receiver, points, exponent) {
        return Err(Failure::cannot(
            format!("{name}: the card differs from the map when it is read back"),
            "this is a fault of evenhand; please report it with the map",
        ));
    }
    Ok(svg)
}
