//! What a trace records at each point.

/// How a channel's values are meant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ChannelKind {
    /// Whole numbers.
    Integer,
    /// Any numbers.
    #[default]
    Decimal,
    /// True or false, kept as 1 and 0.
    Boolean,
}

/// A channel of a trace format.
#[derive(Clone, Debug, PartialEq)]
pub struct Channel {
    /// Its name, such as X, Y, F or T.
    pub name: String,
    /// How its values are meant.
    pub kind: ChannelKind,
    /// Whether its value may be left out at the end of a point.
    pub intermittent: bool,
    /// Value while none was given.
    pub default: Option<f64>,
    /// Unit as written.
    pub units: Option<String>,
    /// Least and greatest value as written.
    pub range: (Option<f64>, Option<f64>),
    /// Value below which the channel tells nothing.
    pub threshold: Option<f64>,
}

impl Channel {
    /// A regular channel of decimal numbers.
    #[must_use]
    pub fn regular(name: &str) -> Self {
        Self {
            name: name.to_owned(),
            kind: ChannelKind::Decimal,
            intermittent: false,
            default: None,
            units: None,
            range: (None, None),
            threshold: None,
        }
    }
}
