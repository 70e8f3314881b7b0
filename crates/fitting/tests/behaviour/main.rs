//! What a fit does with measurements of many kinds.

mod cases;
mod few;
mod seatings;
mod shapes;
