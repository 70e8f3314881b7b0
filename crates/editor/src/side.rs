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
use crate::fields::Field;
use crate::units::{field, force_text};

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
            let interval = |found: &evenhand_fitting::ForceInterval| {
                format!(
                    "{} ({} to {})",
                    force_text(found.estimate.gf() / part, unit),
                    force_text(found.low.gf() / part, unit),
                    force_text(found.high.gf() / part, unit)
                )
            };
            row(ui, "samples", &samples.to_string());
            row(ui, "onset", &interval(&bench.fit.onset));
            let saturation = match &bench.fit.saturation {
                Saturation::Reached(found) => interval(found),
                Saturation::NotReached { above } => {
                    format!("above {}", force_text(above.gf() / part, unit))
                }
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
            if let Some(force) = self.force_field(ui, "full at", full) {
                self.session
                    .apply(Command::SetFullAt(Force::from_gf(force)));
            }
            ui.end_row();
            if let Some(force) = self.force_field(ui, "light at", light) {
                self.session
                    .apply(Command::SetLightAt(Some(Force::from_gf(force))));
            }
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
            let field = Field {
                range: 0.0..=MOST_FLOOR,
                speed: 0.2,
                ..Field::default()
            };
            let (response, changed) = field.show(ui, 100.0 * floor);
            let response = response
                .labelled_by(label.id)
                .on_hover_text("Least output once the nib touches");
            if let Some(percent) = changed {
                self.session.apply(Command::SetOutputFloor(percent / 100.0));
            }
            self.end_of(&response);
            ui.end_row();
            let label = ui.label("held at, °");
            let field = Field {
                range: 5.0..=90.0,
                decimals: 1,
                speed: 0.5,
                ..Field::default()
            };
            let (response, changed) = field.show(ui, held.unwrap_or(90.0));
            let response = response.labelled_by(label.id).on_hover_text(
                "Angle between stylus and surface; 90 where forces are meant along the stylus",
            );
            if let Some(degrees) = changed {
                let angle = (degrees < 90.0)
                    .then(|| HoldAngle::from_degrees(degrees))
                    .flatten();
                self.session.apply(Command::SetHoldAngle(angle));
            }
            self.end_of(&response);
            ui.end_row();
        });
    }

    /// A field for a force in the unit shown; the force where it was changed, gf.
    fn force_field(&mut self, ui: &mut Ui, name: &str, force_gf: f64) -> Option<f64> {
        let unit = self.view.unit;
        let (decimals, speed) = field(unit);
        let label = ui.label(format!("{name}, {}", unit.as_str()));
        let field = Field {
            range: 0.0..=5000.0 * unit.per_gf(),
            decimals,
            speed,
            ..Field::default()
        };
        let (response, changed) = field.show(ui, force_gf * unit.per_gf());
        let response = response.labelled_by(label.id);
        self.end_of(&response);
        changed.map(|value| value / unit.per_gf())
    }

    /// Ends the gesture of a field: when a drag stops, a typed number is taken, or a key was pressed.
    pub(crate) fn end_of(&mut self, response: &egui::Response) {
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
                        let is_it = name == shipped.name;
                        if ui.selectable_label(is_it, &shipped.name).clicked() && !is_it {
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
                    range: 0.1..=8.0,
                    decimals: 2,
                    speed: 0.01,
                    ..Field::default()
                };
                let (response, changed) = field.show(ui, exponent);
                let response = response.on_hover_text("Below 1 it climbs early, above 1 late");
                if let Some(target) = changed.and_then(power) {
                    self.session.apply(Command::SetTarget(target));
                }
                self.end_of(&response);
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
                    let is_it = other.name() == profile.name();
                    let entry = ui
                        .selectable_label(is_it, other.name())
                        .on_hover_text(other.title());
                    if entry.clicked() && !is_it {
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
                let field = Field {
                    range: EXPONENTS,
                    decimals: 3,
                    speed: 0.01,
                    ..Field::default()
                };
                let (response, changed) = field.show(ui, exponent);
                let response = response.labelled_by(label.id);
                if let Some(exponent) = changed {
                    self.session.apply(Command::SetExponent { exponent });
                }
                self.end_of(&response);
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
            row(
                ui,
                "stylus error",
                &format!(
                    "{}, at most {}",
                    percent(stylus.median),
                    percent(stylus.high)
                ),
            );
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
            let full = built
                .full_output
                .map(|found| force_text(found.estimate.gf(), unit))
                .unwrap_or_else(|| "unknown".to_owned());
            row(ui, "full output at", &full);
            row(
                ui,
                "distinct outputs",
                &built.quantisation.distinct_outputs.to_string(),
            );
            row(
                ui,
                "largest gain",
                &format!("{:.2}", built.quantisation.largest_gain),
            );
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
            for (name, value) in [
                ("least width", scale.least()),
                ("greatest width", scale.greatest()),
            ] {
                let label = ui.label(name);
                let field = Field {
                    range: 0.0..=WidthScale::WIDEST,
                    ..Field::default()
                };
                let (response, changed) = field.show(ui, value);
                let response = response.labelled_by(label.id);
                if let Some(width) = changed {
                    let (least, greatest) = if name == "least width" {
                        (width.min(scale.greatest()), scale.greatest())
                    } else {
                        (scale.least(), width.max(scale.least()).max(0.1))
                    };
                    if let Some(scale) = WidthScale::new(least, greatest, scale.law()) {
                        self.session.apply(Command::SetWidths(scale));
                    }
                }
                self.end_of(&response);
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
        let mut told: Vec<String> = built.unmet.iter().map(|s| s.message.clone()).collect();
        told.extend(built.notes.iter().map(|(message, _)| message.clone()));
        let of_fit = &self.session.bench().fit.warnings;
        told.extend(of_fit.iter().map(|warning| match warning.line {
            Some(line) => format!("line {line}: {}", warning.message),
            None => warning.message.clone(),
        }));
        if told.is_empty() {
            return;
        }
        heading(ui, "Warnings");
        for text in told {
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
