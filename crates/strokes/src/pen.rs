//! From the traces of a document to strokes.

use evenhand_measurement::Force;
use evenhand_text::{Fault, Remedy, Setting, quoted};

use crate::channel::Channel;
use crate::formula::Values;
use crate::inkml::{Recording, Trace};
use crate::stroke::{PressUnit, Stroke, StrokePoint, Strokes};
use crate::wrong::Wrong;

/// How the values of F become presses.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Scale {
    /// Readings from one value to another.
    Range(f64, f64),
    /// Forces: gf for each unit.
    Force(f64),
}

impl Recording<'_> {
    /// The strokes of the traces drawn with the pen down, with the channel F as presses: forces where its
    /// unit is one of force, otherwise readings between its least and greatest value. `levels` stands in
    /// where the document gives no range. A value below the channel's threshold is a touch without a
    /// reading; an unknown value is that of the point before.
    ///
    /// # Errors
    /// A recording without the channel F or without a way to read it, a value out of its range, forces
    /// in one trace and readings in another, and a recording without a stroke.
    pub fn strokes(&self, levels: Option<u32>) -> Result<Strokes, Box<Fault>> {
        self.joined(levels)
            .map_err(|wrong| wrong.in_text(self.text))
    }

    fn joined(&self, levels: Option<u32>) -> Result<Strokes, Wrong> {
        let mut found: Option<Strokes> = None;
        let mut clock = 0.0;
        for (index, trace) in self.traces.iter().enumerate() {
            if trace.is_pen_up || trace.points.is_empty() {
                continue;
            }
            let drawn = drawn(trace, index + 1, levels, &mut clock).map_err(|error| Wrong {
                span: trace.span.clone(),
                ..error
            })?;
            let Drawn {
                strokes: parts,
                press_unit,
                levels,
            } = drawn;
            let has_places = ["X", "Y"].iter().all(|name| trace.channel(name).is_some());
            let strokes = found.get_or_insert_with(|| Strokes {
                strokes: Vec::new(),
                press_unit,
                levels,
                has_places,
                tells_touch: true,
                read_at: None,
                notes: Vec::new(),
            });
            if strokes.press_unit != press_unit {
                return Err(fault(
                    format!(
                        "trace {} holds another kind of F than those before",
                        index + 1
                    ),
                    "keep readings and forces in files of their own",
                ));
            }
            strokes.has_places &= has_places;
            strokes.strokes.extend(parts);
        }
        found
            .filter(|strokes| !strokes.is_empty())
            .ok_or_else(|| fault("no trace with the pen down", "record some strokes first"))
    }
}

impl Trace {
    fn channel(&self, name: &str) -> Option<(usize, &Channel)> {
        self.channels
            .iter()
            .enumerate()
            .find(|(_, channel)| channel.name == name)
    }
}

fn fault(found: impl Into<String>, remedy: impl Into<Remedy>) -> Wrong {
    Wrong::new(found, remedy, 0..0)
}

/// What a trace gives.
struct Drawn {
    /// One for each time that the nib touched.
    strokes: Vec<Stroke>,
    press_unit: PressUnit,
    levels: Option<u32>,
}

fn drawn(
    trace: &Trace,
    number: usize,
    levels: Option<u32>,
    clock: &mut f64,
) -> Result<Drawn, Wrong> {
    let Some((at, force)) = trace.channel("F") else {
        return Err(fault(
            format!("no channel F for the force of the tip in trace {number}"),
            "record with a program that writes the channel F",
        ));
    };
    let (scale, levels) = scale(force, levels)?;
    let time = match trace.channel("T") {
        Some((at, channel)) => Some((at, seconds(channel)?)),
        None => None,
    };
    let contact = trace.channel("S").map(|(at, _)| at);
    let step = trace.sample_rate.map(|rate| 1.0 / rate);
    let mut strokes = Vec::new();
    let mut open = Stroke::default();
    let mut last_force: Option<f64> = None;
    let mut last_time = f64::NEG_INFINITY;
    let mut place = (0.0, 0.0);
    for (index, values) in trace.points.iter().enumerate() {
        if contact.is_some_and(|at| values[at] == Some(0.0)) {
            // Off the surface: what follows is another stroke.
            if !open.points.is_empty() {
                strokes.push(std::mem::take(&mut open));
            }
            continue;
        }
        let Some(raw) = values[at].or(last_force) else {
            continue;
        };
        last_force = Some(raw);
        place = canvas(trace, values).unwrap_or(place);
        let time_s = match (time, step) {
            (Some((at, unit)), _) => values[at].map(|value| value * unit),
            (None, Some(step)) => Some(*clock + index as f64 * step),
            (None, None) => None,
        };
        if let Some(now) = time_s {
            if now < last_time {
                return Err(fault(
                    format!("a time of {now} s after one of {last_time} s in trace {number}"),
                    "write the points in order of time",
                ));
            }
            last_time = now;
        }
        let below = force.threshold.is_some_and(|threshold| raw < threshold);
        let press = if below {
            0.0
        } else {
            press(raw, scale, number)?
        };
        open.points.push(StrokePoint {
            x: place.0,
            y: place.1,
            time_s,
            press,
        });
    }
    if !open.points.is_empty() {
        strokes.push(open);
    }
    if let Some(step) = step {
        // Strokes without times of their own follow one another.
        *clock += step * trace.points.len() as f64 + 1.0;
    }
    let press_unit = match scale {
        Scale::Range(..) => PressUnit::Reading,
        Scale::Force(_) => PressUnit::ForceGf,
    };
    Ok(Drawn {
        strokes,
        press_unit,
        levels,
    })
}

fn press(raw: f64, scale: Scale, number: usize) -> Result<f64, Wrong> {
    match scale {
        Scale::Range(low, high) if (low..=high).contains(&raw) => Ok((raw - low) / (high - low)),
        Scale::Range(low, high) => Err(fault(
            format!("a force of {raw} in trace {number}, outside its range {low} to {high}"),
            Remedy::from("correct min and max of the channel F").or_set(Setting::Levels),
        )),
        Scale::Force(gf) if raw >= 0.0 => Ok(raw * gf),
        Scale::Force(_) => Err(fault(
            format!("a negative force of {raw} in trace {number}"),
            "write forces that press the nib as positive numbers",
        )),
    }
}

fn scale(force: &Channel, levels: Option<u32>) -> Result<(Scale, Option<u32>), Wrong> {
    let gf = match force.units.as_deref().map(str::trim) {
        Some("N") => Some(Force::from_newtons(1.0).gf()),
        Some("mN") => Some(Force::from_millinewtons(1.0).gf()),
        Some("gf" | "g") => Some(1.0),
        Some("%") => return Ok((Scale::Range(0.0, 100.0), levels)),
        None | Some("" | "dev") => None,
        Some(other) => {
            return Err(fault(
                format!("{} as the unit of the channel F", quoted(other)),
                "write N, mN or gf for forces, % or dev for readings",
            ));
        }
    };
    if let Some(gf) = gf {
        return Ok((Scale::Force(gf), None));
    }
    match (force.range, levels) {
        ((low, Some(high)), _) if high > low.unwrap_or(0.0) => {
            let low = low.unwrap_or(0.0);
            Ok((Scale::Range(low, high), counts(force, low, high).or(levels)))
        }
        (_, Some(levels)) => Ok((Scale::Range(0.0, f64::from(levels - 1)), Some(levels))),
        _ => Err(fault(
            "the channel F has neither a range nor a unit of force",
            Remedy::from("write max=\"…\" in its channel element").or_set(Setting::Levels),
        )),
    }
}

/// The number of levels of a channel of whole numbers.
fn counts(force: &Channel, low: f64, high: f64) -> Option<u32> {
    let is_whole = low.fract() == 0.0 && high.fract() == 0.0 && high - low >= 2.0;
    let is_counted = force.kind == crate::channel::ChannelKind::Integer && is_whole;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number within the range of the type"
    )]
    let levels = (high - low + 1.0).min(f64::from(u32::MAX)) as u32;
    is_counted.then_some(levels)
}

/// Seconds in a unit of the channel T; milliseconds where it names none.
fn seconds(channel: &Channel) -> Result<f64, Wrong> {
    match channel.units.as_deref().map(str::trim) {
        Some("s") => Ok(1.0),
        None | Some("" | "ms") => Ok(1e-3),
        Some("us" | "µs") => Ok(1e-6),
        Some("ns") => Ok(1e-9),
        Some(other) => Err(fault(
            format!("{} as the unit of the channel T", quoted(other)),
            "write s, ms, us or ns",
        )),
    }
}

/// Where a point lies on the canvas, to the right and downwards.
fn canvas(trace: &Trace, values: &[Option<f64>]) -> Option<(f64, f64)> {
    let value = |name: &str| {
        let (at, _) = trace.channel(name)?;
        values[at]
    };
    let Some(mapping) = &trace.to_canvas else {
        return Some((value("X")?, value("Y")?));
    };
    let mut known: Values = trace
        .channels
        .iter()
        .zip(values)
        .filter_map(|(channel, value)| Some((channel.name.clone(), (*value)?)))
        .collect();
    mapping.apply(&mut known);
    let mapped = |name: &str| known.iter().find(|(own, _)| own == name).map(|(_, v)| *v);
    Some((mapped("X")?, mapped("Y")?))
}
