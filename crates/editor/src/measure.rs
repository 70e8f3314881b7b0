//! Measuring in the window: the next force and the reading large, the curve so far, and the session's buttons.

use egui::{ComboBox, Key, ProgressBar, RichText, TextEdit, Ui, vec2};
use evenhand_measurement::Force;
use evenhand_preview::ForceScale;
use evenhand_recorder::{Action, Next, SessionView};
use evenhand_text::{count, short};

use crate::editor::Editor;
use crate::fields::Field;
use crate::files::{FileChoice, Purpose};
use crate::measure_plot;
use crate::measuring::{KINDS, Measuring};
use crate::side::heading;
use crate::tokens;
use crate::units::{field, force_text};

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
            ui.label(
                RichText::new("How to build a bench from common parts is in demo/bench.md.").weak(),
            );
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
        let mut path =
            |ui: &mut Ui, name: &str, button: &str, text: &mut String, hint: &str, purpose| {
                let label = ui.label(name);
                ui.horizontal(|ui| {
                    let width = (ui.available_width() - tokens::BROWSE_WIDTH).max(60.0);
                    ui.add(
                        TextEdit::singleline(text)
                            .desired_width(width)
                            .hint_text(hint),
                    )
                    .labelled_by(label.id);
                    let response = ui.button("Choose…");
                    response.widget_info(|| {
                        egui::WidgetInfo::labeled(egui::Role::Button, true, button)
                    });
                    if response.clicked() {
                        chosen = Some(purpose);
                    }
                });
            };
        let form = &mut self.measuring.form;
        path(
            ui,
            "Measurement to write, new or begun before",
            "Choose the measurement",
            &mut form.out.text,
            "dunlin-09.csv",
            Purpose::MeasureInto,
        );
        path(
            ui,
            "Readings come from",
            "Choose where readings come from",
            &mut form.from.text,
            "a device, a serial line or a file",
            Purpose::ReadingsFrom,
        );
        path(
            ui,
            "Bench with its masses, if described",
            "Choose the bench",
            &mut form.rig.text,
            "rig.toml",
            Purpose::Rig,
        );
        egui::Grid::new("bench form")
            .num_columns(2)
            .spacing([10.0, 4.0])
            .show(ui, |ui| {
                let label = ui.label("readings are");
                let word = KINDS
                    .iter()
                    .find(|(kind, _)| *kind == form.kind)
                    .map_or("", |(_, word)| word);
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
                    ui.add(
                        TextEdit::singleline(text)
                            .desired_width(150.0)
                            .hint_text(hint),
                    )
                    .labelled_by(label.id);
                    ui.end_row();
                }
                let unit = self.view.unit;
                let (decimals, speed) = field(unit);
                let label = ui.label(format!("never above, {}", unit.as_str()));
                let limit = Field {
                    range: unit.per_gf()..=tokens::MOST_FORCE_GF * unit.per_gf(),
                    decimals,
                    speed,
                    ..Field::default()
                };
                let (response, changed) = limit.show(ui, form.limit_gf * unit.per_gf());
                response.labelled_by(label.id);
                if let Some(value) = changed {
                    form.limit_gf = value / unit.per_gf();
                }
                ui.end_row();
            });
        if let Some(text) = evenhand_bench::large_limit(form.limit_gf) {
            warn(ui, text);
        }
        ui.checkbox(
            &mut form.same_seating,
            "the stylus was not moved since the last sample",
        )
        .on_hover_text("Otherwise going on begins a new seating");
        ui.add_space(6.0);
        let begins = ui
            .button(RichText::new("Begin measuring").strong())
            .clicked();
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
            for (word, hint, does) in [
                (
                    "Retake",
                    "Take back the last sample and place its force again",
                    Action::Retake,
                ),
                ("Take back", "Take back the last sample", Action::Undo),
                (
                    "New seating",
                    "The stylus was taken out and set again",
                    Action::NewSeating,
                ),
            ] {
                if ui.button(word).on_hover_text(hint).clicked() {
                    action = Some(does);
                }
            }
        });
        ui.horizontal(|ui| {
            let label = ui.label("another force");
            let typed = ui
                .add(
                    TextEdit::singleline(instead)
                        .desired_width(70.0)
                        .hint_text("60gf"),
                )
                .labelled_by(label.id);
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
            let told = session_view.recorder().saved_summary();
            self.measuring.session_view = None;
            self.session.say(told);
        }
        if let Some(path) = opens {
            self.view.measures = false;
            self.act_on_file(Purpose::Open, &path, false);
        }
    }
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
    let how = placed
        .how
        .as_deref()
        .unwrap_or("place it, then say that it hangs still");
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
    let figures = session_view.recorder().current().map_or_else(
        || "–".to_owned(),
        |reading| format!("{:.1}", 100.0 * reading),
    );
    ui.label(large(figures, size));
    state(ui, session_view);
}

/// How far the reading has settled.
fn state(ui: &mut Ui, session_view: &SessionView) {
    let recorder = session_view.recorder();
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
