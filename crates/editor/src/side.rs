//! Beside the chart: what was measured, what is wanted, what takes the map, and how good it is.

use egui::{ComboBox, RichText, Ui};
use evenhand_fitting::Saturation;
use evenhand_inversion::{NamedShape, TargetShape, shipped_targets};
use evenhand_measurement::{Force, HoldAngle};
use evenhand_preview::{WidthLaw, WidthScale};
use evenhand_receiver::{Profile, shipped};
use evenhand_workflow::resolve_target;

use crate::chart::axial_part;
use crate::document::{Command, EXPONENTS};
use crate::editor::Editor;
use crate::fields::{Field, force_field};
use crate::units::force_text;

/// Exponent that a shape begins with when a power is chosen.
const FIRST_EXPONENT: f64 = 0.8;
/// Largest floor, percent; the command line takes no more.
const MOST_FLOOR: f64 = 94.0;

impl Editor {
    /// The whole panel.
    pub(crate) fn side(&mut self, ui: &mut Ui) {
        egui::ScrollArea::vertical()
            .auto_shrink(false)
            .show(ui, |ui| {
                self.measured(ui);
                self.wanted(ui);
                self.receiver(ui);
                self.quality(ui);
                self.points(ui);
                self.brush(ui);
                self.warnings(ui);
            });
    }

    fn measured(&mut self, ui: &mut Ui) {
        heading(ui, "Measured");
        let bench = self.session.bench();
        let unit = self.view.unit;
        let part = axial_part(&self.session);
        let samples = bench.read.measurement.samples.len();
        ui.label(RichText::new(bench.name()).strong());
        rows(ui, "measured", |ui| {
            let words = |force: Force| force_text(force.gf() / part, unit);
            let interval = |found: &evenhand_fitting::ForceInterval| {
                let [estimate, low, high] = [found.estimate, found.low, found.high].map(words);
                format!("{estimate} ({low} to {high})")
            };
            row(ui, "samples", &samples.to_string());
            row(ui, "onset", &interval(&bench.fit.onset));
            let saturation = match &bench.fit.saturation {
                Saturation::Reached(found) => interval(found),
                Saturation::NotReached { above } => format!("above {}", words(*above)),
            };
            row(ui, "saturation", &saturation);
            if let Some(class) = bench.fit.saturation_class {
                row(ui, "saturation class", class.as_str());
            }
        });
        if !self.session.bench().is_demo {
            ui.checkbox(&mut self.view.follows_file, "follow the file")
                .on_hover_text(
                    "Read the measurement again whenever its file is written, as on a bench",
                );
        }
    }

    fn wanted(&mut self, ui: &mut Ui) {
        heading(ui, "Wanted");
        let (full, light, floor, held) = {
            let request = &self.session.document().request;
            let built = &self.session.figures().built;
            (
                request.full_at.gf(),
                built.light_at.gf(),
                request.output_floor,
                request.hold_angle.map(HoldAngle::degrees),
            )
        };
        rows(ui, "wanted", |ui| {
            self.force_field(ui, "full at", full, Command::SetFullAt);
            ui.end_row();
            let light_at = |force| Command::SetLightAt(Some(force));
            self.force_field(ui, "light at", light, light_at);
            let is_chosen = self.session.document().request.light_at.is_some();
            let from_onset = ui
                .add_enabled(is_chosen, egui::Button::new("from onset").small())
                .on_hover_text("Let the output leave 0 where the stylus surely responds");
            if from_onset.clicked() {
                self.session.perform(Command::SetLightAt(None));
            }
            ui.end_row();
            self.shape_choice(ui);
            let label = ui.label("floor, %");
            let (response, changed) = Field::new(0.0..=MOST_FLOOR, 1, 0.2).show(ui, 100.0 * floor);
            let response = response
                .labelled_by(label.id)
                .on_hover_text("Least output once the nib touches");
            let command = changed.map(|percent| Command::SetOutputFloor(percent / 100.0));
            self.follow_field(&response, command);
            ui.end_row();
            let label = ui.label("held at, °");
            let (response, changed) = Field::new(5.0..=90.0, 1, 0.5).show(ui, held.unwrap_or(90.0));
            let response = response.labelled_by(label.id).on_hover_text(
                "Angle between stylus and surface; 90 where forces are meant along the stylus",
            );
            let command = changed.map(|degrees| {
                let is_leaning = degrees < 90.0;
                let angle = is_leaning.then(|| HoldAngle::from_degrees(degrees));
                Command::SetHoldAngle(angle.flatten())
            });
            self.follow_field(&response, command);
            ui.end_row();
        });
    }

    /// A field for a force in the unit shown, with what is done where it was changed.
    fn force_field(
        &mut self,
        ui: &mut Ui,
        name: &str,
        force_gf: f64,
        command: impl FnOnce(Force) -> Command,
    ) {
        let unit = self.view.unit;
        let label = ui.label(format!("{name}, {}", unit.as_str()));
        let (response, changed) = force_field(ui, unit, (0.0, force_gf), "");
        let command = changed.map(|force| command(Force::from_gf(force)));
        self.follow_field(&response.labelled_by(label.id), command);
    }

    /// Does what a field was changed to, and ends its gesture when a drag stops, a typed number is taken, or a key
    /// was pressed.
    pub(crate) fn follow_field(&mut self, response: &egui::Response, command: Option<Command>) {
        if let Some(command) = command {
            self.session.apply(command);
        }
        let is_held = response.dragged() || response.has_focus();
        let is_over = response.drag_stopped() || response.lost_focus();
        if is_over || (response.changed() && !is_held) {
            self.session.end_gesture();
        }
    }

    fn shape_choice(&mut self, ui: &mut Ui) {
        let target = self.session.document().request.target.clone();
        let label = ui.label("shape");
        let exponent = match target.shape {
            TargetShape::Power(exponent) => Some(exponent),
            _ => None,
        };
        let name = if exponent.is_some() {
            "power"
        } else {
            &target.label
        };
        let mut chosen: Option<NamedShape> = None;
        let settings = self.session.bench().fit.settings;
        ui.horizontal(|ui| {
            let response = ComboBox::from_id_salt("shape")
                .selected_text(name)
                .width(120.0)
                .show_ui(ui, |ui| {
                    for shipped in shipped_targets() {
                        let is_chosen = name == shipped.name;
                        if ui.selectable_label(is_chosen, &shipped.name).clicked() && !is_chosen {
                            chosen = resolve_target(&shipped.name, &settings).ok();
                        }
                    }
                    if ui.selectable_label(exponent.is_some(), "power").clicked()
                        && exponent.is_none()
                    {
                        chosen = power(FIRST_EXPONENT);
                    }
                })
                .response;
            response.labelled_by(label.id);
            if let Some(exponent) = exponent {
                let field = Field {
                    name: Some("Exponent of the shape"),
                    ..Field::new(0.1..=8.0, 2, 0.01)
                };
                let (response, changed) = field.show(ui, exponent);
                let response = response.on_hover_text("Below 1 it climbs early, above 1 late");
                let command = changed.and_then(power).map(Command::SetTarget);
                self.follow_field(&response, command);
            }
        });
        ui.end_row();
        if let Some(target) = chosen {
            self.session.perform(Command::SetTarget(target));
        }
    }

    fn receiver(&mut self, ui: &mut Ui) {
        heading(ui, "Receiver");
        let profile = self.session.document().profile.clone();
        let mut chosen: Option<Profile> = None;
        let label = ui.label(RichText::new(profile.title()).weak());
        let hint =
            "A receiver file, a target file or a measurement can be opened or dropped as well";
        ComboBox::from_id_salt("receiver")
            .selected_text(profile.name())
            .width(ui.available_width().min(220.0))
            .height(320.0)
            .show_ui(ui, |ui| {
                for other in shipped() {
                    let is_chosen = other.name() == profile.name();
                    let entry = ui
                        .selectable_label(is_chosen, other.name())
                        .on_hover_text(other.title());
                    if entry.clicked() && !is_chosen {
                        chosen = Some(other.clone());
                    }
                }
            })
            .response
            .labelled_by(label.id)
            .on_hover_text(hint);
        if let Some(profile) = chosen {
            self.session
                .perform(Command::SetReceiver(Box::new(profile)));
        }
        if let Some(exponent) = self.session.document().exponent {
            ui.horizontal(|ui| {
                let label = ui.label("exponent of the map");
                let (response, changed) = Field::new(EXPONENTS, 3, 0.01).show(ui, exponent);
                let command = changed.map(|exponent| Command::SetExponent { exponent });
                self.follow_field(&response.labelled_by(label.id), command);
            });
        }
    }

    fn quality(&mut self, ui: &mut Ui) {
        heading(ui, "Quality");
        let unit = self.view.unit;
        let figures = self.session.figures();
        let built = &figures.built;
        let percent = |part: f64| format!("{:.2} %", 100.0 * part);
        rows(ui, "quality", |ui| {
            let stylus = built.stylus_error;
            let (median, high) = (percent(stylus.median), percent(stylus.high));
            row(ui, "stylus error", &format!("{median}, at most {high}"));
            row(ui, "worst error", &percent(built.achieved.max_error));
            let (best, beyond) = match (figures.optimum_error, figures.beyond_optimum()) {
                (Some(best), Some(beyond)) => (percent(best), format!("{:+.2} %", 100.0 * beyond)),
                _ if self.session.is_solving() => ("solving …".to_owned(), "solving …".to_owned()),
                _ => ("unknown".to_owned(), "unknown".to_owned()),
            };
            row(ui, "best there is", &best);
            row(ui, "by hand beyond it", &beyond);
            row(ui, "usual error", &percent(built.achieved.rms_error));
            row(ui, "proven bound", &percent(built.compiled.lower_bound));
            let full = built.full_output.map_or_else(
                || "unknown".to_owned(),
                |found| force_text(found.estimate.gf(), unit),
            );
            row(ui, "full output at", &full);
            let outputs = built.quantisation.distinct_outputs.to_string();
            row(ui, "distinct outputs", &outputs);
            let gain = format!("{:.2}", built.quantisation.largest_gain);
            row(ui, "largest gain", &gain);
        });
        let can_solve = self.session.document().is_tuned();
        let button = egui::Button::new("Solve again");
        let response = ui
            .add_enabled(can_solve, button)
            .on_hover_text("Back to the best map; locked points stay");
        if response.clicked() {
            self.session.perform(Command::SolveAgain);
        }
    }

    fn brush(&mut self, ui: &mut Ui) {
        heading(ui, "Brush");
        let scale = self.session.document().scale;
        let mut chosen: Option<WidthScale> = None;
        rows(ui, "brush", |ui| {
            let (least, greatest) = (scale.least(), scale.greatest());
            for (name, value) in [("least width", least), ("greatest width", greatest)] {
                let label = ui.label(name);
                let (response, changed) =
                    Field::new(0.0..=WidthScale::WIDEST, 1, 0.1).show(ui, value);
                let scale = changed.and_then(|width| {
                    let (least, greatest) = if name == "least width" {
                        (width.min(greatest), greatest)
                    } else {
                        (least, width.max(least).max(0.1))
                    };
                    WidthScale::new(least, greatest, scale.law())
                });
                let command = scale.map(Command::SetWidths);
                self.follow_field(&response.labelled_by(label.id), command);
                ui.end_row();
            }
            ui.label("grows with output");
            ui.horizontal(|ui| {
                for law in WidthLaw::ALL {
                    let word = match law {
                        WidthLaw::Linear => "width",
                        WidthLaw::Area => "area",
                    };
                    if ui.radio(scale.law() == law, word).clicked() && scale.law() != law {
                        chosen = Some(scale.with_law(law));
                    }
                }
            });
            ui.end_row();
        });
        if let Some(scale) = chosen {
            self.session.perform(Command::SetWidths(scale));
        }
    }

    fn warnings(&mut self, ui: &mut Ui) {
        let built = &self.session.figures().built;
        let mut warnings: Vec<String> = built.unmet.iter().map(|s| s.message.clone()).collect();
        warnings.extend(built.notes.iter().map(|(message, _)| message.clone()));
        let of_fit = &self.session.bench().fit.warnings;
        warnings.extend(of_fit.iter().map(|warning| match warning.line {
            Some(line) => format!("line {line}: {}", warning.message),
            None => warning.message.clone(),
        }));
        if warnings.is_empty() {
            return;
        }
        heading(ui, "Warnings");
        for text in warnings {
            ui.label(format!("• {text}"));
        }
    }
}

fn power(exponent: f64) -> Option<NamedShape> {
    let shape = TargetShape::power((100.0 * exponent).round() / 100.0).ok()?;
    Some(NamedShape {
        label: shape.to_string(),
        shape,
    })
}

pub(crate) fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(8.0);
    ui.separator();
    ui.heading(RichText::new(text).size(15.0));
}

fn rows(ui: &mut Ui, name: &str, add: impl FnOnce(&mut Ui)) {
    egui::Grid::new(name)
        .num_columns(3)
        .spacing([10.0, 4.0])
        .show(ui, add);
}

fn row(ui: &mut Ui, name: &str, value: &str) {
    ui.label(RichText::new(name).weak());
    ui.label(value);
    ui.end_row();
}
