//! What scatter the map makes of a stylus's noise and a hand's tremor.

use crate::canvas::{Canvas, Paint};
use crate::heading::draw_paragraph;
use crate::label::{Anchor, Label};
use crate::pen::Side;
use crate::stroke_lanes::ink;
use crate::stroke_sheet::StrokeSheet;
use crate::ticks::Ticks;
use crate::tokens::{
    CURVE_WIDTH, HAIRLINE, LABEL_SIZE, MARGIN, NOISE_HEIGHT, PLOT_LEFT, PLOT_RIGHT, SMALL_SIZE,
    TICK_LENGTH, TICK_SIZE,
};
use crate::words::{clean, shorten};

const STEPS: u32 = 240;
/// Outputs at which the gain is given, percent.
const OUTPUTS: [f64; 5] = [10.0, 25.0, 50.0, 75.0, 90.0];
/// The axis goes on beyond the firmest hand by this factor.
const BEYOND: f64 = 1.15;

/// Draws the plot below `top`; gives the height it took.
pub(crate) fn draw(canvas: &mut Canvas, sheet: &StrokeSheet<'_>, top: f64) -> f64 {
    let palette = canvas.palette;
    let firmest = sheet
        .shown_hands()
        .map(|hand| hand.force_gf)
        .fold(0.0, f64::max);
    if firmest <= 0.0 {
        return 0.0;
    }
    let title = "Noise and tremor: width against force, with bands that hold 19 of 20 touches";
    canvas.ink_text(Anchor::Start, (MARGIN, top + LABEL_SIZE), LABEL_SIZE, title);
    let ticks = Ticks::cutting(BEYOND * firmest, 10.0);
    let end = BEYOND * firmest;
    let widest = sheet.scale.greatest();
    let plot_top = top + 1.4 * LABEL_SIZE + 1.8 * TICK_SIZE;
    let bottom = plot_top + NOISE_HEIGHT;
    let x = |force: f64| PLOT_LEFT + (PLOT_RIGHT - PLOT_LEFT) * force / end;
    let y = |width: f64| bottom - NOISE_HEIGHT * width / widest;
    canvas.open_group("grid");
    for tick in ticks.up_to(end) {
        canvas.grid_line((x(tick), plot_top), (x(tick), bottom));
        let at = (x(tick), bottom + TICK_LENGTH + 1.1 * TICK_SIZE);
        canvas.quiet_text(Anchor::Middle, at, TICK_SIZE, ticks.label(tick));
    }
    let width_ticks = Ticks::cutting(widest, 5.0);
    for tick in width_ticks.up_to(widest) {
        canvas.grid_line((PLOT_LEFT, y(tick)), (PLOT_RIGHT, y(tick)));
        let at = (PLOT_LEFT - TICK_LENGTH - 4.0, y(tick) + 0.35 * TICK_SIZE);
        canvas.quiet_text(Anchor::End, at, TICK_SIZE, width_ticks.label(tick));
    }
    canvas.close_group();
    canvas.axis_line((PLOT_LEFT, bottom), (PLOT_RIGHT, bottom));
    canvas.axis_line((PLOT_LEFT, plot_top), (PLOT_LEFT, bottom));
    let mut taken = f64::NEG_INFINITY;
    for hand in sheet.shown_hands() {
        let place = x(hand.force_gf);
        let (top, foot) = ((place, plot_top), (place, bottom));
        canvas.dashed_curve([top, foot], palette.axis, HAIRLINE);
        let name = shorten(&clean(&hand.name), TICK_SIZE, 110.0);
        let name = Label::new(Anchor::Middle, (place, plot_top - 5.0), TICK_SIZE, name);
        let (left, right) = name.extent();
        // Names that would overlap are left to the lanes above.
        if left > taken + 6.0 && left > PLOT_LEFT - 8.0 && right < PLOT_RIGHT + 30.0 {
            canvas.text(&name, palette.quiet_ink);
            taken = right;
        }
    }
    for side in Side::BOTH {
        draw_band(canvas, sheet, side, end, (&x, &y));
    }
    for side in Side::BOTH {
        let line = forces(end).map(|force| (x(force), y(sheet.width(force, side))));
        // In grey print both colours are alike.
        match side {
            Side::Without => canvas.dashed_curve(line, ink(side, palette), CURVE_WIDTH),
            Side::With => canvas.curve(line, ink(side, palette), CURVE_WIDTH),
        }
    }
    let middle = f64::midpoint(PLOT_LEFT, PLOT_RIGHT);
    let at = (middle, bottom + TICK_LENGTH + 2.6 * TICK_SIZE);
    canvas.ink_text(Anchor::Middle, at, TICK_SIZE, "force of the hand, gf");
    let at = (MARGIN + 14.0, f64::midpoint(plot_top, bottom));
    let width_title = Label::new(Anchor::Middle, at, TICK_SIZE, "width");
    canvas.upward_text(&width_title, palette.ink);
    draw_side_names(canvas, sheet, end, (&x, &y));
    let place = bottom + TICK_LENGTH + 3.2 * TICK_SIZE;
    let note = draw_paragraph(canvas, &gains(sheet), place, SMALL_SIZE, palette.quiet_ink);
    place + note - top
}

type Places<'p> = (&'p dyn Fn(f64) -> f64, &'p dyn Fn(f64) -> f64);

fn forces(end: f64) -> impl DoubleEndedIterator<Item = f64> {
    (0..=STEPS).map(move |step| end * f64::from(step) / f64::from(STEPS))
}

fn draw_band(
    canvas: &mut Canvas,
    sheet: &StrokeSheet<'_>,
    side: Side,
    end: f64,
    (x, y): Places<'_>,
) {
    let palette = canvas.palette;
    let band = |force: f64| sheet.pen.output_band(force, &sheet.scatter, side);
    let below = forces(end).map(|force| (x(force), y(sheet.scale.width(band(force).0))));
    let above = forces(end).map(|force| (x(force), y(sheet.scale.width(band(force).1))));
    let (fill, edge) = match side {
        Side::Without => (palette.strip_odd, palette.strip_here),
        Side::With => (palette.interval_fill, palette.interval_edge),
    };
    canvas.area(below, above, Paint::edged(fill, edge, HAIRLINE));
}

/// Names both curves where they lie furthest apart.
fn draw_side_names(canvas: &mut Canvas, sheet: &StrokeSheet<'_>, end: f64, (x, y): Places<'_>) {
    let palette = canvas.palette;
    let width = |force: f64, side: Side| sheet.width(force, side);
    let apart = |force: f64| (width(force, Side::Without) - width(force, Side::With)).abs();
    // Near the top the names of forces stand.
    let is_free = |width: f64| width < 0.88 * sheet.scale.greatest();
    // Names would run into the line of a named force.
    let is_clear = |force: f64| {
        sheet
            .shown_hands()
            .all(|hand| (x(hand.force_gf) - x(force)).abs() > 72.0)
    };
    let places: Vec<f64> = forces(end)
        .filter(|force| (0.12..0.7).contains(&(force / end)))
        .filter(|force| Side::BOTH.iter().all(|side| is_free(width(*force, *side))))
        .collect();
    let furthest = |places: &mut dyn Iterator<Item = f64>| {
        places.max_by(|a, b| apart(*a).total_cmp(&apart(*b)))
    };
    let clear = furthest(&mut places.iter().copied().filter(|force| is_clear(*force)));
    let Some(widest) = clear.or_else(|| furthest(&mut places.iter().copied())) else {
        return;
    };
    let upper = if width(widest, Side::Without) > width(widest, Side::With) {
        Side::Without
    } else {
        Side::With
    };
    for side in Side::BOTH {
        let (line_x, line_y) = (x(widest), y(width(widest, side)));
        // The upper curve is named to its left, the lower to its right: both rise.
        let (anchor, at) = if side == upper {
            (Anchor::End, (line_x - 12.0, line_y - 8.0))
        } else {
            let below = (line_y + 20.0).min(y(0.0) - 6.0);
            (Anchor::Start, (line_x + 12.0, below))
        };
        let label = Label::new(anchor, at, TICK_SIZE, side.as_str());
        let label = label.kept_within(PLOT_LEFT + 4.0, PLOT_RIGHT - 4.0);
        canvas.text(&label, ink(side, palette));
    }
}

/// How much the map enlarges noise, in words.
fn gains(sheet: &StrokeSheet<'_>) -> String {
    let gains: Vec<String> = OUTPUTS
        .into_iter()
        .filter_map(|percent| {
            let gain = sheet
                .pen
                .gain(percent / 100.0, &sheet.scatter, Side::With)?;
            Some(format!("{gain:.2} at {percent:.0} %"))
        })
        .collect();
    format!(
        "Readings scatter by {:.2} %, forces by {:.1} %. With the map noise of readings is multiplied by {} of output.",
        100.0 * sheet.scatter.reading,
        100.0 * sheet.scatter.tremor,
        gains.join(", ")
    )
}
