//! Colours and sizes of every picture, by name.
//!
//! Blue against neutral greys keeps apart for all common kinds of colour blindness and in grey
//! print; rust is used for one thing only, the ring of flagged samples, which is also told by its
//! shape. Text reaches a contrast of 4.5 and marks of 3 against all they stand on.

/// Background the picture is made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Theme {
    /// Dark marks on white, for print.
    #[default]
    Light,
    /// Light marks on near black, for screens.
    Dark,
}

/// Declares every colour with its values in the light and the dark theme.
macro_rules! palettes {
    ($($(#[$doc:meta])* $name:ident: $light:literal, $dark:literal;)*) => {
        /// Colours of one theme as `#rrggbb`.
        #[derive(Debug, Clone, Copy)]
        pub(crate) struct Palette {
            $($(#[$doc])* pub(crate) $name: &'static str,)*
        }

        const LIGHT: Palette = Palette { $($name: $light,)* };
        const DARK: Palette = Palette { $($name: $dark,)* };

        /// Every colour of pictures for light pages with the one that takes its place on dark pages, so that a
        /// page can restyle a picture it holds.
        #[must_use]
        pub fn dark_counterparts() -> [(&'static str, &'static str); 15] {
            [$(($light, $dark),)*]
        }
    };
}

palettes! {
    background: "#ffffff", "#14171b";
    /// Title, landmark labels, the class that holds the saturation.
    ink: "#16191d", "#f2f4f6";
    /// All other text.
    quiet_ink: "#4a525c", "#b3bcc6";
    axis: "#6b7480", "#7f8994";
    grid: "#e3e7eb", "#2a3037";
    curve: "#1f62a7", "#6db1f2";
    interval_fill: "#cfe0f1", "#213e5a";
    interval_edge: "#9dbfe0", "#3a648c";
    /// Filled markers.
    filled_mark: "#20262d", "#f0f2f4";
    /// Outlines of hollow markers, apart from the filled ones by lightness too.
    hollow_mark: "#66707b", "#a3adb8";
    flag: "#b4451f", "#ff9466";
    landmark: "#39424d", "#c9d0d8";
    /// Every other class of the strip, from the first on.
    strip_even: "#f1f3f5", "#1f242a";
    strip_odd: "#e4e8ec", "#2a3037";
    /// The strip of the class that holds the saturation.
    strip_here: "#d0d7de", "#414b56";
}

impl Theme {
    pub(crate) fn palette(self) -> &'static Palette {
        match self {
            Self::Light => &LIGHT,
            Self::Dark => &DARK,
        }
    }
}

/// Family of all text: the built-in font, then whatever plain face the viewer has.
pub(crate) const FONT_FAMILY: &str = "Ubuntu, sans-serif";
/// Other faces are wider than the built-in one; places for text are kept this much wider.
pub(crate) const TEXT_SLACK: f64 = 1.15;

/// All lengths below are units of the SVG, drawn as one pixel each at scale 1.
pub(crate) const WIDTH: f64 = 900.0;
pub(crate) const MARGIN: f64 = 24.0;
pub(crate) const PLOT_LEFT: f64 = 92.0;
pub(crate) const PLOT_RIGHT: f64 = WIDTH - 36.0;
pub(crate) const PLOT_HEIGHT: f64 = 360.0;
/// Room between the axes and zero, so that an onset near 0 is told from the axis.
pub(crate) const PLOT_INSET: f64 = 10.0;

pub(crate) const TITLE_SIZE: f64 = 22.0;
pub(crate) const SUBTITLE_SIZE: f64 = 14.5;
pub(crate) const LABEL_SIZE: f64 = 14.5;
pub(crate) const TICK_SIZE: f64 = 13.5;
pub(crate) const SMALL_SIZE: f64 = 12.5;

pub(crate) const PARAGRAPH_GAP: f64 = 4.0;
pub(crate) const SECTION_GAP: f64 = 12.0;
pub(crate) const LEGEND_ROW: f64 = 22.0;
/// Widths of a line and of a marker as symbols of the legend.
pub(crate) const LEGEND_SYMBOL: f64 = 26.0;
pub(crate) const LEGEND_MARK: f64 = 14.0;
pub(crate) const LEGEND_ENTRY_MAX: f64 = 320.0;
pub(crate) const STRIP_HEIGHT: f64 = 22.0;
pub(crate) const LANE_HEIGHT: f64 = 36.0;
pub(crate) const BRACKET_CAP: f64 = 4.0;
pub(crate) const ARROW: f64 = 6.0;
pub(crate) const TICK_LENGTH: f64 = 5.0;
pub(crate) const TICK_ROW: f64 = 34.0;

/// Rows and digits of a card, read at arm's length, and the side of its small picture.
pub(crate) const CARD_ROW: f64 = 46.0;
pub(crate) const CARD_DIGITS: f64 = 32.0;
pub(crate) const CARD_HEAD: f64 = 30.0;
pub(crate) const CARD_PLOT: f64 = 320.0;

/// Columns of a sheet of strokes: names, figures and numbers.
pub(crate) const LANE_NAMES: f64 = 130.0;
pub(crate) const LANE_COLUMN: f64 = 124.0;
pub(crate) const LANE_NUMBERS: f64 = 100.0;
/// Height of a lane beyond the widest stroke, and room around a figure beyond half of it.
pub(crate) const LANE_ROOM: f64 = 50.0;
pub(crate) const LANE_INSET: f64 = 4.0;
pub(crate) const LANE_GAP: f64 = 6.0;
/// Line that keeps strokes apart which lie on one another.
pub(crate) const STROKE_GAP: f64 = 1.6;
pub(crate) const NOISE_HEIGHT: f64 = 170.0;

/// Lines of many units, thin enough to be told apart where sixty lie side by side.
pub(crate) const UNIT_WIDTH: f64 = 0.9;
/// A lane of direct labels above a plot.
pub(crate) const LABEL_LANE: f64 = 19.0;
/// Panels side by side, one for each group.
pub(crate) const PANEL_COLUMNS: usize = 3;
pub(crate) const PANEL_GAP: f64 = 22.0;
pub(crate) const PANEL_HEIGHT: f64 = 150.0;
/// Rows of the chart of ranges: one for each unit, one above for its group.
pub(crate) const RANGE_ROW: f64 = 20.0;
pub(crate) const RANGE_HEAD: f64 = 30.0;
pub(crate) const RANGE_NAMES: f64 = 190.0;

pub(crate) const CURVE_WIDTH: f64 = 2.4;
pub(crate) const LINE_WIDTH: f64 = 1.2;
pub(crate) const HAIRLINE: f64 = 1.0;
pub(crate) const MARK_RADIUS: f64 = 4.2;
pub(crate) const CROWDED_MARK_RADIUS: f64 = 2.8;
/// From this many samples on, marks are drawn at the crowded radius.
pub(crate) const CROWD: usize = 150;
pub(crate) const RING_RADIUS: f64 = 8.0;

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance of sRGB, WCAG 2.1 (definition from memory: linear below 0.04045).
    fn luminance(colour: &str) -> f64 {
        let channel = |from: usize| {
            let byte = u8::from_str_radix(&colour[from..from + 2], 16).expect("two hex digits");
            let value = f64::from(byte) / 255.0;
            if value <= 0.04045 {
                value / 12.92
            } else {
                ((value + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    }

    fn contrast(one: &str, other: &str) -> f64 {
        let (one, other) = (luminance(one), luminance(other));
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }

    #[test]
    fn contrast_of_known_pairs() {
        // Black on white is 21 by definition; #767676 on white is the well-known 4.54 (memory).
        for (colour, expected, within) in [("#000000", 21.0, 1e-12), ("#767676", 4.54, 0.005)] {
            let found = contrast(colour, "#ffffff");
            assert!((found - expected).abs() < within, "{expected}: {found}");
        }
    }

    #[test]
    fn each_light_colour_has_one_dark_counterpart() {
        let pairs = dark_counterparts();
        for (index, (light, _)) in pairs.iter().enumerate() {
            let same = pairs.iter().filter(|(other, _)| other == light).count();
            assert_eq!(same, 1, "{index}: {light}");
        }
    }

    #[test]
    fn text_stands_out() {
        for theme in [Theme::Light, Theme::Dark] {
            let p = theme.palette();
            for (text, ground) in [
                (p.ink, p.background),
                (p.quiet_ink, p.background),
                (p.quiet_ink, p.strip_even),
                (p.quiet_ink, p.strip_odd),
                (p.ink, p.strip_here),
            ] {
                let found = contrast(text, ground);
                assert!(found >= 4.5, "{theme:?}: {text} on {ground} is {found:.2}");
            }
        }
    }

    #[test]
    fn marks_stand_out() {
        for theme in [Theme::Light, Theme::Dark] {
            let p = theme.palette();
            let grounds = [p.background, p.interval_fill];
            let marks = [p.curve, p.filled_mark, p.hollow_mark, p.flag, p.landmark];
            for (mark, ground) in marks.iter().flat_map(|m| grounds.map(|g| (*m, g))) {
                let found = contrast(mark, ground);
                assert!(found >= 3.0, "{theme:?}: {mark} on {ground} is {found:.2}");
            }
            let axis = contrast(p.axis, p.background);
            assert!(axis >= 3.0, "{theme:?}: axis is {axis:.2}");
        }
    }

    #[test]
    fn filled_and_hollow_marks_differ_in_grey() {
        for theme in [Theme::Light, Theme::Dark] {
            let p = theme.palette();
            let found = contrast(p.filled_mark, p.hollow_mark);
            assert!(found >= 1.8, "{theme:?}: {found:.2}");
        }
    }
}
