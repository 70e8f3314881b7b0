//! The window in which a map is tuned: four quadrants and one tracer.
//!
//! State comes first and without a window: a [`Document`] holds what is wanted, what takes the map and its
//! points; a [`Command`] changes it; a [`Session`] adds undo and redo per gesture, solving (at once or in
//! the background), saving, and keeping work that outlives a kill. [`Editor`] shows a session and turns
//! what hands do into commands; [`run`] opens the window. Its other side measures: there it shows a session at the
//! bench, the same one that the command line runs (crate `recorder`).
//!
//! Documents, what the view remembers and what follows from them are kept apart: a document is undone and
//! saved, a view is neither, and figures are worked out anew after every change.

mod bench;
mod cached_picture;
mod chart;
mod document;
mod editor;
mod fields;
mod files;
mod handles;
mod history;
mod measure;
mod measure_plot;
mod measuring;
mod named_path;
mod pad;
mod points_table;
mod recovery;
mod session;
mod side;
mod solver;
mod strip;
mod tokens;
mod top;
mod units;
mod view;
mod window;

pub use bench::{Bench, Opened, demo, open};
pub use document::{Command, Document};
pub use editor::{Editor, Start};
pub use recovery::{Left, left_behind};
pub use session::{Figures, Notice, Session};
pub use window::{WindowError, data_folder, run};
