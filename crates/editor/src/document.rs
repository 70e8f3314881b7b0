//! The document: what is wanted, what takes it, and the points; all that is undone, redone and saved.

use evenhand_inversion::{MapRequest, NamedShape};
use std::sync::Arc;

use evenhand_measurement::{Force, HoldAngle};
use evenhand_preview::{HandForce, WidthScale};
use evenhand_receiver::{
    Compiled, ControlPoint, CurveKind, MapCurve, Profile, add_point, move_point, remove_point,
    verify_legal,
};
use evenhand_workflow::{HandTable, Job, StrokesTable};

/// Exponents that a power may be dragged to: those that compiling looks at.
pub const EXPONENTS: std::ops::RangeInclusive<f64> = 0.0625..=16.0;

/// A map while it is tuned.
#[derive(Clone)]
pub struct Document {
    /// What is wanted.
    pub request: MapRequest,
    /// What takes the map.
    pub profile: Profile,
    /// The points, legal for the receiver.
    pub points: Vec<ControlPoint>,
    /// Of a power.
    pub exponent: Option<f64>,
    /// Which points stay while the rest is solved; no longer than `points`.
    locked: Vec<bool>,
    /// The best map for the request, as it was last solved.
    pub optimum: Arc<Compiled>,
    /// Forces of the hand at which strokes are shown.
    pub hands: Vec<HandForce>,
    /// Widths of strokes.
    pub scale: WidthScale,
    /// Whether hands or brush were chosen, and are saved with the map.
    has_strokes: bool,
    /// Whether the points wait to be solved.
    pub(crate) waits: bool,
    /// Whether `optimum` belongs to another request or receiver and waits to be solved.
    pub(crate) is_stale: bool,
    /// Tells states apart.
    pub(crate) revision: u64,
}

/// What can be done to a document.
#[derive(Clone, Debug)]
pub enum Command {
    /// Drags a point towards a place; it goes as near as the receiver lets it.
    MovePoint {
        /// Which point, from 0.
        index: usize,
        /// Where to.
        to: ControlPoint,
    },
    /// Keeps a point where it is while the rest is solved, or lets it go.
    SetLock {
        /// Which point, from 0.
        index: usize,
        /// Whether it stays.
        locked: bool,
    },
    /// Adds a point on the curve at a reading.
    AddPoint {
        /// The reading, 0..1.
        input: f64,
    },
    /// Takes a point away.
    RemovePoint {
        /// Which point, from 0.
        index: usize,
    },
    /// Bends a power.
    SetExponent {
        /// To this exponent.
        exponent: f64,
    },
    /// Output is full from this force on.
    SetFullAt(Force),
    /// Output leaves 0 at this force; the upper end of the onset interval where none is given.
    SetLightAt(Option<Force>),
    /// How the output climbs.
    SetTarget(NamedShape),
    /// Least output once the nib touches, 0..1.
    SetOutputFloor(f64),
    /// Angle between stylus and surface, where forces are meant at a right angle to it.
    SetHoldAngle(Option<HoldAngle>),
    /// What takes the map.
    SetReceiver(Box<Profile>),
    /// Back to the best map; points that are locked stay.
    SolveAgain,
    /// A force of the hand at which strokes are shown.
    SetHand {
        /// Which, from 0.
        index: usize,
        /// Its force, gf.
        force_gf: f64,
    },
    /// Widths of strokes.
    SetWidths(WidthScale),
}

/// What has to be done after a command.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Then {
    /// Nothing changed.
    Nothing,
    /// The figures are told anew.
    Judge,
    /// The points are solved anew.
    Solve,
}

impl Command {
    /// Whether it moves points itself.
    fn is_of_points(&self) -> bool {
        matches!(
            self,
            Self::MovePoint { .. }
                | Self::AddPoint { .. }
                | Self::RemovePoint { .. }
                | Self::SetExponent { .. }
        )
    }
}

impl Document {
    /// The document of a job.
    #[must_use]
    pub fn of_job(job: &Job) -> Self {
        let built = &job.built;
        let mut locked = Vec::new();
        let is_lockable = matches!(job.profile.curve(), CurveKind::Points { .. });
        if let Some(tuned) = job.tuned.as_ref().filter(|_| is_lockable) {
            locked = vec![false; built.compiled.control_points.len()];
            for index in &tuned.locked {
                if let Some(lock) = locked.get_mut(*index) {
                    *lock = true;
                }
            }
        }
        let full = built.full_at.gf();
        let thirds = [("light", 1.0), ("usual", 2.0), ("firm", 3.0)];
        let mut hands: Vec<HandForce> = thirds
            .map(|(name, thirds)| HandForce {
                name: name.to_owned(),
                force_gf: (full * thirds / 3.0).round().max(1.0),
            })
            .to_vec();
        let mut scale = WidthScale::default();
        if let Some(strokes) = &job.strokes {
            hands = strokes.hand_forces();
            scale = strokes.scale().unwrap_or_default();
        }
        Self {
            request: job.request.clone(),
            profile: job.profile.clone(),
            points: built.compiled.control_points.clone(),
            exponent: built.compiled.exponent,
            locked,
            optimum: Arc::new(
                job.tuned
                    .as_ref()
                    .map_or_else(|| built.compiled.clone(), |tuned| tuned.optimum.clone()),
            ),
            hands,
            scale,
            has_strokes: job.strokes.is_some(),
            waits: false,
            is_stale: false,
            revision: 0,
        }
    }

    /// Whether a point stays while the rest is solved.
    #[must_use]
    pub fn is_locked(&self, index: usize) -> bool {
        self.locked.get(index).copied().unwrap_or(false)
    }

    /// Whether points of this receiver can be locked: those of a curve through points.
    #[must_use]
    pub fn is_lockable(&self) -> bool {
        matches!(self.profile.curve(), CurveKind::Points { .. })
    }

    /// Which points stay, one for each.
    #[must_use]
    pub fn locks(&self) -> Vec<bool> {
        (0..self.points.len())
            .map(|index| self.is_locked(index))
            .collect()
    }

    /// Whether any point stays.
    #[must_use]
    pub fn has_locks(&self) -> bool {
        (0..self.points.len()).any(|index| self.is_locked(index))
    }

    /// Whether the points are not those of the best map.
    #[must_use]
    pub fn is_tuned(&self) -> bool {
        self.points != self.optimum.control_points || self.exponent != self.optimum.exponent
    }

    /// The map as a function of the reading.
    #[must_use]
    pub fn curve(&self) -> Option<MapCurve> {
        MapCurve::new(self.profile.interpolation(), &self.points, self.exponent).ok()
    }

    /// Hands and brush as they are saved with the map, where they were chosen.
    #[must_use]
    pub fn strokes(&self) -> Option<StrokesTable> {
        self.has_strokes.then(|| StrokesTable {
            least_width: self.scale.least(),
            greatest_width: self.scale.greatest(),
            width_law: self.scale.law().to_string(),
            hands: self
                .hands
                .iter()
                .map(|hand| HandTable {
                    name: hand.name.clone(),
                    force_gf: hand.force_gf,
                })
                .collect(),
        })
    }

    /// Takes over what was done to another document of the same receiver: locks, points that were moved,
    /// hands and brush.
    pub(crate) fn keep_work_of(&mut self, other: &Self) {
        self.hands.clone_from(&other.hands);
        self.scale = other.scale;
        self.has_strokes = other.has_strokes;
        if other.is_tuned() || other.has_locks() {
            self.points.clone_from(&other.points);
            self.exponent = other.exponent;
            self.locked.clone_from(&other.locked);
        }
    }

    /// Takes new points, which must be legal; locks go where their number changes.
    pub(crate) fn take(&mut self, points: Vec<ControlPoint>, exponent: Option<f64>) {
        if points.len() != self.points.len() {
            self.locked.clear();
        }
        self.points = points;
        self.exponent = exponent;
    }

    /// Does what a command says, but for solving.
    pub(crate) fn apply(&mut self, command: Command) -> Then {
        let is_of_points = command.is_of_points();
        let then = self.done(command);
        match then {
            // What was moved by hand is not solved over.
            Then::Judge if is_of_points => self.waits = false,
            Then::Solve => {
                self.waits = true;
                self.is_stale = true;
            }
            _ => {}
        }
        then
    }

    fn done(&mut self, command: Command) -> Then {
        match command {
            Command::MovePoint { index, to } => {
                let moved = move_point(&self.profile, &self.points, index, to);
                if moved == self.points {
                    return Then::Nothing;
                }
                self.points = moved;
                Then::Judge
            }
            Command::SetLock { index, locked } => {
                let is_there = index < self.points.len() && self.is_lockable();
                if !is_there || self.is_locked(index) == locked {
                    return Then::Nothing;
                }
                self.locked.resize(self.points.len(), false);
                self.locked[index] = locked;
                Then::Judge
            }
            Command::AddPoint { input } => {
                let added = self
                    .curve()
                    .and_then(|curve| add_point(&self.profile, &self.points, &curve, input));
                let Some((points, index)) = added else {
                    return Then::Nothing;
                };
                self.locked.resize(self.points.len(), false);
                self.locked.insert(index, false);
                self.points = points;
                Then::Judge
            }
            Command::RemovePoint { index } => {
                let Some(points) = remove_point(&self.profile, &self.points, index) else {
                    return Then::Nothing;
                };
                self.locked.resize(self.points.len(), false);
                self.locked.remove(index);
                self.points = points;
                Then::Judge
            }
            Command::SetExponent { exponent } => self.bend(exponent),
            Command::SetFullAt(force) => {
                self.request.full_at = force;
                Then::Solve
            }
            Command::SetLightAt(force) => {
                self.request.light_at = force;
                Then::Solve
            }
            Command::SetTarget(target) => {
                self.request.target = target;
                Then::Solve
            }
            Command::SetOutputFloor(floor) => {
                self.request.output_floor = floor;
                Then::Solve
            }
            Command::SetHoldAngle(angle) => {
                self.request.hold_angle = angle;
                Then::Solve
            }
            Command::SetReceiver(profile) => {
                self.profile = *profile;
                self.locked.clear();
                if let Some((points, exponent)) = plain(&self.profile) {
                    (self.points, self.exponent) = (points, exponent);
                }
                Then::Solve
            }
            Command::SolveAgain => Then::Solve,
            Command::SetHand { index, force_gf } => match self.hands.get_mut(index) {
                Some(hand) if (1.0..=100_000.0).contains(&force_gf) => {
                    hand.force_gf = force_gf;
                    self.has_strokes = true;
                    Then::Judge
                }
                _ => Then::Nothing,
            },
            Command::SetWidths(scale) => {
                self.scale = scale;
                self.has_strokes = true;
                Then::Judge
            }
        }
    }

    fn bend(&mut self, exponent: f64) -> Then {
        let legal = exponent.clamp(*EXPONENTS.start(), *EXPONENTS.end());
        let is_power = self.exponent.is_some();
        if !is_power || legal.is_nan() || self.exponent == Some(legal) {
            return Then::Nothing;
        }
        let curve = MapCurve::new(self.profile.interpolation(), &self.points, Some(legal));
        if curve.is_err() || verify_legal(&self.profile, &self.points).is_err() {
            return Then::Nothing;
        }
        self.exponent = Some(legal);
        Then::Judge
    }
}

/// Points that give every reading back, as near as the receiver can; shown until the best are solved.
/// `None` where they would break a rule.
pub(crate) fn plain(profile: &Profile) -> Option<(Vec<ControlPoint>, Option<f64>)> {
    let (count, exponent) = match profile.curve() {
        CurveKind::Points { min_points, .. } => (min_points.max(2), None),
        CurveKind::Bezier { .. } => (4, None),
        CurveKind::Power => (2, Some(1.0)),
        CurveKind::Table { entries, .. } => (entries, None),
    };
    let is_table = matches!(profile.curve(), CurveKind::Table { .. });
    let stored = |value: f64, steps: Option<u32>| {
        steps.map_or(value, |steps| {
            let step = (value * f64::from(steps)).round();
            profile.grid().map_or(value, |grid| {
                grid.rounding.step_of(step / f64::from(steps), steps) / f64::from(steps)
            })
        })
    };
    let points: Vec<ControlPoint> = (0..count)
        .map(|index| {
            let part = index as f64 / (count - 1) as f64;
            let grid = profile.grid();
            let input = if is_table {
                part
            } else {
                stored(part, grid.map(|grid| grid.input_steps))
            };
            ControlPoint::new(input, stored(part, grid.map(|grid| grid.output_steps)))
        })
        .collect();
    verify_legal(profile, &points)
        .is_ok()
        .then_some((points, exponent))
}
