//! A painter in software: the window's triangles as pixels, the same on every machine.
//!
//! As egui's own painters do it: colours are premultiplied and blended as they are stored, a pixel belongs to a
//! triangle where its centre does, and of two triangles that share an edge only one has the pixels on it.

use std::collections::HashMap;

use egui::epaint::{ClippedPrimitive, ImageData, ImageDelta, Mesh, Primitive, Vertex};
use egui::{Color32, Context, FullOutput, Pos2, TextureId, TextureOptions, TexturesDelta, Theme};
use egui_kittest::{Harness, TestRenderer};
use evenhand_editor::{Editor, Start};
use evenhand_workflow::Failure;
use image::{Rgba, RgbaImage};

/// Parts of a pixel in which corners are placed.
const PARTS: f32 = 256.0;

/// A window that is painted in software.
pub(crate) fn window<'a>(
    start: &Start,
    size: [f32; 2],
    scale: f32,
    theme: Theme,
) -> Result<Harness<'a, Editor>, Failure> {
    let editor = Editor::new(start, || ())?;
    let mut window = Harness::builder()
        .with_size(size)
        .with_pixels_per_point(scale)
        .with_theme(theme)
        .with_context_setup(Editor::dress)
        .renderer(Painter::default())
        .build_ui_state(|ui, editor: &mut Editor| editor.ui(ui), editor);
    window.run_steps(6);
    Ok(window)
}

struct Texture {
    width: usize,
    height: usize,
    pixels: Vec<Color32>,
    options: TextureOptions,
}

/// Paints without a graphics driver.
#[derive(Default)]
struct Painter {
    textures: HashMap<TextureId, Texture>,
}

impl TestRenderer for Painter {
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        for (id, images) in std::mem::take(&mut delta.set) {
            for image in &images {
                self.set(id, image);
            }
        }
        for id in std::mem::take(&mut delta.free) {
            self.textures.remove(&id);
        }
    }

    fn render(&mut self, context: &Context, output: &FullOutput) -> Result<RgbaImage, String> {
        let scale = output.pixels_per_point;
        let size = context.content_rect().size() * scale;
        let (width, height) = (whole(size.x.round()), whole(size.y.round()));
        let mut canvas = Canvas {
            width,
            pixels: vec![Color32::TRANSPARENT; width * height],
        };
        for primitive in context.tessellate(output.shapes.clone(), scale) {
            self.paint(&mut canvas, &primitive, scale, height)?;
        }
        let mut image = RgbaImage::new(to_u32(width), to_u32(height));
        for (pixel, color) in image.pixels_mut().zip(&canvas.pixels) {
            *pixel = Rgba(color.to_array());
        }
        Ok(image)
    }
}

struct Canvas {
    width: usize,
    pixels: Vec<Color32>,
}

impl Painter {
    fn set(&mut self, id: TextureId, delta: &ImageDelta) {
        let ImageData::Color(image) = &delta.image;
        let [width, height] = image.size;
        let texture = self.textures.entry(id).or_insert_with(|| Texture {
            width,
            height,
            pixels: Vec::new(),
            options: delta.options,
        });
        texture.options = delta.options;
        match delta.pos {
            None => {
                (texture.width, texture.height) = (width, height);
                texture.pixels.clone_from(&image.pixels);
            }
            Some([x, y]) => {
                for row in 0..height {
                    let to = (y + row) * texture.width + x;
                    texture.pixels[to..to + width]
                        .copy_from_slice(&image.pixels[row * width..(row + 1) * width]);
                }
            }
        }
    }

    fn paint(
        &self,
        canvas: &mut Canvas,
        primitive: &ClippedPrimitive,
        scale: f32,
        height: usize,
    ) -> Result<(), String> {
        let Primitive::Mesh(mesh) = &primitive.primitive else {
            return Err("the window calls back into a driver".to_owned());
        };
        let texture = self
            .textures
            .get(&mesh.texture_id)
            .ok_or("a texture that was never set")?;
        let clip = primitive.clip_rect * scale;
        let inside = |value: f32, most: usize| whole(value.round().max(0.0)).min(most);
        let clip = Clip {
            left: inside(clip.min.x, canvas.width),
            right: inside(clip.max.x, canvas.width),
            top: inside(clip.min.y, height),
            bottom: inside(clip.max.y, height),
        };
        for corners in triangles(mesh) {
            fill(canvas, &corners, texture, scale, &clip);
        }
        Ok(())
    }
}

struct Clip {
    left: usize,
    right: usize,
    top: usize,
    bottom: usize,
}

fn triangles(mesh: &Mesh) -> impl Iterator<Item = [Vertex; 3]> {
    let vertex = |index: u32| mesh.vertices[index as usize];
    mesh.indices
        .chunks_exact(3)
        .map(move |three| [vertex(three[0]), vertex(three[1]), vertex(three[2])])
}

/// A corner in parts of a pixel.
fn placed(corner: Pos2, scale: f32) -> [i64; 2] {
    [corner.x, corner.y].map(|value| to_i64((value * scale * PARTS).round()))
}

/// Twice the area to the right of the line from `a` to `b`, as seen from `p`.
fn edge(a: [i64; 2], b: [i64; 2], p: [i64; 2]) -> i64 {
    (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])
}

/// Whether the pixels on the line from `a` to `b` belong to the triangle: those of its upper and left sides do.
fn owns(a: [i64; 2], b: [i64; 2]) -> bool {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    dy < 0 || (dy == 0 && dx > 0)
}

fn fill(canvas: &mut Canvas, corners: &[Vertex; 3], texture: &Texture, scale: f32, clip: &Clip) {
    let mut corners = *corners;
    let mut at = corners.map(|corner| placed(corner.pos, scale));
    let mut area = edge(at[0], at[1], at[2]);
    if area < 0 {
        corners.swap(1, 2);
        at.swap(1, 2);
        area = -area;
    }
    if area == 0 {
        return;
    }
    let parts = to_i64(PARTS);
    let range = |axis: usize, least: usize, most: usize| {
        let low = at.iter().map(|corner| corner[axis]).min().unwrap_or(0) / parts;
        let high = at.iter().map(|corner| corner[axis]).max().unwrap_or(0) / parts + 1;
        let bound = |value: i64| usize::try_from(value.max(0)).unwrap_or(0);
        bound(low).max(least)..bound(high).min(most)
    };
    let bias = [(1, 2), (2, 0), (0, 1)].map(|(a, b)| i64::from(!owns(at[a], at[b])));
    for y in range(1, clip.top, clip.bottom) {
        for x in range(0, clip.left, clip.right) {
            let centre = [x, y].map(|value| i64::try_from(value).unwrap_or(0) * parts + parts / 2);
            let sides = [
                edge(at[1], at[2], centre),
                edge(at[2], at[0], centre),
                edge(at[0], at[1], centre),
            ];
            if sides.iter().zip(bias).any(|(side, bias)| *side < bias) {
                continue;
            }
            let weights = sides.map(|side| to_f32(side) / to_f32(area));
            let color = shaded(&corners, weights, texture);
            let pixel = &mut canvas.pixels[y * canvas.width + x];
            *pixel = over(color, *pixel);
        }
    }
}

/// The colour of a triangle where its corners have these weights.
fn shaded(corners: &[Vertex; 3], weights: [f32; 3], texture: &Texture) -> [f32; 4] {
    let mut color = [0.0; 4];
    let mut place = [0.0; 2];
    for (corner, weight) in corners.iter().zip(weights) {
        for (sum, value) in color.iter_mut().zip(corner.color.to_array()) {
            *sum += weight * f32::from(value);
        }
        place[0] += weight * corner.uv.x;
        place[1] += weight * corner.uv.y;
    }
    let sampled = sample(texture, place);
    for (value, factor) in color.iter_mut().zip(sampled) {
        *value *= factor / 255.0;
    }
    color
}

/// The texture at a place in 0..1, between its pixels where it is smooth.
fn sample(texture: &Texture, [u, v]: [f32; 2]) -> [f32; 4] {
    let pixel = |x: f32, y: f32| {
        let bound = |value: f32, most: usize| whole(value.max(0.0)).min(most - 1);
        let index = bound(y, texture.height) * texture.width + bound(x, texture.width);
        texture.pixels[index].to_array().map(f32::from)
    };
    let (x, y) = (
        u * to_f32_size(texture.width),
        v * to_f32_size(texture.height),
    );
    if texture.options.magnification == egui::TextureFilter::Nearest {
        return pixel(x.floor(), y.floor());
    }
    let (x, y) = (x - 0.5, y - 0.5);
    let (left, top) = (x.floor(), y.floor());
    let (right_part, low_part) = (x - left, y - top);
    let mix = |a: [f32; 4], b: [f32; 4], part: f32| {
        std::array::from_fn(|index| a[index] + part * (b[index] - a[index]))
    };
    let upper = mix(pixel(left, top), pixel(left + 1.0, top), right_part);
    let low = top + 1.0;
    let lower = mix(pixel(left, low), pixel(left + 1.0, low), right_part);
    mix(upper, lower, low_part)
}

/// A premultiplied colour laid over another.
fn over(color: [f32; 4], below: Color32) -> Color32 {
    let rest = 1.0 - color[3] / 255.0;
    let [r, g, b, a] = std::array::from_fn(|index| {
        let sum = color[index] + rest * f32::from(below.to_array()[index]);
        to_u8(sum.round().clamp(0.0, 255.0))
    });
    Color32::from_rgba_premultiplied(r, g, b, a)
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "rounded and not negative"
)]
fn whole(value: f32) -> usize {
    value as usize
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "rounded and within 0 to 255"
)]
fn to_u8(value: f32) -> u8 {
    value as u8
}

#[expect(clippy::cast_possible_truncation, reason = "places of a picture")]
fn to_i64(value: f32) -> i64 {
    value as i64
}

#[expect(clippy::cast_precision_loss, reason = "areas of a picture")]
fn to_f32(value: i64) -> f32 {
    value as f32
}

#[expect(clippy::cast_precision_loss, reason = "sizes of a texture")]
fn to_f32_size(value: usize) -> f32 {
    value as f32
}

fn to_u32(value: usize) -> u32 {
    u32::try_from(value).unwrap_or(0)
}
