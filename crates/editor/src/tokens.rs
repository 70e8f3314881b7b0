//! Colours and sizes of the window, by name. The chart's own colours are those of the project's pictures.

use egui::{Color32, CornerRadius, Stroke, Theme as Light, Visuals};
use evenhand_preview::{Rgb, Role, Theme};

/// Radius of a control point, of its hit area, and of the ring around one that has the focus.
pub(crate) const POINT_RADIUS: f32 = 6.0;
pub(crate) const POINT_REACH: f32 = 13.0;
pub(crate) const FOCUS_RADIUS: f32 = 10.5;
pub(crate) const LINE: f32 = 2.0;
pub(crate) const DASH: f32 = 6.0;
pub(crate) const DASH_GAP: f32 = 4.0;

pub(crate) const SIDE_WIDTH: f32 = 296.0;
pub(crate) const SIDE_LEAST: f32 = 240.0;
pub(crate) const STRIP_HEIGHT: f32 = 176.0;
pub(crate) const STRIP_LEAST: f32 = 96.0;
pub(crate) const PAD_WIDTH: f32 = 230.0;
pub(crate) const CHART_LEAST: f32 = 150.0;
/// Room from which on strokes are shown below the chart, and the pad beside them.
pub(crate) const ROOM_FOR_STRIP: f32 = 330.0;
pub(crate) const ROOM_FOR_PAD: f32 = 560.0;
/// Room from which on the tracer's values have their names beside them.
pub(crate) const ROOM_FOR_WORDS: f32 = 440.0;

/// Room for the button beside a path.
pub(crate) const BROWSE_WIDTH: f32 = 90.0;
/// Height of the button that is pressed most.
pub(crate) const LARGE_BUTTON: f32 = 40.0;
/// Largest force of fields, gf.
pub(crate) const MOST_FORCE_GF: f64 = 5000.0;
/// How often readings are looked at.
pub(crate) const ATTEND_EVERY: std::time::Duration = std::time::Duration::from_millis(40);

/// Steps of the arrow keys where the receiver has no grid, and forces by keys, gf.
pub(crate) const KEY_STEP: f64 = 0.005;
pub(crate) const KEY_FORCE_GF: f64 = 1.0;
/// With Shift, so many steps at once.
pub(crate) const KEY_LEAP: f64 = 10.0;

/// Zoom of the whole window.
pub(crate) const ZOOM_STEP: f32 = 0.25;
pub(crate) const ZOOM_LEAST: f32 = 0.75;
pub(crate) const ZOOM_MOST: f32 = 2.0;

/// The theme of pictures for the window's.
pub(crate) fn theme(dark: bool) -> Theme {
    if dark { Theme::Dark } else { Theme::Light }
}

pub(crate) fn rgb(role: Role, theme: Theme) -> Rgb {
    let hex = role.colour(theme);
    let channel = |from: usize| {
        hex.get(from..from + 2)
            .and_then(|digits| u8::from_str_radix(digits, 16).ok())
            .unwrap_or(0)
    };
    [channel(1), channel(3), channel(5)]
}

pub(crate) fn colour(role: Role, theme: Theme) -> Color32 {
    let [r, g, b] = rgb(role, theme);
    Color32::from_rgb(r, g, b)
}

/// How widgets look in a theme.
pub(crate) fn visuals(light: Light) -> Visuals {
    let is_dark = light == Light::Dark;
    let theme = theme(is_dark);
    let mut visuals = if is_dark {
        Visuals::dark()
    } else {
        Visuals::light()
    };
    let accent = colour(Role::Curve, theme);
    let ink = colour(Role::Ink, theme);
    let (panel, field, button, over) = if is_dark {
        (0x001b_1f24, 0x0010_1316, 0x002c_333b, 0x003a_434d)
    } else {
        (0x00f3_f4f2, 0x00ff_ffff, 0x00e2_e5e3, 0x00d3_d8d5)
    };
    let shade = |rgb: u32| {
        let [_, r, g, b] = rgb.to_be_bytes();
        Color32::from_rgb(r, g, b)
    };
    visuals.panel_fill = shade(panel);
    visuals.window_fill = shade(panel);
    visuals.extreme_bg_color = shade(field);
    visuals.override_text_color = Some(ink);
    visuals.weak_text_color = Some(colour(Role::QuietInk, theme));
    visuals.selection.bg_fill = accent.gamma_multiply(0.35);
    visuals.selection.stroke = Stroke::new(2.0, accent);
    visuals.error_fg_color = colour(Role::Tracer, theme);
    visuals.warn_fg_color = colour(Role::Tracer, theme);
    for widget in [
        &mut visuals.widgets.inactive,
        &mut visuals.widgets.hovered,
        &mut visuals.widgets.active,
        &mut visuals.widgets.open,
    ] {
        widget.corner_radius = CornerRadius::same(3);
    }
    visuals.widgets.inactive.weak_bg_fill = shade(button);
    visuals.widgets.inactive.bg_fill = shade(button);
    visuals.widgets.hovered.weak_bg_fill = shade(over);
    visuals.widgets.hovered.bg_fill = shade(over);
    // Whatever has the focus is framed in the accent.
    visuals.widgets.hovered.bg_stroke = Stroke::new(1.0, colour(Role::Axis, theme));
    visuals.widgets.active.bg_stroke = Stroke::new(2.0, accent);
    visuals.widgets.noninteractive.bg_stroke = Stroke::new(1.0, shade(over));
    visuals
}
