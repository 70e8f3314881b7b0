//! What a fit does with measurements of many kinds.

mod cases;
mod few;
mod force_at;
mod intervals;
mod seatings;
mod shapes;
