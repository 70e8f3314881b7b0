//! From SVG to PNG.

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{ImageHrefResolver, Options, Tree};

use crate::error::PictureError;
use crate::fonts::{MAIN_FAMILY, database};

/// Most pixels that are drawn: 64 million take 256 MB while they are drawn.
const MOST_PIXELS: u32 = 64_000_000;

/// The SVG as the bytes of a PNG, `scale` pixels for each unit of the SVG (1 for screens, about 3
/// for print).
///
/// Text is drawn with the crate's own fonts, whatever the machine has; pictures that the SVG
/// refers to by name are not loaded.
///
/// # Errors
/// [`PictureError::Unreadable`] if `svg` is no SVG, [`PictureError::Scale`] if `scale` is not a
/// finite number above 0, [`PictureError::Size`] if the picture has no pixel or more than 64
/// million, [`PictureError::Packing`] if the pixels cannot be packed.
pub fn svg_to_png(svg: &str, scale: f32) -> Result<Vec<u8>, PictureError> {
    if !(scale.is_finite() && scale > 0.0) {
        return Err(PictureError::Scale { scale });
    }
    let options = Options {
        font_family: MAIN_FAMILY.to_owned(),
        fontdb: database(),
        image_href_resolver: ImageHrefResolver {
            resolve_string: Box::new(|_, _| None),
            ..ImageHrefResolver::default()
        },
        ..Options::default()
    };
    let tree = Tree::from_str(svg, &options).map_err(|error| PictureError::Unreadable {
        reason: error.to_string(),
    })?;
    let (width, height) = (tree.size().width() * scale, tree.size().height() * scale);
    let beyond = PictureError::Size {
        width: width.round(),
        height: height.round(),
        limit: MOST_PIXELS,
    };
    let (Some(columns), Some(rows)) = (whole_pixels(width), whole_pixels(height)) else {
        return Err(beyond);
    };
    if u64::from(columns) * u64::from(rows) > u64::from(MOST_PIXELS) {
        return Err(beyond);
    }
    let Some(mut pixels) = Pixmap::new(columns, rows) else {
        return Err(beyond);
    };
    resvg::render(
        &tree,
        Transform::from_scale(scale, scale),
        &mut pixels.as_mut(),
    );
    pixels.encode_png().map_err(|error| PictureError::Packing {
        reason: error.to_string(),
    })
}

/// A length in whole pixels, `None` below one or above the most.
fn whole_pixels(length: f32) -> Option<u32> {
    let rounded = length.round();
    #[expect(clippy::cast_precision_loss, reason = "the limit is exact in f32")]
    let limit = MOST_PIXELS as f32;
    if !(1.0..=limit).contains(&rounded) {
        return None;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number between 1 and the limit"
    )]
    let pixels = rounded as u32;
    Some(pixels)
}
