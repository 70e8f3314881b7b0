//! What can go wrong while a picture is drawn.

/// Why an SVG could not be turned into a PNG.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PictureError {
    /// The text is no SVG; the reason is the parser's.
    #[error("the picture is not readable as SVG: {reason}")]
    Unreadable {
        /// What the parser said, with line and column where it knows them.
        reason: String,
    },
    /// The scale is not a finite number above 0.
    #[error("the scale must be a finite number above 0, not {scale}")]
    Scale {
        /// The scale asked for, in pixels per unit of the SVG.
        scale: f32,
    },
    /// The PNG would be empty or larger than [`svg_to_png`](crate::svg_to_png) makes.
    #[error("a PNG of {width} × {height} pixels is beyond 1 to {limit} pixels")]
    Size {
        /// Width asked for, in pixels.
        width: f32,
        /// Height asked for, in pixels.
        height: f32,
        /// The most pixels that are drawn.
        limit: u32,
    },
    /// The pixels could not be packed as PNG.
    #[error("the PNG could not be packed: {reason}")]
    Packing {
        /// What the packer said.
        reason: String,
    },
}
