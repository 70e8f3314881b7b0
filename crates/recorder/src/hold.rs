//! Even ticks from changes.

use crate::event_decoder::PenReport;

/// Ticks in a second.
pub(crate) const RATE: f64 = 100.0;
/// A pause in a recording as long as this ends a placement, s.
const PAUSE: f64 = 2.0;
/// Most ticks that a gap is filled with; what lies beyond says no more.
const MOST_TICKS: usize = 1000;

/// What is read at a tick.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tick {
    /// Count or reading; `None` while it is unknown.
    pub value: Option<f64>,
    /// Angle between pen and upright in the units of the tilt axes, where told.
    pub tilt: Option<f64>,
    /// Whether buttons say that the nib is lifted.
    pub is_lifted: bool,
    /// Whether a placement ended before it: the nib was lifted, or a recording paused.
    pub ends_placement: bool,
}

/// Holds the last report until the next one: a pen at rest tells the kernel nothing.
#[derive(Clone, Debug, Default)]
pub struct Hold {
    last: Option<PenReport>,
}

impl Hold {
    /// The ticks between the report before and this one, each with what was held, then one with what is new.
    pub fn ticks(&mut self, report: PenReport) -> Vec<Tick> {
        let mut ticks = Vec::new();
        let mut ends_placement = false;
        if let Some(last) = self.last {
            let gap = (report.time_s - last.time_s).max(0.0);
            let count = ((gap * RATE).floor() - 1.0).max(0.0);
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "not below 0, and limited"
            )]
            let count = count.min(MOST_TICKS as f64) as usize;
            ticks.extend((0..count).map(|_| tick(&last, false)));
            let lifted = last.touches == Some(true) && report.touches == Some(false);
            ends_placement = gap >= PAUSE || lifted;
        }
        ticks.push(tick(&report, ends_placement));
        self.last = Some(report);
        ticks
    }

    /// What is held now, for a tick of a live stream in which nothing came.
    #[must_use]
    pub fn held(&self) -> Tick {
        self.last
            .as_ref()
            .map_or_else(Tick::default, |last| tick(last, false))
    }
}

fn tick(report: &PenReport, ends_placement: bool) -> Tick {
    let tilt = match report.tilt {
        (None, None) => None,
        (x, y) => Some(f64::from(x.unwrap_or(0)).hypot(f64::from(y.unwrap_or(0)))),
    };
    Tick {
        value: report.pressure.map(f64::from),
        tilt,
        is_lifted: report.touches == Some(false),
        ends_placement,
    }
}
