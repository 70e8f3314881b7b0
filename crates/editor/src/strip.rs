//! Below the chart: strokes without and with the map at the forces of the hand.

use egui::{ColorImage, Rect, RichText, Ui, vec2};
use evenhand_curve::{Curve, Polyline};
use evenhand_preview::{InkStroke, Pen, Role, Side, TestStroke, Theme, ink_picture};
use evenhand_receiver::ASSUMED_LEVELS;

use crate::chart::axial_part;
use crate::document::Command;
use crate::editor::Editor;
use crate::fields::force_field;
use crate::session::Session;
use crate::tokens;

/// Height of a lane at which strokes are drawn as wide as they are.
const FULL_LANE: f64 = 84.0;
/// Width of a figure at which they are, too.
const FULL_CELL: f64 = 84.0;
/// Width of a column from which on all figures are drawn.
const WIDE: f64 = 420.0;
const MIDDLING: f64 = 230.0;
const NARROW: f64 = 130.0;

/// What is applied to readings without and with the map.
pub(crate) struct Curves {
    without: Box<dyn Curve>,
    with: Box<dyn Curve>,
}

impl Curves {
    pub(crate) fn of(session: &Session) -> Option<Self> {
        let document = session.document();
        let map = document.curve()?;
        let request = &document.request;
        Some(Self {
            without: request.through_chain(Box::new(Polyline::identity())),
            with: request.through_chain(Box::new(map)),
        })
    }

    pub(crate) fn pen<'a>(&'a self, session: &'a Session) -> Pen<'a> {
        Pen {
            response: session.bench().fit.response.curve(),
            without: &*self.without,
            with: &*self.with,
            levels: session.bench().levels().unwrap_or(ASSUMED_LEVELS),
            axial_part: axial_part(session),
        }
    }
}

/// Which figures a column of so many points holds.
fn figures(width: f64) -> &'static [TestStroke] {
    if width >= WIDE {
        &TestStroke::ALL
    } else if width >= MIDDLING {
        &[TestStroke::Swell, TestStroke::Hatch, TestStroke::Taper]
    } else if width >= NARROW {
        &[TestStroke::Swell, TestStroke::Hatch]
    } else {
        &[TestStroke::Swell]
    }
}

impl Editor {
    /// A column for each force: its field, a lane without and a lane with the map.
    pub(crate) fn strokes(&mut self, ui: &mut Ui) {
        let unit = self.view.unit;
        let hands = self.session.document().hands.clone();
        let width = ui.available_width();
        #[expect(clippy::cast_precision_loss, reason = "a handful")]
        let column = width / hands.len().max(1) as f32;
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 0.0;
            for (index, hand) in hands.iter().enumerate() {
                ui.allocate_ui(vec2(column, ui.spacing().interact_size.y), |ui| {
                    ui.set_width(column);
                    ui.horizontal(|ui| {
                        ui.spacing_mut().item_spacing.x = 6.0;
                        let label = ui.label(RichText::new(&hand.name).strong());
                        let suffix = format!(" {}", unit.as_str());
                        let forces = (1.0, hand.force_gf);
                        let (response, changed) = force_field(ui, unit, forces, &suffix);
                        let command = changed.map(|force_gf| Command::SetHand { index, force_gf });
                        self.follow_field(&response.labelled_by(label.id), command);
                    });
                });
            }
        });
        let (rect, response) = ui.allocate_exact_size(ui.available_size(), egui::Sense::hover());
        response.widget_info(|| {
            egui::WidgetInfo::labeled(egui::Role::Image, true, self.strokes_in_words())
        });
        self.paint_strokes(ui, rect);
    }

    fn strokes_in_words(&self) -> String {
        let Some(curves) = Curves::of(&self.session) else {
            return "Strokes".to_owned();
        };
        let pen = curves.pen(&self.session);
        let document = self.session.document();
        let parts: Vec<String> = document
            .hands
            .iter()
            .map(|hand| {
                let width = |side| document.scale.width(pen.output(hand.force_gf, side));
                let [without, with] = Side::BOTH.map(width);
                let name = &hand.name;
                format!("{name}: width {without:.1} without, {with:.1} with the map")
            })
            .collect();
        format!("Strokes. {}", parts.join("; "))
    }

    fn paint_strokes(&mut self, ui: &Ui, rect: Rect) {
        let theme = tokens::theme(ui.visuals().dark_mode);
        let document = self.session.document();
        let content = format!(
            "{theme:?} {:?} {:?} {:?} {:?} {:?}",
            document.points,
            document.exponent,
            document.hands,
            document.scale,
            document.request.hold_angle
        );
        let (session, zoom) = (&self.session, f64::from(ui.ctx().pixels_per_point()));
        self.view.strip.paint(ui, rect, &content, |pixels| {
            picture(session, pixels, zoom, theme)
        });
        for (lane, side) in Side::BOTH.into_iter().enumerate() {
            #[expect(clippy::cast_precision_loss, reason = "two lanes")]
            let y = rect.top() + rect.height() * (lane as f32) / 2.0 + 3.0;
            ui.painter().text(
                egui::pos2(rect.left() + 5.0, y),
                egui::Align2::LEFT_TOP,
                side.as_str(),
                egui::FontId::proportional(11.5),
                tokens::colour(Role::QuietInk, theme),
            );
        }
    }
}

/// The strokes of all forces in both lanes, as pixels; `scale` pixels a point.
pub(crate) fn picture(
    session: &Session,
    pixels: [u32; 2],
    scale: f64,
    theme: Theme,
) -> Option<ColorImage> {
    let curves = Curves::of(session)?;
    let pen = curves.pen(session);
    let document = session.document();
    let size = pixels.map(f64::from);
    let column = size[0] / document.hands.len().max(1) as f64;
    let lane = size[1] / 2.0;
    let shown = figures(column / scale);
    let cell = column / shown.len() as f64;
    let room = (lane / scale / FULL_LANE).min(cell / scale / FULL_CELL);
    let zoom = scale * room.min(1.0);
    let margin = 0.5 * document.scale.greatest() * zoom + 4.0 * scale;
    let room = (
        (cell - 2.0 * margin).max(4.0),
        (lane - 2.0 * margin).max(2.0),
    );
    let mut strokes = Vec::new();
    for (number, hand) in document.hands.iter().enumerate() {
        for (row, side) in Side::BOTH.into_iter().enumerate() {
            let colour = tokens::rgb(ink(side), theme);
            for (place, figure) in shown.iter().enumerate() {
                let corner = (
                    column * number as f64 + cell * place as f64 + margin,
                    lane * row as f64 + margin,
                );
                let width = |part: f64| {
                    let output = pen.output(part * hand.force_gf, side);
                    zoom * document.scale.width(output)
                };
                let drawn = figure.ink(corner, room, width);
                strokes.extend(drawn.map(|points| InkStroke { points, colour }));
            }
        }
    }
    image(pixels, &strokes, theme)
}

/// What strokes of a side are drawn in.
pub(crate) fn ink(side: Side) -> Role {
    match side {
        Side::Without => Role::QuietInk,
        Side::With => Role::Curve,
    }
}

/// Strokes as an image of the window.
pub(crate) fn image(pixels: [u32; 2], strokes: &[InkStroke], theme: Theme) -> Option<ColorImage> {
    let bytes = ink_picture(
        (pixels[0], pixels[1]),
        strokes,
        tokens::rgb(Role::Ground, theme),
    )?;
    let size = pixels.map(|side| side as usize);
    Some(ColorImage::from_rgba_premultiplied(size, &bytes))
}
