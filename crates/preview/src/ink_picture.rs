//! Strokes as pixels, for windows that draw no polygons of their own.

use resvg::tiny_skia::{Color, FillRule, Paint, PathBuilder, Pixmap, Transform};

use crate::outline::{InkPoint, outlines};

/// A colour, red, green and blue.
pub type Rgb = [u8; 3];

/// A stroke with its colour.
#[derive(Clone, Debug, PartialEq)]
pub struct InkStroke {
    /// Places and widths in pixels.
    pub points: Vec<InkPoint>,
    /// Its colour.
    pub colour: Rgb,
}

/// Most pixels to either side.
const MOST: u32 = 8192;

/// Strokes drawn over one another on a plain ground: rows of red, green, blue and alpha, 4 bytes a pixel.
/// `None` where a side has no pixel or more than 8192.
#[must_use]
pub fn ink_picture(
    (width, height): (u32, u32),
    strokes: &[InkStroke],
    ground: Rgb,
) -> Option<Vec<u8>> {
    if width > MOST || height > MOST {
        return None;
    }
    let mut pixels = Pixmap::new(width, height)?;
    let [r, g, b] = ground;
    pixels.fill(Color::from_rgba8(r, g, b, 255));
    for stroke in strokes {
        let mut path = PathBuilder::new();
        for outline in outlines(&stroke.points) {
            for (index, (x, y)) in outline.iter().enumerate() {
                #[expect(
                    clippy::cast_possible_truncation,
                    reason = "pixels need no more digits"
                )]
                let (x, y) = (*x as f32, *y as f32);
                if index == 0 {
                    path.move_to(x, y);
                } else {
                    path.line_to(x, y);
                }
            }
            path.close();
        }
        let Some(path) = path.finish() else { continue };
        let mut paint = Paint::default();
        let [r, g, b] = stroke.colour;
        paint.set_color_rgba8(r, g, b, 255);
        paint.anti_alias = true;
        pixels.fill_path(
            &path,
            &paint,
            FillRule::Winding,
            Transform::identity(),
            None,
        );
    }
    Some(pixels.take())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stroke_covers_its_area() {
        let points = [10.0, 90.0].map(|x| InkPoint {
            x,
            y: 20.0,
            width: 10.0,
        });
        let stroke = InkStroke {
            points: points.to_vec(),
            colour: [0, 0, 0],
        };
        let pixels = ink_picture((100, 40), &[stroke], [255, 255, 255]).unwrap();
        let dark: f64 = pixels
            .chunks(4)
            .map(|pixel| 1.0 - f64::from(pixel[0]) / 255.0)
            .sum();
        // A stadium: 80 · 10 + π · 5².
        assert!((dark - 878.54).abs() < 3.0, "{dark}");
        assert!(ink_picture((0, 5), &[], [0, 0, 0]).is_none());
        assert!(ink_picture((9000, 5), &[], [0, 0, 0]).is_none());
    }
}
