//! The bar above the chart, and what it says.

use egui::{Key, KeyboardShortcut, Modifiers, RichText, Ui};
use evenhand_preview::ForceScale;
use evenhand_receiver::{ExportForm, MapInterpolation};

use crate::editor::Editor;
use crate::fields::describe;
use crate::files::{FileChoice, Purpose};
use crate::recovery::discard;
use crate::tokens;

const OPEN: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::O);
const SAVE: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::S);
const SAVE_AS: KeyboardShortcut =
    KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::S);
const UNDO: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::Z);
const REDO: KeyboardShortcut =
    KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::Z);
const REDO_TOO: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::Y);
const EXPORT: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::E);

/// Forms of export: name, ending of its file.
pub(crate) const FORMS: [(&str, &str, ExportForm); 7] = [
    ("CSV", "csv", ExportForm::Csv),
    ("JSON", "json", ExportForm::Json),
    ("table", "table", TABLE),
    ("card", "txt", ExportForm::Card),
    ("CSS", "css", ExportForm::Css),
    ("SVG path", "svg", ExportForm::Svg),
    ("InkML", "inkml", ExportForm::Inkml),
];

/// An entry for each reading of eight bits.
const TABLE: ExportForm = ExportForm::Table {
    entries: 256,
    full_scale: 255,
};

impl Editor {
    /// The bar.
    pub(crate) fn bar(&mut self, ui: &mut Ui) {
        self.shortcuts(ui);
        ui.horizontal_wrapped(|ui| {
            for (measures, word, hint) in [
                (true, "Measure", "Record a stylus at the bench"),
                (false, "Map", "Tune a map of what was measured"),
            ] {
                let tab = ui.selectable_label(self.view.measures == measures, word);
                if tab.on_hover_text(hint).clicked() {
                    self.view.measures = measures;
                }
            }
            ui.separator();
            if ui.button("Open…").on_hover_text("Ctrl+O").clicked() {
                self.choose(Purpose::Open);
            }
            if ui.button("Save").on_hover_text("Ctrl+S").clicked() {
                self.save();
            }
            let save_as = ui.button("Save as…").on_hover_text("Ctrl+Shift+S");
            if save_as.clicked() {
                self.choose(Purpose::SaveMap);
            }
            if ui.button("Export…").on_hover_text("Ctrl+E").clicked() {
                self.view.is_exporting = true;
            }
            ui.separator();
            let undo = ui.add_enabled(self.session.can_undo(), egui::Button::new("Undo"));
            if undo.on_hover_text("Ctrl+Z").clicked() {
                self.session.undo();
            }
            let redo = ui.add_enabled(self.session.can_redo(), egui::Button::new("Redo"));
            if redo.on_hover_text("Ctrl+Shift+Z").clicked() {
                self.session.redo();
            }
            ui.separator();
            for unit in [ForceScale::Gf, ForceScale::Newton] {
                let response = ui.selectable_label(self.view.unit == unit, unit.as_str());
                if response.on_hover_text("Unit of forces").clicked() {
                    self.view.unit = unit;
                }
            }
            ui.separator();
            let (word, theme) = if ui.visuals().dark_mode {
                ("Light", egui::Theme::Light)
            } else {
                ("Dark", egui::Theme::Dark)
            };
            let other = ui.button(word).on_hover_text("Colours of the window");
            if other.clicked() {
                ui.ctx().set_theme(theme);
            }
            self.zoom(ui);
            if ui.button("Help").clicked() {
                self.view.shows_help = !self.view.shows_help;
            }
            ui.separator();
            let name = self.session.path().map_or("not saved yet".into(), |path| {
                path.file_name().unwrap_or_default().to_string_lossy()
            });
            let mark = if self.session.is_changed() {
                ", changed"
            } else {
                ""
            };
            ui.label(RichText::new(format!("{name}{mark}")).weak());
            if self.session.is_opening() {
                ui.spinner();
                ui.label("opening …");
            }
            if self.session.is_solving() {
                ui.spinner();
                ui.label("solving …");
            }
        });
    }

    fn zoom(&mut self, ui: &mut Ui) {
        let zoom = ui.ctx().zoom_factor();
        let smaller = ui.add_enabled(zoom > tokens::ZOOM_LEAST, egui::Button::new("−"));
        let larger = ui.add_enabled(zoom < tokens::ZOOM_MOST, egui::Button::new("+"));
        for (response, by, word) in [
            (smaller, -tokens::ZOOM_STEP, "Smaller"),
            (larger, tokens::ZOOM_STEP, "Larger"),
        ] {
            describe(&response, egui::Role::Button, word);
            let hint = format!("{word}; now {:.0} %", 100.0 * zoom);
            if response.on_hover_text(hint).clicked() {
                let zoom = (zoom + by).clamp(tokens::ZOOM_LEAST, tokens::ZOOM_MOST);
                ui.ctx().set_zoom_factor(zoom);
            }
        }
    }

    fn shortcuts(&mut self, ui: &Ui) {
        if self.view.choice.is_some() {
            return;
        }
        let pressed =
            |shortcut: &KeyboardShortcut| ui.input_mut(|input| input.consume_shortcut(shortcut));
        // Those with Shift first: without it they would be taken for the others.
        if pressed(&SAVE_AS) {
            self.choose(Purpose::SaveMap);
        } else if pressed(&SAVE) {
            self.save();
        }
        if pressed(&REDO) || pressed(&REDO_TOO) {
            self.session.redo();
        } else if pressed(&UNDO) {
            self.session.undo();
        }
        if pressed(&OPEN) {
            self.choose(Purpose::Open);
        }
        if pressed(&EXPORT) {
            self.view.is_exporting = true;
        }
    }

    /// Opens the dialog for a file.
    pub(crate) fn choose(&mut self, purpose: Purpose) {
        let stem = self.session.bench().name().to_lowercase().replace(' ', "-");
        let name = match purpose {
            Purpose::SaveMap => format!("{stem}.map.toml"),
            Purpose::SaveExport => format!("{stem}.{}", FORMS[self.view.export_form].1),
            Purpose::SavePicture => format!("{stem}.svg"),
            Purpose::Open | Purpose::MeasureInto | Purpose::ReadingsFrom | Purpose::Rig => {
                String::new()
            }
        };
        self.view.choice = Some(FileChoice::new(purpose, &self.view.folder, &name));
    }

    /// Saves to the map's own file, or asks for one.
    pub(crate) fn save(&mut self) {
        match self.session.path().map(std::path::Path::to_path_buf) {
            Some(path) => {
                if let Err(failure) = self.session.save(&path, false) {
                    self.session.complain(&failure);
                }
            }
            None => self.choose(Purpose::SaveMap),
        }
    }

    /// What is said below the bar: recovery, help, notices.
    pub(crate) fn notices(&mut self, ui: &mut Ui) {
        if self.view.offers_recovery {
            self.recovery(ui);
        }
        if self.view.has_changed {
            ui.horizontal_wrapped(|ui| {
                ui.label(format!(
                    "{} was written since it was read.",
                    self.session.bench().read.source.name
                ));
                if ui.button("Read it again").clicked() {
                    self.view.has_changed = false;
                    self.session.begin_reading_again();
                }
            });
        }
        if self.view.shows_help && !self.view.measures {
            egui::Frame::group(ui.style()).show(ui, |ui| {
                ui.set_width(ui.available_width());
                ui.horizontal_wrapped(|ui| {
                    for sentence in HELP {
                        ui.label(sentence);
                    }
                    if ui.button("Got it").clicked() {
                        self.view.shows_help = false;
                    }
                });
            });
        }
        if let Some(notice) = self.session.notice().cloned() {
            ui.horizontal_wrapped(|ui| {
                let text = RichText::new(&notice.text);
                ui.label(if notice.is_fault {
                    text.color(ui.visuals().error_fg_color).strong()
                } else {
                    text
                });
                if ui.button("Dismiss").clicked() {
                    self.session.hush();
                }
            });
        }
    }

    fn recovery(&mut self, ui: &mut Ui) {
        if self.left.is_empty() {
            self.view.offers_recovery = false;
            return;
        }
        for (number, left) in self.left.clone().into_iter().enumerate() {
            egui::Frame::group(ui.style()).show(ui, |ui| {
                ui.horizontal_wrapped(|ui| {
                    let file = left.file.as_ref().map_or_else(
                        || "a map that was not saved".to_owned(),
                        |path| path.display().to_string(),
                    );
                    ui.label(format!("Work on {file} was left without being saved."));
                    if ui.button("Recover").clicked() {
                        match self.session.recover(&left) {
                            Ok(()) => self.left = self.session.left_behind(),
                            Err(failure) => self.session.complain(&failure),
                        }
                    }
                    if ui.button("Discard").clicked() {
                        discard(&left);
                        self.left = self.session.left_behind();
                    }
                    if number == 0 && ui.button("Later").clicked() {
                        self.view.offers_recovery = false;
                    }
                });
            });
        }
    }

    /// The box with all forms of export.
    pub(crate) fn export_box(&mut self, ui: &Ui) {
        if !self.view.is_exporting {
            return;
        }
        let modal = egui::Modal::new(egui::Id::unique("export")).show(ui.ctx(), |ui| {
            ui.set_width(420.0);
            ui.heading("Export");
            ui.horizontal_wrapped(|ui| {
                for (index, (name, ..)) in FORMS.into_iter().enumerate() {
                    ui.radio_value(&mut self.view.export_form, index, name);
                }
            });
            let (_, _, form) = FORMS[self.view.export_form];
            let exported = self.session.export(form);
            match &exported {
                Ok(text) => {
                    let mut shown: &str = text;
                    egui::ScrollArea::both().max_height(220.0).show(ui, |ui| {
                        let field = egui::TextEdit::multiline(&mut shown)
                            .code_editor()
                            .desired_width(f32::INFINITY);
                        let role = egui::Role::MultilineTextInput;
                        describe(&ui.add(field), role, "Exported text");
                    });
                }
                Err(failure) => {
                    ui.label(&failure.message);
                }
            }
            ui.horizontal_wrapped(|ui| {
                let copy = ui.add_enabled(exported.is_ok(), egui::Button::new("Copy"));
                if copy.clicked()
                    && let Ok(text) = &exported
                {
                    ui.ctx().copy_text(text.clone());
                    self.session.say("copied");
                }
                let save = ui.add_enabled(exported.is_ok(), egui::Button::new("Save export…"));
                if save.clicked() {
                    self.choose(Purpose::SaveExport);
                    self.view.is_exporting = false;
                }
                if ui.button("Picture of the chart…").clicked() {
                    self.choose(Purpose::SavePicture);
                    self.view.is_exporting = false;
                }
                if ui.button("Close").clicked() {
                    self.view.is_exporting = false;
                }
            });
            if form == ExportForm::Card {
                let hint = "Named .svg or .png, the card is saved as a picture.";
                ui.label(RichText::new(hint).weak());
            }
            let curved =
                self.session.document().profile.interpolation() != MapInterpolation::Linear;
            if curved {
                let hint =
                    "Curves are exported as fine straight pieces where a form knows no curves.";
                ui.label(RichText::new(hint).weak());
            }
        });
        if modal.should_close() {
            self.view.is_exporting = false;
        }
    }
}

/// Help in three sentences.
const HELP: [&str; 3] = [
    "Upper right is your stylus, upper left the map, lower left the brush, lower right the stroke that results; the tracer follows one force all around.",
    "Drag the diamonds (light, shape, full) to say what you want and the map is solved again, or drag the map's points yourself; Space locks a point, Solve again returns to the best map.",
    "Open your own measurement with Open…, or drop it here, and export the points when the strokes below look right.",
];
