//! The control points as numbers.

use egui::{RichText, Role, Ui, WidgetInfo};
use evenhand_receiver::{ControlPoint, CurveKind};

use crate::document::Command;
use crate::editor::Editor;
use crate::fields::Field;
use crate::handles::is_free;
use crate::side::heading;

/// Rows that are shown at once; tables have a thousand.
const MOST_ROWS: usize = 32;

impl Editor {
    /// A row for each point: lock, input, output.
    pub(crate) fn points(&mut self, ui: &mut Ui) {
        heading(ui, "Points, %");
        let count = self.session.document().points.len();
        let lockable = self.session.document().is_lockable();
        let first = Some(self.view.first_row).filter(|row| *row < count);
        let first = first.unwrap_or(0);
        egui::Grid::new("points")
            .num_columns(4)
            .striped(true)
            .spacing([12.0, 3.0])
            .show(ui, |ui| {
                for head in ["", "input", "output", if lockable { "lock" } else { "" }] {
                    ui.label(RichText::new(head).weak());
                }
                ui.end_row();
                for index in first..(first + MOST_ROWS).min(count) {
                    self.point_row(ui, index, lockable);
                }
            });
        if count > MOST_ROWS {
            ui.horizontal(|ui| {
                let before = ui.add_enabled(first > 0, egui::Button::new("Earlier rows"));
                if before.clicked() {
                    self.view.first_row = first.saturating_sub(MOST_ROWS);
                }
                let more = first + MOST_ROWS < count;
                let after = ui.add_enabled(more, egui::Button::new("Later rows"));
                if after.clicked() {
                    self.view.first_row = first + MOST_ROWS;
                }
                ui.label(RichText::new(format!("of {count}")).weak());
            });
        }
        if lockable {
            self.add_and_remove(ui, count);
        }
    }

    fn point_row(&mut self, ui: &mut Ui, index: usize, lockable: bool) {
        let Some(point) = self.session.document().points.get(index).copied() else {
            return;
        };
        let number = index + 1;
        ui.label(number.to_string());
        let (input_free, output_free) = is_free(self, index);
        let fields = [
            ("input", point.input, input_free),
            ("output", point.output, output_free),
        ];
        for (name, part, free) in fields {
            let words = format!("Point {number} {name}, percent");
            let field = Field {
                name: Some(&words),
                is_enabled: free,
                ..Field::new(0.0..=100.0, 2, 0.05)
            };
            let (response, changed) = field.show(ui, 100.0 * part);
            let command = changed.map(|percent| {
                let mut to = point;
                if name == "input" {
                    to.input = percent / 100.0;
                } else {
                    to.output = percent / 100.0;
                }
                Command::MovePoint { index, to }
            });
            self.follow_field(&response, command);
        }
        if lockable {
            let mut locked = self.session.document().is_locked(index);
            let response = ui.checkbox(&mut locked, "");
            let words = format!("Lock point {number}");
            response.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, locked, &words));
            if response.changed() {
                self.session.perform(Command::SetLock { index, locked });
            }
        }
        ui.end_row();
    }

    fn add_and_remove(&mut self, ui: &mut Ui, count: usize) {
        let document = self.session.document();
        let CurveKind::Points {
            min_points,
            max_points,
            ..
        } = document.profile.curve()
        else {
            return;
        };
        let widest = document
            .points
            .windows(2)
            .max_by(|a, b| (a[1].input - a[0].input).total_cmp(&(b[1].input - b[0].input)))
            .map(|pair| f64::midpoint(pair[0].input, pair[1].input));
        let straightest = straightest(&document.points);
        ui.horizontal(|ui| {
            let add = ui
                .add_enabled(count < max_points, egui::Button::new("Add point"))
                .on_hover_text("On the curve, in the widest gap");
            if add.clicked()
                && let Some(input) = widest
            {
                self.session.perform(Command::AddPoint { input });
            }
            let remove = ui
                .add_enabled(count > min_points.max(2), egui::Button::new("Remove point"))
                .on_hover_text("The one that bends the curve least");
            if remove.clicked()
                && let Some(index) = straightest
            {
                self.session.perform(Command::RemovePoint { index });
            }
        });
    }
}

/// The inner point that lies nearest to the line between its neighbours.
fn straightest(points: &[ControlPoint]) -> Option<usize> {
    let off = |three: &[ControlPoint]| {
        let part = (three[1].input - three[0].input) / (three[2].input - three[0].input);
        (three[0].output + part * (three[2].output - three[0].output) - three[1].output).abs()
    };
    points
        .windows(3)
        .enumerate()
        .min_by(|a, b| off(a.1).total_cmp(&off(b.1)))
        .map(|(index, _)| index + 1)
}
