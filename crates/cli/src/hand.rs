//! `evenhand hand`.

use std::fmt::Write as _;

use evenhand_fitting::Fit;
use evenhand_measurement::{Force, HoldAngle, Measurement};
use evenhand_population::Share;
use evenhand_strokes::{Bound, Hand, HandError, HandRule, Levels, Percentile, summarise};
use evenhand_workflow::{Failure, OpenInterval, Recorded, mixed_places, read_recording};
use serde_json::{Value, json};

use crate::args::{HandArgs, HandRuleArgs};
use crate::input;
use crate::json::pretty;
use crate::output::Output;
use crate::text::{self, count, gf, percent};

fn share_object(of: Share) -> Value {
    json!({ "estimate": of.estimate, "low": of.low, "high": of.high })
}

pub(crate) fn run(args: &HandArgs, output: &Output) -> Result<u8, Failure> {
    let read = input::measurement(&args.stylus, &args.read)?;
    let levels = Levels {
        set: args.read.levels,
        of_stylus: read.measurement.stylus.levels,
    };
    let recorded = read_recording(&args.recording, levels)?;
    let fit = input::fitted(&read, &input::settings(&args.intervals))?;
    let hand = summarised(&recorded, &fit, args.rule)?;
    let report = HandReport {
        hand: &hand,
        held: args.hold_angle,
        recorded: &recorded,
        stylus: &read.measurement,
    };
    if output.json {
        output.data(&pretty(&report.json()))?;
    } else {
        let name = text::name(&read.measurement, &read.source.name);
        output.people(&report.summary(&name))?;
        for warning in report.warnings() {
            output.warn(&format!("{}: {warning}", recorded.name));
        }
    }
    Ok(0)
}

/// What a recording tells of the hand that drew it.
pub(crate) fn summarised(
    recorded: &Recorded,
    fit: &Fit,
    rule: HandRuleArgs,
) -> Result<Hand, Failure> {
    let rule = HandRule {
        light: rule.light_percentile.value(),
        full: rule.full_percentile.value(),
        confidence: fit.settings.confidence,
    };
    summarise(&recorded.strokes, fit, &rule).map_err(|error| {
        let message = format!("{}: {error}", recorded.name);
        match error {
            HandError::Percentiles { .. } => Failure::bad_input(message, error.help()),
            _ => Failure::cannot(message, error.help()).in_file(recorded.name.clone()),
        }
    })
}

/// What a reader of a hand's summary should know.
pub(crate) fn warnings(hand: &Hand, recorded: &Recorded, stylus: &Measurement) -> Vec<String> {
    let mut warnings = recorded.strokes.notes.clone();
    warnings.extend(mixed_places(
        ("the recording", recorded.strokes.read_at),
        ("the measurement", stylus.bench.read_at),
    ));
    warnings.extend(hand.suggestion.notes.iter().cloned());
    if !hand.enough {
        warnings.push(format!(
            "{} {} too short to tell how far off the suggestion may be; draw more, and more than one picture",
            count(hand.strokes, "stroke"),
            if hand.strokes == 1 { "is" } else { "are" },
        ));
    }
    if hand.seconds.is_none() {
        warnings.push(
            "without times every point counts the same, though slow places hold more of them"
                .to_owned(),
        );
    }
    warnings
}

struct HandReport<'a> {
    hand: &'a Hand,
    held: Option<HoldAngle>,
    recorded: &'a Recorded,
    stylus: &'a Measurement,
}

impl HandReport<'_> {
    fn gf(&self, force: Force) -> f64 {
        force.gf() / self.held.map_or(1.0, HoldAngle::axial_part)
    }

    fn warnings(&self) -> Vec<String> {
        warnings(self.hand, self.recorded, self.stylus)
    }

    fn rule(&self) -> String {
        let rule = self.hand.rule;
        format!(
            "full-at is the force that {} % of the time lies below, light-at that of {} %, or less where it would cut strokes off",
            percent(rule.full),
            percent(rule.light)
        )
    }

    fn draws_nothing(&self) -> String {
        let found = self.hand.suggestion.draws_nothing;
        format!(
            "With this light-at {:.1} % of the time draws nothing, and {:.1} % of where strokes begin and end;\n{:.1} % of strokes lose more than 5 % of their time.",
            100.0 * found.time,
            100.0 * found.ends,
            100.0 * found.strokes
        )
    }

    fn json(&self) -> Value {
        let hand = self.hand;
        json!({
            "strokes": hand.strokes,
            "points": hand.points,
            "seconds": hand.seconds,
            // Null for InkML, which says itself what it holds.
            "recording_read_as": self.recorded.read_as,
            "forces": self.direction(),
            "confidence": hand.rule.confidence,
            "percentiles": hand.percentiles.iter().map(|found| {
                let force = self.gf(found.force);
                let gf = |force: Force| self.gf(force);
                // A percentile outside the stylus's range has a bound instead of an estimate.
                let (estimate, low, high, bound) = match found.bound {
                    Bound::Known => (Some(force), found.low.map(gf), found.high.map(gf), None),
                    Bound::AtLeast => (None, Some(force), found.high.map(gf), Some("at-least")),
                    Bound::AtMost => (None, found.low.map(gf), Some(force), Some("at-most")),
                };
                json!({
                    "percent": 100.0 * found.level,
                    "force_gf": OpenInterval { estimate, low, high },
                    "bound": bound,
                })
            }).collect::<Vec<_>>(),
            "time_at_saturation": share_object(hand.saturated),
            // Without a saturation this is the time beyond the forces measured.
            "saturation_reached": hand.is_saturation_known,
            "time_below_onset": hand.below_onset.map(share_object),
            "suggested": {
                "light_at_gf": self.gf(hand.suggestion.light_at),
                "full_at_gf": self.gf(hand.suggestion.full_at),
                "rule": self.rule(),
                "draws_nothing": hand.suggestion.draws_nothing,
            },
            "enough": hand.enough,
            "warnings": self.warnings(),
        })
    }

    fn direction(&self) -> &'static str {
        if self.held.is_some() {
            "at a right angle to the surface"
        } else {
            "along the stylus"
        }
    }

    fn summary(&self, stylus: &str) -> String {
        let hand = self.hand;
        let mut out = String::new();
        let time = hand
            .seconds
            .map_or_else(String::new, |seconds| format!(", {seconds:.1} s"));
        let _ = writeln!(
            out,
            "The hand that drew {} with {stylus} ({}, {}{time})",
            self.recorded.name,
            count(hand.strokes, "stroke"),
            count(hand.points, "point"),
        );
        if let Some(read_as) = &self.recorded.read_as {
            let _ = writeln!(out, "  {}", read_as.in_words());
        }
        let _ = writeln!(
            out,
            "\n  part of the time     presses less than, force {}",
            self.direction()
        );
        for found in &hand.percentiles {
            let _ = writeln!(
                out,
                "  {:>14} %   {}",
                percent(found.level),
                self.percentile(found)
            );
        }
        let beyond = if hand.is_saturation_known {
            "at saturation"
        } else {
            "not measured "
        };
        let _ = writeln!(out, "\n  {beyond}     {}", share(&hand.saturated));
        if let Some(below) = &hand.below_onset {
            let _ = writeln!(out, "  touching unread   {}", share(below));
        }
        let _ = writeln!(
            out,
            "\n  suggested         --light-at {}gf --full-at {}gf",
            typed_light(self.gf(hand.suggestion.light_at)),
            typed_full(self.gf(hand.suggestion.full_at)),
        );
        let _ = writeln!(out, "                    {}", self.rule());
        let _ = writeln!(out, "\n{}", self.draws_nothing());
        let _ = writeln!(
            out,
            "\nA suggestion is an opinion. Where pressing tires or hurts ask for less force, rest, and with pain\nor numbness ask a clinician."
        );
        out
    }

    fn percentile(&self, found: &Percentile) -> String {
        let force = gf(self.gf(found.force));
        match found.bound {
            Bound::AtLeast if self.hand.is_saturation_known => {
                format!("{force:>10} or more: the stylus reads full")
            }
            Bound::AtLeast => format!("{force:>10} or more: beyond the forces measured"),
            Bound::AtMost => format!("{force:>10} or less: the stylus reads nothing"),
            Bound::Known => {
                let end = |end: Option<Force>, open: &str| {
                    end.map_or_else(|| open.to_owned(), |force| gf(self.gf(force)))
                };
                format!(
                    "{force:>10}   {} % interval {} to {}",
                    percent(self.hand.rule.confidence),
                    end(found.low, "unknown"),
                    end(found.high, "unknown"),
                )
            }
        }
    }
}

fn share(found: &Share) -> String {
    format!(
        "{:>6.1} %   of the time ({:.1} to {:.1})",
        100.0 * found.estimate,
        100.0 * found.low,
        100.0 * found.high
    )
}

/// Forces as a person would type them: light-at not below, full-at not above what they are.
fn typed_light(value: f64) -> String {
    format!("{:.1}", (10.0 * value - 1e-9).ceil() / 10.0)
}

fn typed_full(value: f64) -> String {
    format!("{:.1}", (10.0 * value + 1e-9).floor() / 10.0)
}
