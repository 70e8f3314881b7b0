//! The document: what is wanted, what takes it, and the points; all that is undone, redone and saved.

use std::sync::Arc;

use evenhand_inversion::{MapRequest, NamedShape};
use evenhand_measurement::{Force, HoldAngle};
use evenhand_preview::{HandForce, WidthScale};
use evenhand_receiver::{
    Compiled, ControlPoint, CurveKind, MapCurve, Profile, add_point, move_point, remove_point,
    verify_legal,
};
use evenhand_workflow::{HandTable, Job, StrokesTable};

/// Exponents that a power may be dragged to: those that compiling looks at.
pub(crate) const EXPONENTS: std::ops::RangeInclusive<f64> = 0.0625..=16.0;

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
    /// Which points stay while the rest is solved, one for each.
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
pub(crate) enum FollowUp {
    /// The figures are worked out anew.
    Judge,
    /// The points are solved anew.
    Solve,
}

impl Document {
    /// The document of a job.
    #[must_use]
    pub fn of_job(job: &Job) -> Self {
        let built = &job.built;
        let mut locked = vec![false; built.compiled.control_points.len()];
        let is_lockable = matches!(job.profile.curve(), CurveKind::Points { .. });
        if let Some(tuned) = job.tuned.as_ref().filter(|_| is_lockable) {
            for index in &tuned.locked {
                if let Some(lock) = locked.get_mut(*index) {
                    *lock = true;
                }
            }
        }
        let full = built.full_at.gf();
        let hands = || {
            let thirds = [("light", 1.0), ("usual", 2.0), ("firm", 3.0)];
            let hand = |(name, thirds): (&str, f64)| HandForce {
                name: name.to_owned(),
                force_gf: (full * thirds / 3.0).round().max(1.0),
            };
            thirds.map(hand).to_vec()
        };
        let strokes = job.strokes.as_ref();
        let tuned = job.tuned.as_ref();
        let optimum = tuned.map_or(&built.compiled, |tuned| &tuned.optimum);
        Self {
            request: job.request.clone(),
            profile: job.profile.clone(),
            points: built.compiled.control_points.clone(),
            exponent: built.compiled.exponent,
            locked,
            optimum: Arc::new(optimum.clone()),
            hands: strokes.map_or_else(hands, StrokesTable::hand_forces),
            scale: strokes.and_then(StrokesTable::scale).unwrap_or_default(),
            has_strokes: strokes.is_some(),
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
    pub fn locks(&self) -> &[bool] {
        &self.locked
    }

    /// Whether any point stays.
    #[must_use]
    pub fn has_locks(&self) -> bool {
        self.locked.contains(&true)
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
        let table = |hand: &HandForce| HandTable {
            name: hand.name.clone(),
            force_gf: hand.force_gf,
        };
        self.has_strokes.then(|| StrokesTable {
            least_width: self.scale.least(),
            greatest_width: self.scale.greatest(),
            width_law: self.scale.law().to_string(),
            hands: self.hands.iter().map(table).collect(),
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
            self.locked = vec![false; points.len()];
        }
        self.points = points;
        self.exponent = exponent;
    }

    /// Does what a command says, but for solving; `None` where that changes nothing.
    pub(crate) fn apply(&mut self, command: Command) -> Option<FollowUp> {
        match command {
            Command::SetFullAt(force) => self.request.full_at = force,
            Command::SetLightAt(force) => self.request.light_at = force,
            Command::SetTarget(target) => self.request.target = target,
            Command::SetOutputFloor(floor) => self.request.output_floor = floor,
            Command::SetHoldAngle(angle) => self.request.hold_angle = angle,
            Command::SetReceiver(profile) => {
                self.profile = *profile;
                if let Some((points, exponent)) = plain(&self.profile) {
                    (self.points, self.exponent) = (points, exponent);
                }
                self.locked = vec![false; self.points.len()];
            }
            Command::SolveAgain => {}
            Command::MovePoint { index, to } => {
                let moved = move_point(&self.profile, &self.points, index, to);
                if moved == self.points {
                    return None;
                }
                return self.moved_to(moved);
            }
            Command::SetLock { index, locked } => {
                if !self.is_lockable() || *self.locked.get(index)? == locked {
                    return None;
                }
                self.locked[index] = locked;
                return Some(FollowUp::Judge);
            }
            Command::AddPoint { input } => {
                let curve = self.curve()?;
                let (points, index) = add_point(&self.profile, &self.points, &curve, input)?;
                self.locked.insert(index, false);
                return self.moved_to(points);
            }
            Command::RemovePoint { index } => {
                let points = remove_point(&self.profile, &self.points, index)?;
                self.locked.remove(index);
                return self.moved_to(points);
            }
            Command::SetExponent { exponent } => {
                self.exponent = Some(self.legal_exponent(exponent)?);
                self.waits = false;
                return Some(FollowUp::Judge);
            }
            Command::SetHand { index, force_gf } => {
                let is_force = (1.0..=100_000.0).contains(&force_gf);
                self.hands.get_mut(index).filter(|_| is_force)?.force_gf = force_gf;
                self.has_strokes = true;
                return Some(FollowUp::Judge);
            }
            Command::SetWidths(scale) => {
                self.scale = scale;
                self.has_strokes = true;
                return Some(FollowUp::Judge);
            }
        }
        self.waits = true;
        self.is_stale = true;
        Some(FollowUp::Solve)
    }

    /// Takes points that were moved by hand, which are not solved over.
    fn moved_to(&mut self, points: Vec<ControlPoint>) -> Option<FollowUp> {
        self.points = points;
        self.waits = false;
        Some(FollowUp::Judge)
    }

    /// The exponent nearest to a wanted one that a power can be bent to; `None` where that is no other.
    fn legal_exponent(&self, exponent: f64) -> Option<f64> {
        let legal = exponent.clamp(*EXPONENTS.start(), *EXPONENTS.end());
        if legal.is_nan() || self.exponent? == legal {
            return None;
        }
        MapCurve::new(self.profile.interpolation(), &self.points, Some(legal)).ok()?;
        verify_legal(&self.profile, &self.points).ok()?;
        Some(legal)
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
    let grid = profile.grid();
    let stored = |value: f64, steps: Option<u32>| {
        steps.map_or(value, |steps| {
            let step = (value * f64::from(steps)).round();
            grid.map_or(value, |grid| {
                grid.rounding.step_of(step / f64::from(steps), steps) / f64::from(steps)
            })
        })
    };
    let points: Vec<ControlPoint> = (0..count)
        .map(|index| {
            let part = index as f64 / (count - 1) as f64;
            let input = if is_table {
                part
            } else {
                stored(part, grid.map(|grid| grid.input_steps))
            };
            ControlPoint::new(input, stored(part, grid.map(|grid| grid.output_steps)))
        })
        .collect();
    verify_legal(profile, &points).ok()?;
    Some((points, exponent))
}
