//! A picture of the editor, without a display:
//! `cargo run -p evenhand-editor --example screenshot -- OUT.png [WIDTH HEIGHT SCALE light|dark FILE STEP…]`
//!
//! Before the picture is taken FILE is opened, unless it is empty, and each STEP done: a button's label is pressed,
//! `LABEL=TEXT` is written into a field.

use std::process::ExitCode;

use evenhand_editor::Start;

#[path = "../tests/painter/mod.rs"]
mod painter;

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let Some(out) = args.first() else {
        return fail("say where to: cargo run -p evenhand-editor --example screenshot -- OUT.png");
    };
    let number = |index: usize, otherwise: f32| {
        args.get(index)
            .and_then(|text| text.parse().ok())
            .unwrap_or(otherwise)
    };
    let size = [number(1, 1400.0), number(2, 900.0)];
    let scale = number(3, 1.0);
    let theme = if args.get(4).is_some_and(|word| word == "dark") {
        egui::Theme::Dark
    } else {
        egui::Theme::Light
    };
    let file = args
        .get(5)
        .filter(|name| !name.is_empty())
        .map(std::path::PathBuf::from);
    let start = Start {
        file,
        data_folder: None,
    };
    let mut harness = match painter::window(&start, size, scale, theme) {
        Ok(harness) => harness,
        Err(failure) => return fail(&failure.to_string()),
    };
    for step in args.iter().skip(6) {
        use egui_kittest::kittest::Queryable as _;
        match step.split_once('=') {
            Some((label, text)) => {
                let field = harness.get_by_label(label);
                field.focus();
                field.type_text(text);
            }
            None => harness.get_by_label(step).click(),
        }
        harness.run_steps(12);
    }
    match harness.render() {
        Ok(image) => match image.save(out) {
            Ok(()) => ExitCode::SUCCESS,
            Err(error) => fail(&error.to_string()),
        },
        Err(reason) => fail(&reason),
    }
}

#[expect(clippy::print_stderr, reason = "a small program's only way to speak")]
fn fail(message: &str) -> ExitCode {
    eprintln!("{message}");
    ExitCode::FAILURE
}
