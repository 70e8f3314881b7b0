//! From a response and a request to a map.

use evenhand_curve::{Composed, Curve, CurveError, MonotonePath, Point, Polyline};
use evenhand_fitting::{Fit, ForceInterval, Saturation};
use evenhand_measurement::Force;
use evenhand_receiver::{
    CompileError, Compiled, ControlPoint, MapCurve, Profile, Quantisation, compile, quantisation,
    quantisation_of,
};
use evenhand_text::{Remedy, Setting, gf, percent};

use crate::achieved::{Achieved, achieved};
use crate::chain::{behind, compose_inverse};
use crate::error::TargetError;
use crate::ideal::ideal_map;
use crate::map_error::MapError;
use crate::request::MapRequest;
use crate::stage::CurveStage;
use crate::stylus_error::{PossibleResponses, StylusError};
use crate::target::Target;

/// The ideal table keeps within this of the ideal map, fraction of full scale.
const IDEAL_TOLERANCE: f64 = 1e-6;
/// Outputs this near 1 are full.
const FULL: f64 = 1.0 - 1e-9;
/// Full output so far from full-at, part of it, is worth a warning (common practice, no source).
const FULL_OFF: f64 = 0.05;

/// A compiled map with its figures; forces as the hand means them.
#[derive(Clone, Debug)]
pub struct BuiltMap {
    /// Output leaves 0 here.
    pub light_at: Force,
    /// Output is full from here on.
    pub full_at: Force,
    /// The points.
    pub compiled: Compiled,
    /// The ideal map, straight between points.
    pub ideal: Vec<Point>,
    /// How near the map comes to what is wanted, through the fitted response.
    pub achieved: Achieved,
    /// How near it comes through what the response may be.
    pub stylus_error: StylusError,
    /// What whole steps do.
    pub quantisation: Quantisation,
    /// Force at which the output is full; `None` where that is not known.
    pub full_output: Option<ForceInterval>,
    /// Why the request cannot be met in full, where it cannot.
    pub unmet: Option<UnmetRequest>,
    /// What a reader should know about the map, with what to try.
    pub notes: Vec<(String, Remedy)>,
}

/// What of a request no map can do, in words.
#[derive(Clone, Debug)]
pub struct UnmetRequest {
    /// The reason.
    pub message: String,
    /// What to do about it.
    pub remedy: Remedy,
}

/// A request made ready for compiling: everything but the points. Forces along the stylus.
pub struct MapInputs {
    light: Force,
    full: Force,
    target: Target,
    /// Response with what is applied before the map.
    response: Polyline,
    possible: PossibleResponses,
    /// The ideal map as the receiver should have it.
    pub ideal: MonotonePath,
    unmet: Option<UnmetRequest>,
    notes: Vec<(String, Remedy)>,
}

impl MapInputs {
    /// Wanted output at a force along the stylus, gf.
    #[must_use]
    pub fn wanted(&self, force_gf: f64) -> f64 {
        self.target.output(Force::from_gf(force_gf))
    }

    /// Worst error of a map from light-at to full-at.
    #[must_use]
    pub fn error_of(&self, request: &MapRequest, map: &MapCurve) -> f64 {
        let chain = Chain::of(request);
        achieved(&self.response, &*chain.after(map), &self.target).max_error
    }
}

/// Makes a request ready for compiling.
///
/// # Errors
/// A request that cannot be worked with.
pub fn prepare(fit: &Fit, request: &MapRequest) -> Result<MapInputs, MapError> {
    let part = request.axial_part();
    let axial = |force: Force| Force::from_gf(force.gf() * part);
    let hand = |force: Force| Force::from_gf(force.gf() / part);
    let mut notes = Vec::new();

    let chain = Chain::of(request);
    let response = chain.behind(fit.response.curve())?;
    let (full, unmet) = reachable(fit, axial(request.full_at), hand);
    let (full, unmet) = chain.reachable(&response, full, unmet, hand)?;
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
    let light = match request.light_at {
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
    let target = Target::new(light, full, request.target.shape.clone())
        .and_then(|target| target.with_floor(request.output_floor))
        .map_err(|error| target_error(error, request, fit))?;
    let path = ideal_map(&response, &target)?;
    let path = match &request.after {
        Some(after) => compose_inverse(&path, &after.curve)?,
        None => path,
    };
    if request.output_floor > 0.0 && response.value(light.gf()) <= 0.0 {
        notes.push((
            format!(
                "the stylus reads nothing at light-at {}: the output floor comes as a step there, which no points can follow",
                gf(hand(light).gf())
            ),
            "choose a light-at above the onset force".into(),
        ));
    }
    let before = chain.before.map(|curve| curve as &dyn Curve);
    Ok(MapInputs {
        possible: PossibleResponses::new(fit, before, &target),
        light,
        full,
        target,
        response,
        ideal: path,
        unmet,
        notes,
    })
}

/// Compiles the map that is wanted.
///
/// # Errors
/// A request that cannot be worked with, and rules that no map keeps.
pub fn build(
    fit: &Fit,
    request: &MapRequest,
    profile: &Profile,
    levels: Option<u32>,
) -> Result<BuiltMap, MapError> {
    let inputs = prepare(fit, request)?;
    let compiled = solved(profile, &inputs)?;
    Ok(judged(fit, request, &inputs, compiled, levels))
}

/// The best points for a request that is ready.
///
/// # Errors
/// Rules that no map keeps.
pub fn solved(profile: &Profile, inputs: &MapInputs) -> Result<Compiled, MapError> {
    compile(profile, &inputs.ideal).map_err(|source| compile_error(source, profile))
}

/// The same map with other points, such as those that were moved by hand.
///
/// # Errors
/// Points that break a rule of the receiver.
pub fn rebuild(
    fit: &Fit,
    request: &MapRequest,
    profile: &Profile,
    optimum: &BuiltMap,
    points: Vec<ControlPoint>,
    exponent: Option<f64>,
    levels: Option<u32>,
) -> Result<BuiltMap, MapError> {
    let inputs = prepare(fit, request)?;
    let bound = optimum.compiled.lower_bound;
    let compiled = Compiled::of_points(profile, &inputs.ideal, points, exponent, bound)
        .map_err(|source| compile_error(source, profile))?;
    Ok(judged(fit, request, &inputs, compiled, levels))
}

/// What points do for a request.
#[must_use]
pub fn judged(
    fit: &Fit,
    request: &MapRequest,
    inputs: &MapInputs,
    compiled: Compiled,
    levels: Option<u32>,
) -> BuiltMap {
    let part = request.axial_part();
    let hand = |force: Force| Force::from_gf(force.gf() / part);
    let chain = Chain::of(request);
    let map = chain.after(&compiled.curve);
    let achieved = achieved(&inputs.response, &*map, &inputs.target);
    let full_input = chain.reading_of_full(&compiled.curve);
    let full_output = chain
        .is_ever_full()
        .then(|| fit.force_at(full_input))
        .flatten()
        .map(|found| ForceInterval {
            estimate: hand(found.estimate),
            low: hand(found.low),
            high: hand(found.high),
        });
    let mut notes = inputs.notes.clone();
    let full_at = hand(inputs.full);
    if let Some(found) = full_output
        && (found.estimate.gf() - full_at.gf()).abs() > FULL_OFF * full_at.gf()
    {
        notes.push((
            format!(
                "the output is full at {} instead of the full-at {}",
                gf(found.estimate.gf()),
                gf(full_at.gf())
            ),
            "choose a receiver that takes more points, or another full-at".into(),
        ));
    }
    BuiltMap {
        light_at: hand(inputs.light),
        full_at,
        ideal: thinned(&inputs.ideal),
        quantisation: chain.quantisation(&compiled, levels),
        stylus_error: inputs.possible.error(&*map, achieved.max_error),
        compiled,
        achieved,
        full_output,
        unmet: inputs.unmet.clone(),
        notes,
    }
}

/// What whole steps do to points, with what a request has before and after the map.
#[must_use]
pub fn quantised(request: &MapRequest, compiled: &Compiled, levels: Option<u32>) -> Quantisation {
    Chain::of(request).quantisation(compiled, levels)
}

/// What else is applied to readings and outputs.
struct Chain<'a> {
    before: Option<&'a MapCurve>,
    after: Option<&'a MapCurve>,
}

impl<'a> Chain<'a> {
    fn of(request: &'a MapRequest) -> Self {
        let curve = |stage: &'a Option<CurveStage>| stage.as_ref().map(|stage| &stage.curve);
        Self {
            before: curve(&request.before),
            after: curve(&request.after),
        }
    }

    fn behind(&self, response: &Polyline) -> Result<Polyline, CurveError> {
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
        unmet: Option<UnmetRequest>,
        hand: impl Fn(Force) -> Force,
    ) -> Result<(Force, Option<UnmetRequest>), MapError> {
        let top = response.domain().1;
        let highest = response.value(top);
        if self.before.is_some() && highest <= 0.0 {
            return Err(MapError::NoReadings);
        }
        // Beyond the force at which its readings stop growing, the chain tells forces apart no more.
        let last = Force::from_gf(response.inverse(highest));
        if self.before.is_some() && full > last {
            let message = format!(
                "full output at {} cannot be had: behind the curve before the map the readings stop growing at {}",
                gf(hand(full).gf()),
                gf(hand(last).gf())
            );
            let remedy = "ask for less, or have that curve changed".into();
            return Ok((last, Some(UnmetRequest { message, remedy })));
        }
        if let Some(after) = self.after.filter(|_| !self.is_ever_full()) {
            let message = format!(
                "full output cannot be had: the curve after the map gives {:.1} % at most",
                100.0 * after.value(1.0)
            );
            let remedy = "the map given is the best there is; have that curve changed".into();
            return Ok((full, Some(UnmetRequest { message, remedy })));
        }
        Ok((full, unmet))
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
fn reachable(
    fit: &Fit,
    full: Force,
    hand: impl Fn(Force) -> Force,
) -> (Force, Option<UnmetRequest>) {
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
            (found.estimate, Some(UnmetRequest { message, remedy }))
        }
        Saturation::NotReached { above } if full > above => {
            let message = format!(
                "full output at {} cannot be promised: the measurement ends at {} with a reading of {:.1} %",
                gf(hand(full).gf()),
                gf(hand(above).gf()),
                100.0 * fit.response.reading(above),
            );
            let remedy = format!(
                "the map given reaches full output at {}; measure larger forces, within the maker's limit",
                gf(hand(above).gf())
            );
            let remedy = remedy.into();
            (above, Some(UnmetRequest { message, remedy }))
        }
        _ => (full, None),
    }
}

fn thinned(path: &MonotonePath) -> Vec<Point> {
    path.simplified(IDEAL_TOLERANCE).points().to_vec()
}

fn target_error(error: TargetError, request: &MapRequest, fit: &Fit) -> MapError {
    match error {
        // Without a light-at of its own the request lies below what the stylus can feel.
        TargetError::EmptyRange { .. } if request.light_at.is_none() => MapError::BelowOnset {
            full_at: request.full_at,
            onset: Force::from_gf(fit.onset.estimate.gf() / request.axial_part()),
            onset_high: Force::from_gf(fit.onset.high.gf() / request.axial_part()),
        },
        error => error.into(),
    }
}

fn compile_error(source: CompileError, profile: &Profile) -> MapError {
    MapError::Compile {
        receiver: profile.name().to_owned(),
        source,
    }
}
