//! A pad to draw on. Force comes from the window where it delivers any, else from the pointer's speed or a
//! slider; the pad says which.

use egui::{Event, Rect, RichText, Sense, Ui};
use evenhand_preview::{InkPoint, InkStroke, Role, Side};

use crate::cached_picture::CachedPicture;
use crate::editor::Editor;
use crate::fields::describe;
use crate::strip::{Curves, image, ink};
use crate::tokens;
use crate::units::force_text;

/// A pointer this fast, points a second, presses at the least part of the slider's force.
const FAST: f32 = 1400.0;
const LEAST_PART: f64 = 0.15;
/// How much of a new speed counts at once: hands do not change force in a frame.
const SMOOTH: f64 = 0.25;
/// Most points that are kept; the oldest strokes go first.
const MOST_POINTS: usize = 20_000;

/// Where force comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Source {
    /// The window.
    Window,
    /// The pointer's speed: slow is firm.
    #[default]
    Speed,
    /// The slider alone.
    Slider,
}

/// What the pad remembers.
pub(crate) struct Pad {
    /// Strokes: place from the pad's corner, and force, gf.
    strokes: Vec<Vec<(f32, f32, f64)>>,
    force_gf: f64,
    by_speed: bool,
    source: Source,
    part: f64,
    without: bool,
    picture: CachedPicture,
}

impl Default for Pad {
    fn default() -> Self {
        Self {
            strokes: Vec::new(),
            force_gf: 0.0,
            by_speed: true,
            source: Source::Speed,
            part: 1.0,
            without: false,
            picture: CachedPicture::default(),
        }
    }
}

impl Editor {
    /// The pad with what it draws and says.
    pub(crate) fn pad(&mut self, ui: &mut Ui) {
        let hands = self.session.document().hands.iter();
        let firm = hands.map(|hand| hand.force_gf).fold(1.0, f64::max);
        let pad = &mut self.view.pad;
        if pad.force_gf <= 0.0 {
            pad.force_gf = firm;
        }
        ui.horizontal(|ui| {
            ui.label(RichText::new("Pad").strong());
            ui.checkbox(&mut pad.without, "without")
                .on_hover_text("Draw as without the map");
            ui.checkbox(&mut pad.by_speed, "speed")
                .on_hover_text("Without force from the window: slow is firm, fast is light");
            if ui.button("Clear").clicked() {
                pad.strokes.clear();
            }
        });
        let unit = self.view.unit;
        ui.horizontal(|ui| {
            ui.spacing_mut().slider_width = (ui.available_width() - 150.0).clamp(40.0, 90.0);
            let label = ui.label("force");
            ui.add(egui::Slider::new(&mut pad.force_gf, 1.0..=1.2 * firm).show_value(false))
                .labelled_by(label.id);
            let from = match pad.source {
                Source::Window => "from the window".to_owned(),
                Source::Speed => format!("{}, speed", force_text(pad.force_gf, unit)),
                Source::Slider => force_text(pad.force_gf, unit),
            };
            ui.label(RichText::new(from).weak());
        });
        let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::drag());
        describe(&response, egui::Role::Image, "Pad to draw on");
        self.draw_on_pad(ui, rect, &response);
        self.paint_pad(ui, rect);
    }

    fn draw_on_pad(&mut self, ui: &Ui, rect: Rect, response: &egui::Response) {
        let delivered = ui.input(|input| {
            input.events.iter().rev().find_map(|event| match event {
                Event::Touch { force, .. } => Some(*force),
                _ => None,
            })
        });
        let speed = ui.input(|input| input.pointer.velocity().length());
        // The window's force runs from 0 to 1, the slider says what 1 stands for.
        let pad = &mut self.view.pad;
        let (source, part) = match delivered.flatten() {
            Some(force) => (Source::Window, f64::from(force)),
            None if pad.by_speed => {
                let part = f64::from(1.0 - speed / FAST).clamp(LEAST_PART, 1.0);
                (Source::Speed, pad.part + SMOOTH * (part - pad.part))
            }
            None => (Source::Slider, 1.0),
        };
        if delivered.is_some() || !response.dragged() || pad.source != Source::Window {
            pad.source = source;
        }
        if response.drag_started() {
            pad.strokes.push(Vec::new());
            pad.part = LEAST_PART;
        }
        if response.dragged()
            && let Some(pointer) = response.interact_pointer_pos()
            && let Some(stroke) = pad.strokes.last_mut()
        {
            pad.part = part;
            let inside = rect.clamp(pointer) - rect.min;
            let force = pad.force_gf * part;
            let last = stroke.last().map(|(x, y, _)| (*x, *y));
            if last != Some((inside.x, inside.y)) {
                stroke.push((inside.x, inside.y, force));
            }
        }
        while pad.strokes.iter().map(Vec::len).sum::<usize>() > MOST_POINTS {
            pad.strokes.remove(0);
        }
    }

    fn paint_pad(&mut self, ui: &Ui, rect: Rect) {
        let theme = tokens::theme(ui.visuals().dark_mode);
        let document = self.session.document();
        let points: usize = self.view.pad.strokes.iter().map(Vec::len).sum();
        let content = format!(
            "{points} {} {theme:?} {:?} {:?} {:?}",
            self.view.pad.without, document.points, document.exponent, document.scale
        );
        let zoom = f64::from(ui.ctx().pixels_per_point());
        let (session, pad) = (&self.session, &mut self.view.pad);
        let side = if pad.without {
            Side::Without
        } else {
            Side::With
        };
        let drawn = &pad.strokes;
        pad.picture.paint(ui, rect, &content, |pixels| {
            let curves = Curves::of(session)?;
            let (pen, widths) = (curves.pen(session), session.document().scale);
            let strokes: Vec<InkStroke> = drawn
                .iter()
                .map(|stroke| InkStroke {
                    points: stroke
                        .iter()
                        .map(|(x, y, force)| InkPoint {
                            x: f64::from(*x) * zoom,
                            y: f64::from(*y) * zoom,
                            width: zoom * widths.width(pen.output(*force, side)),
                        })
                        .collect(),
                    colour: tokens::rgb(ink(side), theme),
                })
                .collect();
            image(pixels, &strokes, theme)
        });
        let edge = egui::Stroke::new(1.0, tokens::colour(Role::Axis, theme));
        ui.painter()
            .rect_stroke(rect, 3.0, edge, egui::StrokeKind::Inside);
        if self.view.pad.strokes.is_empty() {
            ui.painter().text(
                rect.center(),
                egui::Align2::CENTER_CENTER,
                "draw here",
                egui::FontId::proportional(12.5),
                tokens::colour(Role::QuietInk, theme),
            );
        }
    }
}
