//! Fields for numbers.

use std::ops::RangeInclusive;

use egui::{DragValue, Response, Ui};

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

impl Default for Field<'_> {
    fn default() -> Self {
        Self {
            name: None,
            range: 0.0..=f64::MAX,
            decimals: 1,
            speed: 0.1,
            suffix: "",
            is_enabled: true,
        }
    }
}

impl Field<'_> {
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
                let mut info =
                    egui::WidgetInfo::labeled(egui::Role::SpinButton, self.is_enabled, name);
                info.value = Some(value);
                info
            });
        }
        let shown = |number: f64| format!("{number:.*}", self.decimals);
        let is_new = response.changed() && shown(new) != shown(value);
        (response, is_new.then_some(new))
    }
}
