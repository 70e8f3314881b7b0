//! From a measurement and a wish to a map: the main job, without files or screens.

use evenhand_curve::{Composed, Curve, MonotonePath, Point, Polyline};
use evenhand_fitting::{Fit, Saturation};
use evenhand_inversion::{Achieved, Target, TargetError, achieved, ahead_of, behind, ideal_map};
use evenhand_measurement::{Force, HoldAngle};
use evenhand_receiver::{
    CompileError, Compiled, ControlPoint, MapCurve, Profile, Quantisation, compile, quantisation,
    quantisation_of,
};

use evenhand_text::{Remedy, Setting, gf, percent};

use crate::failure::Failure;
use crate::interval::OpenInterval;
use crate::stage::Stage;
use crate::targets::NamedShape;

/// The ideal table keeps within this of the ideal map, fraction of full scale.
const IDEAL_TOLERANCE: f64 = 1e-6;
/// Outputs this near 1 are full.
const FULL: f64 = 1.0 - 1e-9;

/// What is wanted; forces as the hand means them.
#[derive(Clone, Debug)]
pub struct Wish {
    /// Output is full from here on.
    pub full_at: Force,
    /// Output leaves 0 here.
    pub light_at: Option<Force>,
    /// How the output climbs between.
    pub target: NamedShape,
    /// Least output once the nib touches, 0..1.
    pub output_floor: f64,
    /// Curve applied to the readings before the map.
    pub before: Option<Stage>,
    /// Curve applied to the outputs after the map.
    pub after: Option<Stage>,
    /// Angle between stylus and surface, where forces are meant at a right angle to the surface.
    pub hold_angle: Option<HoldAngle>,
}

impl Wish {
    /// Axial force for a force of 1 as the hand means it.
    #[must_use]
    pub fn axial_part(&self) -> f64 {
        self.hold_angle.map_or(1.0, HoldAngle::axial_part)
    }

    /// A map with what is applied to its readings before it and to its outputs after it.
    #[must_use]
    pub fn chained(&self, map: Box<dyn Curve>) -> Box<dyn Curve> {
        let inner: Box<dyn Curve> = match &self.before {
            None => map,
            Some(before) => Box::new(Composed::new(map, before.curve.clone())),
        };
        match &self.after {
            None => inner,
            Some(after) => Box::new(Composed::new(after.curve.clone(), inner)),
        }
    }
}

/// A compiled map with its figures; forces as the hand means them.
#[derive(Clone, Debug)]
pub struct Built {
    /// Output leaves 0 here.
    pub light_at: Force,
    /// Output is full from here on.
    pub full_at: Force,
    /// The points.
    pub compiled: Compiled,
    /// The ideal map, straight between points.
    pub ideal: Vec<Point>,
    /// How near the map comes to what is wanted.
    pub achieved: Achieved,
    /// What whole steps do.
    pub quantisation: Quantisation,
    /// Force at which the output is full, gf.
    pub full_output: OpenInterval,
    /// Why the wish cannot be met in full, where it cannot.
    pub shortfall: Option<Shortfall>,
    /// What a reader should know about the map, with what to try.
    pub notes: Vec<(String, Remedy)>,
}

/// A wish beyond what any map can do.
#[derive(Clone, Debug)]
pub struct Shortfall {
    /// The reason.
    pub message: String,
    /// What to do about it.
    pub remedy: Remedy,
}

/// A wish made ready for compiling: everything but the points. Forces along the stylus.
pub struct Prepared {
    light: Force,
    full: Force,
    target: Target,
    /// Response with what is applied before the map.
    response: Polyline,
    /// The ideal map as the receiver should have it.
    pub ideal: MonotonePath,
    shortfall: Option<Shortfall>,
    notes: Vec<(String, Remedy)>,
}

impl Prepared {
    /// Wanted output at a force along the stylus, gf.
    #[must_use]
    pub fn wanted(&self, force_gf: f64) -> f64 {
        self.target.output(Force::from_gf(force_gf))
    }

    /// Worst error of a map from light-at to full-at.
    #[must_use]
    pub fn error_of(&self, wish: &Wish, map: &MapCurve) -> f64 {
        let chain = Chain::of(wish);
        achieved(&self.response, &*chain.after(map), &self.target).max_error
    }
}

/// Makes a wish ready for compiling.
///
/// # Errors
/// A wish that cannot be worked with.
pub fn prepare(fit: &Fit, wish: &Wish) -> Result<Prepared, Failure> {
    let part = wish.axial_part();
    let axial = |force: Force| Force::from_gf(force.gf() * part);
    let hand = |force: Force| Force::from_gf(force.gf() / part);
    let mut notes = Vec::new();

    let chain = Chain::of(wish);
    let response = chain
        .behind(fit.response.curve())
        .map_err(|error| internal(&error))?;
    let (full, shortfall) = reachable(fit, axial(wish.full_at), hand);
    let (full, shortfall) = chain.reachable(&response, full, shortfall, hand)?;
    if let Some(after) = chain.after
        && after.value(0.0) > 0.0
    {
        notes.push((
            format!(
                "the curve after the map gives {:.1} % where the map gives nothing: less cannot be had",
                100.0 * after.value(0.0)
            ),
            "see whether that curve can be changed".into(),
        ));
    }
    let light = match wish.light_at {
        Some(light) => axial(light),
        None if fit.onset.high < full => fit.onset.high,
        None => {
            notes.push((
                format!(
                    "the onset interval reaches up to {}, beyond full-at: light-at was set to the onset's estimate, {}",
                    gf(hand(fit.onset.high).gf()),
                    gf(hand(fit.onset.estimate).gf())
                ),
                Remedy::from("measure more small forces").or_set(Setting::LightAt),
            ));
            fit.onset.estimate
        }
    };
    if light < fit.onset.estimate {
        notes.push((
            format!(
                "light-at {} lies below the onset force {}: the output stays 0 until the stylus responds",
                gf(hand(light).gf()),
                gf(hand(fit.onset.estimate).gf())
            ),
            "choose a light-at above the onset, or leave it out".into(),
        ));
    }
    let target = Target::new(light, full, wish.target.shape.clone())
        .and_then(|target| target.with_floor(wish.output_floor))
        .map_err(|error| target_failure(&error, wish, fit))?;
    let path = ideal_map(&response, &target).map_err(|error| internal(&error))?;
    let path = match &wish.after {
        Some(after) => ahead_of(&path, &after.curve).map_err(|error| internal(&error))?,
        None => path,
    };
    if wish.output_floor > 0.0 && response.value(light.gf()) <= 0.0 {
        notes.push((
            format!(
                "the stylus reads nothing at light-at {}: the output floor comes as a step there, which no points can follow",
                gf(hand(light).gf())
            ),
            "choose a light-at above the onset force".into(),
        ));
    }
    Ok(Prepared {
        light,
        full,
        target,
        response,
        ideal: path,
        shortfall,
        notes,
    })
}

/// Compiles the map that is wanted.
///
/// # Errors
/// A wish that cannot be worked with, and rules that no map keeps.
pub fn build(
    fit: &Fit,
    wish: &Wish,
    profile: &Profile,
    levels: Option<u32>,
) -> Result<Built, Failure> {
    let prepared = prepare(fit, wish)?;
    let compiled = solved(profile, &prepared)?;
    Ok(judged(fit, wish, &prepared, compiled, levels))
}

/// The best points for a wish that is ready.
///
/// # Errors
/// Rules that no map keeps.
pub fn solved(profile: &Profile, prepared: &Prepared) -> Result<Compiled, Failure> {
    compile(profile, &prepared.ideal).map_err(|error| compile_failure(&error, profile))
}

/// The same map with other points, such as those that were moved by hand.
///
/// # Errors
/// Points that break a rule of the receiver.
pub fn rebuild(
    fit: &Fit,
    wish: &Wish,
    profile: &Profile,
    optimum: &Built,
    points: Vec<ControlPoint>,
    exponent: Option<f64>,
    levels: Option<u32>,
) -> Result<Built, Failure> {
    let prepared = prepare(fit, wish)?;
    let bound = optimum.compiled.lower_bound;
    let compiled = Compiled::of_points(profile, &prepared.ideal, points, exponent, bound)
        .map_err(|error| compile_failure(&error, profile))?;
    Ok(judged(fit, wish, &prepared, compiled, levels))
}

/// What points do for a wish.
#[must_use]
pub fn judged(
    fit: &Fit,
    wish: &Wish,
    prepared: &Prepared,
    compiled: Compiled,
    levels: Option<u32>,
) -> Built {
    let part = wish.axial_part();
    let hand = |force: Force| Force::from_gf(force.gf() / part);
    let chain = Chain::of(wish);
    let achieved = achieved(
        &prepared.response,
        &*chain.after(&compiled.curve),
        &prepared.target,
    );
    let full_input = chain.reading_of_full(&compiled.curve);
    let full_output = chain
        .is_ever_full()
        .then(|| fit.force_at(full_input))
        .flatten()
        .map_or(OpenInterval::OPEN, |found| OpenInterval {
            estimate: Some(hand(found.estimate).gf()),
            low: Some(hand(found.low).gf()),
            high: Some(hand(found.high).gf()),
        });
    Built {
        light_at: hand(prepared.light),
        full_at: hand(prepared.full),
        ideal: thinned(&prepared.ideal),
        quantisation: chain.quantisation(&compiled, levels),
        compiled,
        achieved,
        full_output,
        shortfall: prepared.shortfall.clone(),
        notes: prepared.notes.clone(),
    }
}

/// What whole steps do to points, with what a wish has before and after the map.
pub(crate) fn quantised(wish: &Wish, compiled: &Compiled, levels: Option<u32>) -> Quantisation {
    Chain::of(wish).quantisation(compiled, levels)
}

/// What else is applied to readings and outputs.
struct Chain<'a> {
    before: Option<&'a MapCurve>,
    after: Option<&'a MapCurve>,
}

impl<'a> Chain<'a> {
    fn of(wish: &'a Wish) -> Self {
        let curve = |stage: &'a Option<Stage>| stage.as_ref().map(|stage| &stage.curve);
        Self {
            before: curve(&wish.before),
            after: curve(&wish.after),
        }
    }

    fn behind(&self, response: &Polyline) -> Result<Polyline, evenhand_curve::CurveError> {
        match self.before {
            Some(before) => behind(response, before),
            None => Ok(response.clone()),
        }
    }

    fn is_ever_full(&self) -> bool {
        self.after.is_none_or(|after| after.value(1.0) >= FULL)
    }

    /// The full-at that the chain leaves, and why it is not the one that was wanted.
    fn reachable(
        &self,
        response: &Polyline,
        full: Force,
        shortfall: Option<Shortfall>,
        hand: impl Fn(Force) -> Force,
    ) -> Result<(Force, Option<Shortfall>), Failure> {
        let top = response.domain().1;
        let highest = response.value(top);
        if self.before.is_some() && highest <= 0.0 {
            return Err(Failure::cannot(
                "the curve before the map makes nothing of every reading",
                "see whether that curve is the right one",
            ));
        }
        // Beyond the force at which its readings stop growing, the chain tells forces apart no more.
        let last = Force::from_gf(response.inverse(highest));
        if self.before.is_some() && full > last {
            let message = format!(
                "full output at {} cannot be had: behind the curve before the map the readings stop growing at {}",
                gf(hand(full).gf()),
                gf(hand(last).gf())
            );
            let help = "ask for less, or have that curve changed".to_owned();
            return Ok((
                last,
                Some(Shortfall {
                    message,
                    remedy: help.into(),
                }),
            ));
        }
        if let Some(after) = self.after.filter(|_| !self.is_ever_full()) {
            let message = format!(
                "full output cannot be had: the curve after the map gives {:.1} % at most",
                100.0 * after.value(1.0)
            );
            let help = "the map given is the best there is; have that curve changed".to_owned();
            return Ok((
                full,
                Some(Shortfall {
                    message,
                    remedy: help.into(),
                }),
            ));
        }
        Ok((full, shortfall))
    }

    /// The map with what comes after it.
    fn after(&self, map: &MapCurve) -> Box<dyn Curve> {
        match self.after {
            Some(after) => Box::new(Composed::new(after.clone(), map.clone())),
            None => Box::new(map.clone()),
        }
    }

    /// The stylus's own reading at which the chain's output is full.
    fn reading_of_full(&self, map: &MapCurve) -> f64 {
        let output = self.after.map_or(FULL, |after| after.inverse(FULL));
        let reading = map.inverse(output.min(FULL));
        self.before
            .map_or(reading, |before| before.inverse(reading))
    }

    fn quantisation(&self, compiled: &Compiled, levels: Option<u32>) -> Quantisation {
        match self.before {
            None if self.after.is_none() => {
                quantisation(&compiled.curve, &compiled.control_points, levels)
            }
            None => quantisation_of(&*self.after(&compiled.curve), levels),
            Some(before) => quantisation_of(
                &Composed::new(self.after(&compiled.curve), before.clone()),
                levels,
            ),
        }
    }
}

/// Forces this near, as part of them, are the same.
const SAME: f64 = 1e-12;

fn is_same(a: Force, b: Force) -> bool {
    (a.gf() - b.gf()).abs() <= SAME * b.gf()
}

/// The force up to which the response is known to climb.
fn end_of(fit: &Fit) -> Force {
    match fit.saturation {
        Saturation::Reached(found) => found.estimate,
        Saturation::NotReached { above } => above,
    }
}

/// The full-at that can be had, and why it is not the one that was wanted.
fn reachable(fit: &Fit, full: Force, hand: impl Fn(Force) -> Force) -> (Force, Option<Shortfall>) {
    match fit.saturation {
        // A force that came here through an angle and back is the same but for rounding.
        _ if is_same(full, end_of(fit)) => (end_of(fit), None),
        Saturation::Reached(found) if full > found.estimate => {
            let [estimate, low, high] =
                [found.estimate, found.low, found.high].map(|force| gf(hand(force).gf()));
            let message = format!(
                "full output at {} cannot be had by any map: this stylus saturates at {estimate} ({} % interval {low} to {high}) and reads the same from there on",
                gf(hand(full).gf()),
                percent(fit.settings.confidence),
            );
            let remedy = Remedy::from(
                "the map given reaches full output at saturation; use a stylus with a wider range",
            )
            .or_set(Setting::FullAt(estimate));
            (found.estimate, Some(Shortfall { message, remedy }))
        }
        Saturation::NotReached { above } if full > above => {
            let message = format!(
                "full output at {} cannot be promised: the measurement ends at {} with a reading of {:.1} %",
                gf(hand(full).gf()),
                gf(hand(above).gf()),
                100.0 * fit.response.reading(above),
            );
            let help = format!(
                "the map given reaches full output at {}; measure larger forces, within the maker's limit",
                gf(hand(above).gf())
            );
            (
                above,
                Some(Shortfall {
                    message,
                    remedy: help.into(),
                }),
            )
        }
        _ => (full, None),
    }
}

fn thinned(path: &MonotonePath) -> Vec<Point> {
    path.simplified(IDEAL_TOLERANCE).points().to_vec()
}

fn target_failure(error: &TargetError, wish: &Wish, fit: &Fit) -> Failure {
    match error {
        // Without a light-at of its own the wish lies below what the stylus can feel.
        TargetError::EmptyRange { .. } if wish.light_at.is_none() => Failure::cannot(
            format!(
                "full output at {} cannot be had by any map: the onset force lies at {} (up to {})",
                gf(wish.full_at.gf()),
                gf(fit.onset.estimate.gf() / wish.axial_part()),
                gf(fit.onset.high.gf() / wish.axial_part()),
            ),
            "ask for a full-at above the onset",
        ),
        _ => Failure::bad_input(error.to_string(), error.help()),
    }
}

fn compile_failure(error: &CompileError, profile: &Profile) -> Failure {
    Failure::cannot(
        format!("receiver {}: {error}", profile.name()),
        error.help(),
    )
}

fn internal(error: &dyn std::fmt::Display) -> Failure {
    Failure::cannot(
        format!("the map could not be built: {error}"),
        "this is a fault of evenhand; please report it with the measurement",
    )
}
