//! Fields for numbers.

use std::ops::RangeInclusive;

use egui::{DragValue, Response, Role, Ui, WidgetInfo};
use evenhand_preview::ForceScale;

use crate::tokens;

/// A field: what it takes and how it looks.
pub(crate) struct Field<'f> {
    /// What readers of screens are told; a label beside it says it otherwise.
    pub(crate) name: Option<&'f str>,
    pub(crate) range: RangeInclusive<f64>,
    /// Digits after the point.
    pub(crate) decimals: usize,
    /// Change for each point that it is dragged.
    pub(crate) speed: f64,
    pub(crate) suffix: &'f str,
    pub(crate) is_enabled: bool,
}

impl Field<'_> {
    pub(crate) fn new(range: RangeInclusive<f64>, decimals: usize, speed: f64) -> Self {
        Self {
            name: None,
            range,
            decimals,
            speed,
            suffix: "",
            is_enabled: true,
        }
    }

    /// Shows it; gives the number that it was changed to. What is typed counts when it is finished, and
    /// a number that is only shown shorter than it is stays.
    pub(crate) fn show(&self, ui: &mut Ui, value: f64) -> (Response, Option<f64>) {
        let mut new = value;
        let field = DragValue::new(&mut new)
            .range(self.range.clone())
            .clamp_existing_to_range(false)
            .update_while_editing(false)
            .speed(self.speed)
            .max_decimals(self.decimals)
            .suffix(self.suffix);
        let response = ui.add_enabled(self.is_enabled, field);
        if let Some(name) = self.name {
            response.widget_info(|| {
                let mut info = WidgetInfo::labeled(Role::SpinButton, self.is_enabled, name);
                info.value = Some(value);
                info
            });
        }
        let shown = |number: f64| format!("{number:.*}", self.decimals);
        let is_new = response.changed() && shown(new) != shown(value);
        (response, is_new.then_some(new))
    }
}

/// Shows a field for a force in the unit that is shown; gives the force that it was changed to. All forces are in gf.
pub(crate) fn force_field(
    ui: &mut Ui,
    unit: ForceScale,
    (least, force): (f64, f64),
    suffix: &str,
) -> (Response, Option<f64>) {
    let (decimals, speed) = match unit {
        ForceScale::Gf => (1, 0.5),
        ForceScale::Newton => (3, 0.005),
    };
    let per_gf = unit.per_gf();
    let range = least * per_gf..=tokens::MOST_FORCE_GF * per_gf;
    let field = Field {
        suffix,
        ..Field::new(range, decimals, speed)
    };
    let (response, changed) = field.show(ui, force * per_gf);
    (response, changed.map(|value| value / per_gf))
}

/// Tells readers of screens what a widget is.
pub(crate) fn describe(response: &Response, role: Role, words: &str) {
    response.widget_info(|| WidgetInfo::labeled(role, true, words));
}
