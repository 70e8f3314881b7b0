//! Measuring in the window: the next force and the reading large, the curve so far, and the session's buttons.

use egui::{ComboBox, Key, ProgressBar, Response, RichText, TextEdit, Ui, vec2};
use evenhand_measurement::Force;
use evenhand_preview::ForceScale;
use evenhand_recorder::{Action, Next, SessionView};
use evenhand_text::{count, short};

use crate::editor::Editor;
use crate::fields::{describe, force_field};
use crate::files::{FileChoice, Purpose};
use crate::measure_plot;
use crate::measuring::{KINDS, Measuring};
use crate::side::heading;
use crate::tokens;
use crate::units::force_text;

/// Samples that are listed.
const LISTED: usize = 200;

/// A force in figures without its unit.
fn figure(force_gf: f64, unit: ForceScale) -> String {
    let value = force_gf * unit.per_gf();
    match unit {
        ForceScale::Gf => short(value, 1),
        ForceScale::Newton => format!("{value:.3}"),
    }
}

impl Editor {
    /// Takes readings, whatever side is shown.
    pub(crate) fn attend(&mut self, ui: &Ui) {
        if self.measuring.poll() {
            ui.ctx().request_repaint_after(tokens::ATTEND_EVERY);
        }
    }

    /// The middle of the window: what is read from the bench.
    pub(crate) fn measure(&mut self, ui: &mut Ui) {
        let unit = self.view.unit;
        let Some(session_view) = &mut self.measuring.session_view else {
            ui.add_space(12.0);
            ui.heading("Measure a stylus");
            ui.label("Say at the side what to write and where readings come from, then begin. The bench is asked for one force after the other; every sample is on the disk before the next.");
            ui.add_space(6.0);
            warn(ui, evenhand_bench::BEFORE_WEIGHTS);
            ui.add_space(6.0);
            let hint = "How to build a bench from common parts is in demo/bench.md.";
            ui.label(RichText::new(hint).weak());
            return;
        };
        let next = session_view.recorder_mut().next_step().clone();
        let room = ui.available_size();
        let size = (0.17 * room.y).min(0.11 * room.x).clamp(28.0, 150.0);
        ui.columns(2, |columns| {
            let [left, right] = columns else { return };
            left.vertical(|ui| next_force(ui, &next, unit, size));
            right.vertical(|ui| reading(ui, session_view, size));
        });
        ui.add_space(6.0);
        for sentence in session_view.sentences() {
            if sentence.is_warning {
                warn(ui, &sentence.text);
            } else {
                ui.label(&sentence.text);
            }
        }
        ui.add_space(6.0);
        let progress = session_view.recorder_mut().progress();
        measure_plot::show(ui, &progress, unit);
    }

    /// The side: the form, or the session's buttons and samples.
    pub(crate) fn measure_side(&mut self, ui: &mut Ui) {
        egui::ScrollArea::vertical()
            .auto_shrink(false)
            .show(ui, |ui| {
                if self.measuring.session_view.is_some() {
                    self.session_side(ui);
                } else {
                    self.form(ui);
                }
            });
    }

    fn form(&mut self, ui: &mut Ui) {
        heading(ui, "Bench");
        let mut chosen = None;
        let form = &mut self.measuring.form;
        for (purpose, path, name, hint, button) in [
            (
                Purpose::MeasureInto,
                &mut form.out,
                "Measurement to write, new or begun before",
                "dunlin-09.csv",
                "Choose the measurement",
            ),
            (
                Purpose::ReadingsFrom,
                &mut form.from,
                "Readings come from",
                "a device, a serial line or a file",
                "Choose where readings come from",
            ),
            (
                Purpose::Rig,
                &mut form.rig,
                "Bench with its masses, if described",
                "rig.toml",
                "Choose the bench",
            ),
        ] {
            let label = ui.label(name);
            ui.horizontal(|ui| {
                let width = (ui.available_width() - tokens::BROWSE_WIDTH).max(60.0);
                let field = text_field(ui, &mut path.text, width, hint);
                field.labelled_by(label.id);
                let response = ui.button("Choose…");
                describe(&response, egui::Role::Button, button);
                if response.clicked() {
                    chosen = Some(purpose);
                }
            });
        }
        egui::Grid::new("bench form")
            .num_columns(2)
            .spacing([10.0, 4.0])
            .show(ui, |ui| {
                let label = ui.label("readings are");
                let kind = KINDS.iter().find(|(kind, _)| *kind == form.kind);
                let word = kind.map_or("", |(_, word)| word);
                ComboBox::from_id_salt("readings are")
                    .selected_text(word)
                    .show_ui(ui, |ui| {
                        for (kind, word) in KINDS {
                            ui.selectable_value(&mut form.kind, kind, word);
                        }
                    })
                    .response
                    .labelled_by(label.id);
                ui.end_row();
                for (name, text, hint) in [
                    ("levels", &mut form.levels, "for counts and events"),
                    ("model", &mut form.model, ""),
                    ("unit", &mut form.unit, ""),
                    ("forces", &mut form.forces, "planned; or 5gf, 20gf"),
                ] {
                    let label = ui.label(name);
                    text_field(ui, text, 150.0, hint).labelled_by(label.id);
                    ui.end_row();
                }
                let unit = self.view.unit;
                let label = ui.label(format!("never above, {}", unit.as_str()));
                let (response, changed) = force_field(ui, unit, (1.0, form.limit_gf), "");
                response.labelled_by(label.id);
                form.limit_gf = changed.unwrap_or(form.limit_gf);
                ui.end_row();
            });
        if let Some(text) = evenhand_bench::large_limit(form.limit_gf) {
            warn(ui, text);
        }
        let words = "the stylus was not moved since the last sample";
        ui.checkbox(&mut form.same_seating, words)
            .on_hover_text("Otherwise going on begins a new seating");
        ui.add_space(6.0);
        let begin = RichText::new("Begin measuring").strong();
        let begins = ui.button(begin).clicked();
        if let Some(purpose) = chosen {
            self.view.choice = Some(FileChoice::new(purpose, &self.view.folder, ""));
        }
        if begins {
            match self.measuring.begin() {
                Ok(()) => self.session.hush(),
                Err(failure) => self.session.complain(&failure),
            }
        }
    }

    fn session_side(&mut self, ui: &mut Ui) {
        let unit = self.view.unit;
        let is_free = ui.memory(|memory| memory.focused().is_none()) && self.view.choice.is_none();
        let confirmed = is_free && ui.input(|input| input.key_pressed(Key::Enter));
        let Measuring {
            session_view,
            instead,
            ..
        } = &mut self.measuring;
        let Some(session_view) = session_view else {
            return;
        };
        heading(ui, "Bench");
        let recorder = session_view.recorder();
        ui.label(RichText::new(recorder.out().display().to_string()).strong());
        ui.label(format!(
            "seating {}, {}, never above {}",
            recorder.seating(),
            count(recorder.rows().len(), "sample"),
            force_text(recorder.limit_gf(), unit)
        ));
        ui.add_space(6.0);
        let has_ended = recorder.has_ended();
        let is_watching = recorder.is_watching();
        let mut action = None;
        let can_watch = !has_ended && !is_watching;
        let size = vec2(ui.available_width(), tokens::LARGE_BUTTON);
        let response = ui
            .add_enabled_ui(can_watch, |ui| {
                let button = egui::Button::new(RichText::new("It hangs still").size(18.0));
                ui.add_sized(size, button)
            })
            .inner
            .on_hover_text("Enter");
        if response.clicked() || (confirmed && can_watch) {
            action = Some(Action::TakeReading);
        }
        ui.horizontal_wrapped(|ui| {
            let mut button = |word: &str, does: Action, hint: &str| {
                if ui.button(word).on_hover_text(hint).clicked() {
                    action = Some(does);
                }
            };
            let again = "Take back the last sample and place its force again";
            button("Retake", Action::Retake, again);
            button("Take back", Action::Undo, "Take back the last sample");
            let anew = "The stylus was taken out and set again";
            button("New seating", Action::NewSeating, anew);
        });
        ui.horizontal(|ui| {
            let label = ui.label("another force");
            let typed = text_field(ui, instead, 70.0, "60gf").labelled_by(label.id);
            let entered = typed.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
            if ui.button("Place that").clicked() || entered {
                match instead.parse::<Force>() {
                    Ok(force) => {
                        action = Some(Action::UseForce(force));
                        instead.clear();
                    }
                    Err(error) => session_view.show(error.to_string(), true),
                }
            }
        });
        if let Some(action) = action {
            session_view.act(action);
        }
        ui.add_space(6.0);
        let mut ends = false;
        let mut opens = None;
        ui.horizontal_wrapped(|ui| {
            ends = ui
                .button("Enough for today")
                .on_hover_text("Everything kept is in the file; beginning again goes on")
                .clicked();
            let can_fit = session_view.recorder_mut().fit().is_some();
            let make = ui.add_enabled(can_fit, egui::Button::new("Make a map of it"));
            if make.on_hover_text("Opens the measurement so far").clicked() {
                opens = Some(session_view.recorder().out().to_path_buf());
            }
        });
        samples(ui, session_view, unit);
        if ends {
            let summary = session_view.recorder().saved_summary();
            self.measuring.session_view = None;
            self.session.say(summary);
        }
        if let Some(path) = opens {
            self.view.measures = false;
            self.act_on_file(Purpose::Open, &path, false);
        }
    }
}

/// A field for a line of text.
fn text_field(ui: &mut Ui, text: &mut String, width: f32, hint: &str) -> Response {
    let field = TextEdit::singleline(text).desired_width(width);
    ui.add(field.hint_text(hint))
}

fn large(text: String, size: f32) -> RichText {
    RichText::new(text).size(size).monospace().strong()
}

/// What to place.
fn next_force(ui: &mut Ui, next: &Next, unit: ForceScale, size: f32) {
    ui.label(RichText::new(format!("Next force, {}", unit.as_str())).strong());
    let placed = match next {
        Next::Place(placed) => placed,
        Next::Done(why) => {
            ui.label(large("done".to_owned(), size));
            ui.label(why);
            return;
        }
    };
    ui.label(large(figure(placed.force_gf, unit), size));
    let how = placed.how.as_deref();
    let how = how.unwrap_or("place it, then say that it hangs still");
    ui.label(RichText::new(how).strong());
    if !placed.why.is_empty() {
        ui.label(&placed.why);
    }
    if let Some(caution) = &placed.caution {
        warn(ui, caution);
    }
}

/// What is read, and how far it has settled.
fn reading(ui: &mut Ui, session_view: &SessionView, size: f32) {
    ui.label(RichText::new("Reading, %").strong());
    let recorder = session_view.recorder();
    let figures = recorder.current().map_or_else(
        || "–".to_owned(),
        |reading| format!("{:.1}", 100.0 * reading),
    );
    ui.label(large(figures, size));
    if let Some(settling) = recorder.settling() {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "pixels need no more digits"
        )]
        ui.add(ProgressBar::new(settling.part as f32).text(settling.words));
        if let Some(moves) = settling.moves {
            ui.label(moves);
        }
    } else if recorder.has_ended() {
        ui.label("the source has ended");
    } else {
        ui.label("waits for the force to hang still");
    }
    if let Some(text) = recorder.leaning() {
        warn(ui, &text);
    }
}

/// The samples, the latest first.
fn samples(ui: &mut Ui, session_view: &SessionView, unit: ForceScale) {
    let rows = session_view.recorder().rows();
    if rows.is_empty() {
        return;
    }
    heading(ui, "Samples");
    egui::Grid::new("bench samples")
        .num_columns(4)
        .striped(true)
        .spacing([14.0, 3.0])
        .show(ui, |ui| {
            for word in ["force", "reading", "scatter", "seating"] {
                ui.label(RichText::new(word).weak());
            }
            ui.end_row();
            for row in rows.iter().rev().take(LISTED) {
                ui.label(force_text(row.force_gf, unit));
                ui.label(format!("{:.2} %", 100.0 * row.reading));
                ui.label(row.settled.map_or_else(String::new, |(scatter, _)| {
                    format!("{:.3} %", 100.0 * scatter)
                }));
                ui.label(row.seating.to_string());
                ui.end_row();
            }
        });
}

/// A caution: framed, so that it is one without its colour.
fn warn(ui: &mut Ui, text: &str) {
    egui::Frame::group(ui.style()).show(ui, |ui| {
        ui.label(RichText::new(text).strong());
    });
}
