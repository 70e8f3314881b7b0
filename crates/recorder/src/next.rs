//! What to place next.

/// A force that is asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// The force, gf.
    pub force_gf: f64,
    /// What to do for it, such as `hang 100+20 g`; `None` where the bench is not known.
    pub how: Option<String>,
    /// What it is placed for; empty where it stands on a list or was chosen.
    pub why: String,
    /// What to mind, where the force nears the limit.
    pub caution: Option<String>,
}

/// What to place next.
#[derive(Clone, Debug, PartialEq)]
pub enum Next {
    /// A force.
    Place(Placed),
    /// Nothing: why the session is at its end.
    Done(String),
}
