//! A picture that is drawn again only where something changed.

use egui::{ColorImage, Rect, TextureHandle, TextureOptions, Ui, pos2};

/// The last picture that was drawn, and of what.
#[derive(Default)]
pub(crate) struct CachedPicture {
    texture: Option<TextureHandle>,
    drawn: Option<String>,
}

impl CachedPicture {
    /// Paints the picture into a rectangle; `content` says all that it depends on but for its size. Where that
    /// changed `draw` draws it anew, in pixels.
    pub(crate) fn paint(
        &mut self,
        ui: &Ui,
        rect: Rect,
        content: &str,
        draw: impl FnOnce([u32; 2]) -> Option<ColorImage>,
    ) {
        let scale = ui.ctx().pixels_per_point();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "sizes of a window"
        )]
        let pixels =
            [rect.width(), rect.height()].map(|side| (side * scale).round().max(1.0) as u32);
        let key = format!("{pixels:?} {content}");
        if self.drawn.as_ref() != Some(&key)
            && let Some(image) = draw(pixels)
        {
            match &mut self.texture {
                Some(texture) => texture.set(image, TextureOptions::LINEAR),
                None => {
                    let texture = ui
                        .ctx()
                        .load_texture("picture", image, TextureOptions::LINEAR);
                    self.texture = Some(texture);
                }
            }
            self.drawn = Some(key);
        }
        if let Some(texture) = &self.texture {
            let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
            ui.painter()
                .image(texture.id(), rect, whole, egui::Color32::WHITE);
        }
    }
}
