//! Pictures for people, as SVG and PNG: the chart of a response, cards to type control points from, and
//! sheets of strokes without and with a map.
//!
//! ```
//! use evenhand_preview::{ResponseChart, Theme, response_svg};
//!
//! let chart = ResponseChart {
//!     title: "Dunlin 01".to_owned(),
//!     ..ResponseChart::default()
//! };
//! let svg = response_svg(&chart, Theme::Light);
//! assert!(svg.starts_with("<svg") && svg.contains("<title>Dunlin 01</title>"));
//! assert_eq!(svg, response_svg(&chart, Theme::Light));
//! ```
//!
//! [`response_svg()`] turns plain data ([`ResponseChart`]) into the text of an SVG, the same bytes
//! for the same data; [`svg_to_png`] draws such a text with a font built into the crate, so words
//! are there on every machine. No input is refused by `response_svg`: what cannot be placed on the axes
//! is left out and the chart says how much.
//!
//! [`outlines`] turns a stroke of varying width into polygons, [`WidthScale`] outputs into widths and
//! [`Pen`] forces into outputs; [`stroke_sheet_svg()`] draws test strokes at named forces, recorded strokes,
//! the steps of whole readings and what becomes of noise. Forces are in gf, readings and outputs fractions
//! 0..1, lengths units of the SVG.
//!
//! It never fits (the curve and its interval arrive finished), and reads neither files nor clocks.

mod axes;
mod canvas;
mod card;
mod class_strip;
mod comparison_chart;
mod comparison_svg;
mod direct_labels;
mod envelope_shape;
mod error;
mod fonts;
mod frame;
mod heading;
mod ink_picture;
mod keys;
mod label;
mod landmark;
mod lanes;
mod legend;
mod marker;
mod noise_plot;
mod number;
mod outline;
mod panels_svg;
mod pen;
mod placed;
mod png;
mod quadrant_places;
mod quadrants;
mod quadrants_svg;
mod recorded_panel;
mod response_chart;
mod response_plot;
mod response_svg;
mod step_strips;
mod stroke_lanes;
mod stroke_sheet;
mod stroke_sheet_svg;
mod test_stroke;
mod text_width;
mod ticks;
mod tokens;
mod units_svg;
mod width_key;
mod width_scale;
mod words;

pub use card::{Card, card_svg, read_card};
pub use comparison_chart::{ComparisonChart, EnvelopeMark, GroupMark, Sides, UnitMark};
pub use comparison_svg::comparison_svg;
pub use error::PictureError;
pub use ink_picture::{InkStroke, Rgb, ink_picture};
pub use label::{Anchor, Label};
pub use number::span_in_words;
pub use outline::{InkPoint, outlines};
pub use panels_svg::panels_svg;
pub use pen::{Pen, Scatter, Side};
pub use png::svg_to_png;
pub use quadrant_places::{Quadrant, QuadrantPlaces};
pub use quadrants::{ForceScale, Mark, QuadrantChart, Role, Tracer, quadrant_marks};
pub use quadrants_svg::quadrants_svg;
pub use response_chart::{CurvePoint, ResponseChart, SampleMark, Span};
pub use response_svg::response_svg;
pub use stroke_sheet::{HandForce, MOST_HANDS, RecordedPoint, StrokeSheet};
pub use stroke_sheet_svg::stroke_sheet_svg;
pub use test_stroke::{TestStroke, TestStrokePoint};
pub use ticks::tick_step;
pub use tokens::{Theme, dark_counterparts};
pub use units_svg::units_svg;
pub use width_scale::{WidthLaw, WidthScale};
