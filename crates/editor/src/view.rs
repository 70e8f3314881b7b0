//! What the window remembers that is neither undone nor saved with a map.

use std::path::PathBuf;

use evenhand_preview::ForceScale;

use crate::cached_picture::CachedPicture;
use crate::files::FileChoice;
use crate::pad::Pad;

/// View memory.
#[derive(Default)]
pub(crate) struct View {
    /// Unit of forces.
    pub(crate) unit: ForceScale,
    /// Whether the side that measures is shown.
    pub(crate) measures: bool,
    /// The force that is followed, gf as the hand means it.
    pub(crate) traced_gf: f64,
    /// Where the pointer was in the frame before.
    pub(crate) pointer: Option<egui::Pos2>,
    /// End of the force axis while something is dragged.
    pub(crate) held_force_end: Option<f64>,
    /// From the pointer to the middle of what it drags.
    pub(crate) grip: egui::Vec2,
    /// The file dialog that is open.
    pub(crate) choice: Option<FileChoice>,
    /// Whether a file is being opened.
    pub(crate) awaits_file: bool,
    /// Whether the measurement is read again whenever its file is written.
    pub(crate) follows_file: bool,
    /// When the file was last looked at, s.
    pub(crate) looked_at: f64,
    /// Whether the file was written since it was read.
    pub(crate) has_changed: bool,
    /// Folder that a file dialog begins in.
    pub(crate) folder: PathBuf,
    /// Whether the export box is open.
    pub(crate) is_exporting: bool,
    /// Whether the three sentences of help are shown.
    pub(crate) shows_help: bool,
    /// Whether work of a killed session is still offered.
    pub(crate) offers_recovery: bool,
    /// Whether the window was asked to close with unsaved work.
    pub(crate) is_closing: bool,
    /// Whether the window may close, whatever is unsaved.
    pub(crate) may_close: bool,
    /// What was drawn on the pad.
    pub(crate) pad: Pad,
    /// Strokes below the chart.
    pub(crate) strip: CachedPicture,
    /// First row of the points' table that is shown.
    pub(crate) first_row: usize,
    /// What of the map was copied or saved last.
    pub(crate) export_form: usize,
}
