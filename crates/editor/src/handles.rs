//! What is dragged on the chart: control points, and the ends and the shape of the wanted result.

use egui::{
    Color32, EventFilter, Key, Modifiers, Pos2, Rect, Response, Sense, Shape, Stroke, Ui, Vec2,
    WidgetInfo, pos2,
};
use evenhand_inversion::{NamedShape, TargetShape};
use evenhand_measurement::Force;
use evenhand_preview::{QuadrantPlaces, Role as Ink, Theme};
use evenhand_receiver::{ControlPoint, freedom};

use crate::chart::{at, axial_part};
use crate::document::Command;
use crate::editor::Editor;
use crate::tokens;
use crate::units::force_text;

/// More points than this are edited in the table only.
pub(crate) const MOST_HANDLES: usize = 64;
/// Exponents that the shape is dragged between.
const SHAPES: (f64, f64) = (0.2, 5.0);

/// Shows all handles and does what is done to them.
pub(crate) fn show(
    editor: &mut Editor,
    ui: &mut Ui,
    places: &QuadrantPlaces,
    theme: Theme,
    end: f64,
) {
    let mut is_dragged = point_handles(editor, ui, places, theme);
    is_dragged |= wanted_handles(editor, ui, places, theme, end);
    if is_dragged {
        editor.view.held_force_end.get_or_insert(end);
    } else {
        editor.view.held_force_end = None;
    }
}

fn point_handles(editor: &mut Editor, ui: &mut Ui, places: &QuadrantPlaces, theme: Theme) -> bool {
    let count = editor.session.document().points.len();
    if count > MOST_HANDLES {
        return false;
    }
    let mut is_dragged = false;
    for index in 0..count {
        let Some(point) = editor.session.document().points.get(index).copied() else {
            break;
        };
        let centre = at(places.map(point.input, point.output));
        // Points that stay where they are leave room to those near them.
        let (reach, sense) = match is_free(editor, index) {
            (false, false) => (tokens::POINT_RADIUS, Sense::click()),
            _ => (tokens::POINT_REACH, Sense::click_and_drag()),
        };
        let response = handle(ui, ("point", index), centre, reach, sense);
        let is_locked = editor.session.document().is_locked(index);
        let words = point_words(editor, index, point, is_locked);
        response.widget_info(|| WidgetInfo::slider(true, 100.0 * point.output, &words));
        paint_point(ui, centre, &response, is_locked, theme);
        is_dragged |= response.dragged() || response.drag_stopped();
        if let Some(middle) = dragged(editor, &response, centre) {
            let (input, output) = places.map_at(middle);
            let to = ControlPoint::new(input, output);
            editor.session.apply(Command::MovePoint { index, to });
        }
        point_keys(editor, ui, &response, index, point);
        response.on_hover_text(
            "Drag it, or move it by arrow keys (Shift leaps). Space locks, Delete takes it away.",
        );
    }
    is_dragged
}

fn point_words(editor: &Editor, index: usize, point: ControlPoint, is_locked: bool) -> String {
    let count = editor.session.document().points.len();
    format!(
        "Control point {} of {count}: input {:.1} %, output {:.1} %{}",
        index + 1,
        100.0 * point.input,
        100.0 * point.output,
        if is_locked { ", locked" } else { "" }
    )
}

fn handle(
    ui: &Ui,
    name: impl std::hash::Hash + std::fmt::Debug,
    centre: Pos2,
    reach: f32,
    sense: Sense,
) -> Response {
    let rect = Rect::from_center_size(centre, Vec2::splat(2.0 * reach));
    ui.interact(rect, ui.scope_id().with(name), sense)
}

fn paint_point(ui: &Ui, centre: Pos2, response: &Response, is_locked: bool, theme: Theme) {
    let colour = tokens::colour(Ink::Curve, theme);
    let ground = tokens::colour(Ink::Ground, theme);
    focus_ring(ui, centre, response, theme);
    let radius = tokens::POINT_RADIUS + if response.hovered() { 1.5 } else { 0.0 };
    let painter = ui.painter();
    if is_locked {
        // A square says that it stays, whatever the colour.
        let square = Rect::from_center_size(centre, Vec2::splat(2.0 * radius));
        painter.rect_filled(square, 1.0, colour);
        painter.rect_filled(square.shrink(radius * 0.55), 1.0, ground);
    } else {
        painter.circle_filled(centre, radius, ground);
        painter.circle_stroke(centre, radius, Stroke::new(tokens::LINE, colour));
    }
}

fn focus_ring(ui: &Ui, centre: Pos2, response: &Response, theme: Theme) {
    if response.has_focus() {
        let stroke = Stroke::new(tokens::LINE, tokens::colour(Ink::Ink, theme));
        ui.painter()
            .circle_stroke(centre, tokens::FOCUS_RADIUS, stroke);
    }
}

/// Takes hold of what begins to be dragged; the place of its middle while it is dragged.
fn dragged(editor: &mut Editor, response: &Response, centre: Pos2) -> Option<(f64, f64)> {
    if response.drag_started()
        && let Some(pointer) = response.interact_pointer_pos()
    {
        editor.view.grip = centre - pointer + response.drag_delta();
        response.request_focus();
    }
    if response.drag_stopped() {
        editor.session.end_gesture();
    }
    if !response.dragged() {
        return None;
    }
    let middle = response.interact_pointer_pos()? + editor.view.grip;
    Some((f64::from(middle.x), f64::from(middle.y)))
}

/// Keys that move what has the focus, as steps to the right and upwards.
fn arrows(ui: &Ui, response: &Response) -> Option<(f64, f64)> {
    if !response.has_focus() {
        return None;
    }
    let keys = EventFilter {
        horizontal_arrows: true,
        vertical_arrows: true,
        ..EventFilter::default()
    };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, keys));
    let mut moved = (0.0, 0.0);
    ui.input_mut(|input| {
        // Without Shift last: it would take the others too.
        for (modifiers, leap) in [(Modifiers::SHIFT, tokens::KEY_LEAP), (Modifiers::NONE, 1.0)] {
            for (key, step) in [
                (Key::ArrowRight, (1.0, 0.0)),
                (Key::ArrowLeft, (-1.0, 0.0)),
                (Key::ArrowUp, (0.0, 1.0)),
                (Key::ArrowDown, (0.0, -1.0)),
            ] {
                #[expect(clippy::cast_precision_loss, reason = "a few key presses")]
                let count = input.count_and_consume_key(modifiers, key) as f64;
                moved.0 += count * leap * step.0;
                moved.1 += count * leap * step.1;
            }
        }
    });
    (moved != (0.0, 0.0)).then_some(moved)
}

fn point_keys(
    editor: &mut Editor,
    ui: &Ui,
    response: &Response,
    index: usize,
    point: ControlPoint,
) {
    if let Some((right, up)) = arrows(ui, response) {
        let grid = editor.session.document().profile.grid();
        let step =
            |steps: Option<u32>| steps.map_or(tokens::KEY_STEP, |steps| 1.0 / f64::from(steps));
        // Outputs grow to the left.
        let to = ControlPoint::new(
            point.input + up * step(grid.map(|grid| grid.input_steps)),
            point.output - right * step(grid.map(|grid| grid.output_steps)),
        );
        editor.session.perform(Command::MovePoint { index, to });
    }
    if !response.has_focus() {
        return;
    }
    let pressed = |key: Key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
    if editor.session.document().is_lockable() && pressed(Key::Space) {
        let locked = !editor.session.document().is_locked(index);
        editor.session.perform(Command::SetLock { index, locked });
    } else if pressed(Key::Delete) || pressed(Key::Backspace) {
        editor.session.perform(Command::RemovePoint { index });
    }
}

/// Full-at, light-at and the shape between, dragged on the wanted result.
fn wanted_handles(
    editor: &mut Editor,
    ui: &mut Ui,
    places: &QuadrantPlaces,
    theme: Theme,
    end: f64,
) -> bool {
    let unit = editor.view.unit;
    let part = axial_part(&editor.session);
    let document = editor.session.document();
    let scale = document.scale;
    let figures = editor.session.figures();
    let (light, full) = (figures.built.light_at.gf(), figures.built.full_at.gf());
    // The two are kept apart, also on a stylus that is full at a touch.
    let least = (0.02 * full).min(1.0);
    let requested_full = document.request.full_at.gf().min(end);
    let wanted = |editor: &Editor, force: f64| editor.session.figures().wanted(force, part);
    let place = |force: f64, output: f64| {
        let width = scale.width(output.max(1e-9));
        at(places.result(force, width))
    };
    let mut is_dragged = false;

    let set_full = |force: f64| Command::SetFullAt(Force::from_gf(force));
    let words = format!("Full output at {}", force_text(requested_full, unit));
    let centre = place(requested_full, 1.0);
    let handle = ("full", requested_full, &*words);
    let moved = wanted_handle(editor, ui, theme, centre, handle, &mut is_dragged);
    if let Some(middle) = moved.to {
        let force = places.result_at(middle).0.min(end).max(light + least);
        editor.session.apply(set_full(tidy(force, full)));
    }
    if let Some((right, _)) = moved.by_keys {
        let force = requested_full + right * tokens::KEY_FORCE_GF;
        editor.session.perform(set_full(force.max(light + least)));
    }

    let set_light = |force: f64| Command::SetLightAt(Some(Force::from_gf(force)));
    let words = format!("Output leaves 0 at {}", force_text(light, unit));
    let centre = place(light, wanted(editor, light));
    let handle = ("light", light, &*words);
    let moved = wanted_handle(editor, ui, theme, centre, handle, &mut is_dragged);
    if let Some(middle) = moved.to {
        let force = places.result_at(middle).0.min(full - least).max(0.0);
        editor.session.apply(set_light(tidy(force, full)));
    }
    if let Some((right, _)) = moved.by_keys {
        let force = light + right * tokens::KEY_FORCE_GF;
        editor
            .session
            .perform(set_light(force.min(full - least).max(0.0)));
    }

    let middle_force = f64::midpoint(light, full);
    let output = wanted(editor, middle_force);
    let percent = 100.0 * output;
    let name = editor.session.document().request.target.label.clone();
    let force = force_text(middle_force, unit);
    let words = format!("Shape {name}: {percent:.0} % at {force}");
    let centre = place(middle_force, output);
    let handle = ("shape", percent, &*words);
    let moved = wanted_handle(editor, ui, theme, centre, handle, &mut is_dragged);
    if let Some(middle) = moved.to {
        let width = places.result_at(middle).1;
        if let Some(target) = shape_through(output_of(scale, width), editor) {
            editor.session.apply(Command::SetTarget(target));
        }
    }
    if let Some((_, up)) = moved.by_keys {
        // Wider is further down.
        let target = shape_through(output - up * tokens::KEY_STEP * 2.0, editor);
        if let Some(target) = target {
            editor.session.perform(Command::SetTarget(target));
        }
    }
    is_dragged
}

/// What was done to a handle.
struct Moved {
    /// The place that its middle was dragged to.
    to: Option<(f64, f64)>,
    /// Steps of keys to the right and upwards.
    by_keys: Option<(f64, f64)>,
}

/// Shows a handle of the wanted result with its name, its value and what readers of screens say of it.
fn wanted_handle(
    editor: &mut Editor,
    ui: &Ui,
    theme: Theme,
    centre: Pos2,
    (name, value, words): (&str, f64, &str),
    is_dragged: &mut bool,
) -> Moved {
    let sense = Sense::click_and_drag();
    let response = handle(ui, name, centre, tokens::POINT_REACH, sense);
    response.widget_info(|| WidgetInfo::slider(true, value, words));
    paint_wanted(ui, centre, &response, name, theme);
    *is_dragged |= response.dragged() || response.drag_stopped();
    Moved {
        to: dragged(editor, &response, centre),
        by_keys: arrows(ui, &response),
    }
}

fn paint_wanted(ui: &Ui, centre: Pos2, response: &Response, name: &str, theme: Theme) {
    focus_ring(ui, centre, response, theme);
    let radius = tokens::POINT_RADIUS + if response.hovered() { 2.5 } else { 1.0 };
    let colour = tokens::colour(Ink::Ink, theme);
    let corners = [(0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0)]
        .map(|(x, y)| pos2(centre.x + radius * x, centre.y + radius * y));
    let fill = tokens::colour(Ink::Ground, theme);
    let edge = Stroke::new(tokens::LINE, colour);
    let diamond = Shape::convex_polygon(corners.to_vec(), fill, edge);
    ui.painter().add(diamond);
    let font = egui::FontId::proportional(11.5);
    let place = centre + egui::vec2(radius + 4.0, -radius);
    let shadow = Color32::from_rgba_unmultiplied(fill.r(), fill.g(), fill.b(), 200);
    let words = ui.painter().layout_no_wrap(name.to_owned(), font, colour);
    let mut rect = Rect::from_min_size(place - egui::vec2(0.0, words.size().y), words.size());
    // Near the right border the name stands to the left.
    if rect.right() > ui.max_rect().right() - 8.0 {
        rect = rect.translate(egui::vec2(-rect.width() - 2.0 * radius - 8.0, 0.0));
    }
    ui.painter().rect_filled(rect.expand(1.0), 2.0, shadow);
    ui.painter().galley(rect.min, words, colour);
}

/// A force as a hand would choose it.
fn tidy(force_gf: f64, full_gf: f64) -> f64 {
    let step = if full_gf > 20.0 { 0.5 } else { 0.01 };
    (force_gf / step).round() * step
}

/// The output at which a stroke is so wide.
fn output_of(scale: evenhand_preview::WidthScale, width: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if scale.width(middle) < width {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// The power that has an output half way from light-at to full-at.
fn shape_through(output: f64, editor: &Editor) -> Option<NamedShape> {
    let floor = editor.session.document().request.output_floor;
    let part = ((output - floor) / (1.0 - floor)).clamp(0.02, 0.98);
    let exponent = (part.ln() / 0.5_f64.ln()).clamp(SHAPES.0, SHAPES.1);
    let exponent = (100.0 * exponent).round() / 100.0;
    let shape = if exponent == 1.0 {
        TargetShape::Linear
    } else {
        TargetShape::power(exponent).ok()?
    };
    Some(NamedShape {
        label: shape.to_string(),
        shape,
    })
}

/// Whether a point can be moved at all.
pub(crate) fn is_free(editor: &Editor, index: usize) -> (bool, bool) {
    let document = editor.session.document();
    let free = freedom(&document.profile, &document.points, index);
    (free.input, free.output)
}
