//! Pictures for people, as SVG and PNG: the chart of a response, and cards to type control points from.
//!
//! [`response_svg()`] turns plain data ([`ResponseChart`]) into the text of an SVG, the same bytes
//! for the same data; [`svg_to_png`] draws such a text with a font built into the crate, so words
//! are there on every machine. Nothing here reads files or clocks, and no input is refused by
//! `response_svg`: what cannot be placed on the axes is left out and the chart says how much.
//!
//! Out of scope: fitting (the curve and its interval arrive finished) and strokes.

mod axes;
mod band_strip;
mod canvas;
mod card;
mod error;
mod fonts;
mod frame;
mod heading;
mod label;
mod landmark;
mod lanes;
mod legend;
mod marker;
mod number;
mod placed;
mod png;
mod response_chart;
mod response_plot;
mod response_svg;
mod text_width;
mod ticks;
mod tokens;
mod words;

pub use card::{Card, card_svg, read_card};
pub use error::PictureError;
pub use png::svg_to_png;
pub use response_chart::{CurvePoint, ResponseChart, SampleMark, Span};
pub use response_svg::response_svg;
pub use tokens::Theme;
