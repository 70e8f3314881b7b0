//! Four quadrants that share their axes, after the graphic method of tone reproduction (L. A. Jones, 1920):
//! response upper right, map upper left, brush lower left, result lower right. Following a force from the
//! response through map and brush to the result and back closes a rectangle.

use crate::label::{Anchor, Label};
use crate::quadrant_places::QuadrantPlaces;
use crate::response_chart::CurvePoint;
use crate::ticks::Ticks;
use crate::width_scale::WidthScale;

/// Standard gravity in newtons for one gf (3rd CGPM, 1901).
const NEWTONS_PER_GF: f64 = 9.806_65e-3;
/// Points of the brush's curve.
const BRUSH_STEPS: u32 = 48;

/// Unit of the force axis.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ForceScale {
    /// Gram-force.
    #[default]
    Gf,
    /// Newton.
    Newton,
}

impl ForceScale {
    /// Its sign.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Gf => "gf",
            Self::Newton => "N",
        }
    }

    /// Units in one gf.
    #[must_use]
    pub const fn per_gf(self) -> f64 {
        match self {
            Self::Gf => 1.0,
            Self::Newton => NEWTONS_PER_GF,
        }
    }
}

/// A force followed all around.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tracer {
    /// Force, gf.
    pub force_gf: f64,
    /// Reading, 0..1.
    pub reading: f64,
    /// Output, 0..1.
    pub output: f64,
    /// Width of the stroke.
    pub width: f64,
}

/// What the chart shows; forces as the hand means them, gf.
#[derive(Clone, Debug, PartialEq)]
pub struct QuadrantChart {
    /// End of the force axis, gf.
    pub force_end_gf: f64,
    /// Unit of the force axis.
    pub unit: ForceScale,
    /// Samples: force and reading.
    pub samples: Vec<(f64, f64)>,
    /// Response with its band.
    pub response: Vec<CurvePoint>,
    /// Ideal map: reading and output.
    pub ideal: Vec<(f64, f64)>,
    /// Compiled map: reading and output.
    pub map: Vec<(f64, f64)>,
    /// Control points: reading and output.
    pub control_points: Vec<(f64, f64)>,
    /// Widths.
    pub brush: WidthScale,
    /// Wanted: force and output.
    pub wanted: Vec<(f64, f64)>,
    /// Achieved: force and output.
    pub achieved: Vec<(f64, f64)>,
    /// The force that is followed.
    pub tracer: Option<Tracer>,
}

/// What a mark is of; the theme says in which colour it is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// The ground of all.
    Ground,
    /// Grid lines.
    Grid,
    /// Axes and frames.
    Axis,
    /// Words that matter.
    Ink,
    /// All other words.
    QuietInk,
    /// Samples.
    Sample,
    /// The response and the compiled map.
    Curve,
    /// The band around the response.
    Band,
    /// What is ideal or wanted.
    Wanted,
    /// The tracer.
    Tracer,
}

impl Role {
    /// Its colour as `#rrggbb`.
    #[must_use]
    pub fn colour(self, theme: crate::Theme) -> &'static str {
        let palette = theme.palette();
        match self {
            Self::Ground => palette.background,
            Self::Grid => palette.grid,
            Self::Axis => palette.axis,
            Self::Ink => palette.ink,
            Self::QuietInk => palette.quiet_ink,
            Self::Sample => palette.filled_mark,
            Self::Curve => palette.curve,
            Self::Band => palette.interval_fill,
            Self::Wanted => palette.hollow_mark,
            Self::Tracer => palette.flag,
        }
    }
}

/// Something to draw.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// A line through points.
    Line {
        /// Its corners.
        points: Vec<(f64, f64)>,
        /// What it is of.
        role: Role,
        /// How wide.
        width: f64,
        /// Whether in dashes.
        dashed: bool,
    },
    /// The room between two lines with corners at the same places along the force axis.
    Band {
        /// One side.
        upper: Vec<(f64, f64)>,
        /// The other.
        lower: Vec<(f64, f64)>,
    },
    /// A filled dot.
    Dot {
        /// Its centre.
        at: (f64, f64),
        /// Its radius.
        radius: f64,
        /// What it is of.
        role: Role,
    },
    /// A word.
    Text {
        /// The word at its place.
        label: Label,
        /// What it is of.
        role: Role,
    },
}

const SMALL: f64 = 11.0;
const NAME: f64 = 12.5;
const TICK: f64 = 4.0;

/// Everything but control points and what is dragged, in the order in which it is drawn.
#[must_use]
pub fn quadrant_marks(chart: &QuadrantChart, places: &QuadrantPlaces) -> Vec<Mark> {
    let mut marks = Vec::new();
    grid(chart, places, &mut marks);
    curves(chart, places, &mut marks);
    if let Some(tracer) = &chart.tracer {
        trace(tracer, places, &mut marks);
    }
    marks
}

fn line(points: Vec<(f64, f64)>, role: Role, width: f64, dashed: bool) -> Mark {
    Mark::Line {
        points,
        role,
        width,
        dashed,
    }
}

fn dot(at: (f64, f64), radius: f64, role: Role) -> Mark {
    Mark::Dot { at, radius, role }
}

fn text(anchor: Anchor, at: (f64, f64), size: f64, text: impl Into<String>, role: Role) -> Mark {
    let label = Label::new(anchor, at, size, text);
    Mark::Text { label, role }
}

fn grid(chart: &QuadrantChart, places: &QuadrantPlaces, marks: &mut Vec<Mark>) {
    let (left, right, top, bottom) = (places.left, places.right, places.top, places.bottom);
    let (cx, cy) = places.centre;
    let mut column = |x: f64, label: Option<String>| {
        marks.push(line(vec![(x, top), (x, bottom)], Role::Grid, 1.0, false));
        let at = (x, bottom + TICK + SMALL);
        let number = |label| text(Anchor::Middle, at, SMALL, label, Role::QuietInk);
        marks.extend(label.map(number));
    };
    let per_gf = chart.unit.per_gf();
    let span = chart.force_end_gf * per_gf;
    let crowd = ((right - cx) / 56.0).clamp(2.0, 10.0);
    let forces = Ticks::cutting(span.max(f64::MIN_POSITIVE), crowd);
    for tick in forces.up_to(span) {
        column(places.force_x(tick / per_gf), Some(forces.label(tick)));
    }
    let parts = Ticks::cutting(100.0, ((cx - left) / 44.0).clamp(2.0, 5.0));
    for percent in parts.up_to(100.0) {
        let label = (percent > 0.0).then(|| parts.label(percent));
        column(places.output_x(percent / 100.0), label);
    }
    let mut row = |y: f64, label: Option<String>| {
        marks.push(line(vec![(left, y), (right, y)], Role::Grid, 1.0, false));
        let at = (left - TICK - 7.0, y + 0.35 * SMALL);
        let number = |label| text(Anchor::End, at, SMALL, label, Role::QuietInk);
        marks.extend(label.map(number));
    };
    let readings = Ticks::cutting(100.0, ((cy - top) / 30.0).clamp(2.0, 5.0));
    for percent in readings.up_to(100.0) {
        let y = places.reading_y(percent / 100.0);
        row(y, Some(readings.label(percent)));
    }
    let widest = chart.brush.greatest();
    let widths = Ticks::cutting(widest, ((bottom - cy) / 30.0).clamp(2.0, 5.0));
    for tick in widths.up_to(widest) {
        let label = (tick > 0.0).then(|| widths.label(tick));
        row(places.width_y(tick), label);
    }
    marks.push(line(vec![(left, cy), (right, cy)], Role::Axis, 1.4, false));
    marks.push(line(vec![(cx, top), (cx, bottom)], Role::Axis, 1.4, false));
    let below = bottom + TICK + 2.25 * SMALL;
    let force = format!("force, {} →", chart.unit.as_str());
    for (anchor, at, title) in [
        (Anchor::End, (right, below), force.as_str()),
        (Anchor::Start, (left, below), "← output, %"),
        (Anchor::Start, (left - 44.0, top - 11.0), "reading, % ↑"),
        (Anchor::Start, (left - 46.0, below), "↓ width"),
    ] {
        marks.push(text(anchor, at, SMALL, title, Role::Ink));
    }
    for (at, name) in [
        ((right - 6.0, cy - 8.0), "response"),
        ((cx - 8.0, top + NAME + 4.0), "map"),
        ((cx - 8.0, bottom - 8.0), "brush"),
        ((right - 6.0, cy + NAME + 6.0), "result"),
    ] {
        marks.push(text(Anchor::End, at, NAME, name, Role::QuietInk));
    }
}

fn curves(chart: &QuadrantChart, places: &QuadrantPlaces, marks: &mut Vec<Mark>) {
    let rows: Vec<&CurvePoint> = chart
        .response
        .iter()
        .filter(|row| row.force_gf <= chart.force_end_gf)
        .collect();
    let side = |value: fn(&CurvePoint) -> f64| -> Vec<(f64, f64)> {
        rows.iter()
            .map(|row| places.response(row.force_gf, value(row)))
            .collect()
    };
    marks.push(Mark::Band {
        upper: side(|row| row.high),
        lower: side(|row| row.low),
    });
    marks.push(line(side(|row| row.reported), Role::Curve, 2.0, false));
    for (force, reading) in &chart.samples {
        if *force <= chart.force_end_gf {
            marks.push(dot(places.response(*force, *reading), 2.4, Role::Sample));
        }
    }
    let map = |points: &[(f64, f64)]| -> Vec<(f64, f64)> {
        let points = points.iter();
        points
            .map(|(reading, output)| places.map(*reading, *output))
            .collect()
    };
    marks.push(line(map(&chart.ideal), Role::Wanted, 1.6, true));
    marks.push(line(map(&chart.map), Role::Curve, 2.0, false));
    let brush = (0..=BRUSH_STEPS).map(|step| {
        // From just above output 0, where the least width begins.
        let output = (f64::from(step) / f64::from(BRUSH_STEPS)).max(1e-9);
        places.brush(output, chart.brush.width(output))
    });
    marks.push(line(brush.collect(), Role::Curve, 2.0, false));
    let result = |points: &[(f64, f64)]| -> Vec<(f64, f64)> {
        points
            .iter()
            .filter(|(force, _)| *force <= chart.force_end_gf)
            .map(|(force, output)| places.result(*force, chart.brush.width(*output)))
            .collect()
    };
    marks.push(line(result(&chart.achieved), Role::Curve, 2.0, false));
    marks.push(line(result(&chart.wanted), Role::Wanted, 1.6, true));
}

fn trace(tracer: &Tracer, places: &QuadrantPlaces, marks: &mut Vec<Mark>) {
    let corners = [
        places.response(tracer.force_gf, tracer.reading),
        places.map(tracer.reading, tracer.output),
        places.brush(tracer.output, tracer.width),
        places.result(tracer.force_gf, tracer.width),
    ];
    let mut around = corners.to_vec();
    around.push(corners[0]);
    marks.push(line(around, Role::Tracer, 1.4, false));
    marks.extend(corners.map(|at| dot(at, 3.4, Role::Tracer)));
}
