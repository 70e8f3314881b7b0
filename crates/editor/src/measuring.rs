//! A session at the bench in the window: what it is begun with, and the session itself.

use std::path::{Path, PathBuf};

use evenhand_measurement::{Force, ForceError};
use evenhand_recorder::{
    Recorder, RecorderSettings, SessionView, Source, SourceSettings, StreamKind,
};
use evenhand_workflow::{Failure, Wording};

use crate::named_path::NamedPath;

/// What streams can hold, with their words; nothing where the stream tells it itself.
pub(crate) const KINDS: [(Option<StreamKind>, &str); 5] = [
    (None, "told by the stream"),
    (Some(StreamKind::Percent), "percent"),
    (Some(StreamKind::Fraction), "0 to 1"),
    (Some(StreamKind::Raw), "counts"),
    (Some(StreamKind::Events), "input events"),
];

/// What a session is begun with, as it is typed.
#[derive(Clone, Debug)]
pub(crate) struct Form {
    pub(crate) out: NamedPath,
    pub(crate) from: NamedPath,
    pub(crate) kind: Option<StreamKind>,
    pub(crate) levels: String,
    pub(crate) forces: String,
    pub(crate) limit_gf: f64,
    pub(crate) rig: NamedPath,
    pub(crate) model: String,
    pub(crate) unit: String,
    pub(crate) same_seating: bool,
}

impl Default for Form {
    fn default() -> Self {
        Self {
            out: NamedPath::default(),
            from: NamedPath::default(),
            kind: None,
            levels: String::new(),
            forces: String::new(),
            limit_gf: RecorderSettings::LIMIT_GF,
            rig: NamedPath::default(),
            model: String::new(),
            unit: String::new(),
            same_seating: false,
        }
    }
}

fn given(text: &str) -> Option<String> {
    let text = text.trim();
    (!text.is_empty()).then(|| text.to_owned())
}

impl Form {
    /// Begins the session.
    pub(crate) fn begin(&self) -> Result<Recorder, Failure> {
        let out = named(&self.out, "the measurement to write")?;
        let from = named(&self.from, "where readings come from")?;
        if from == Path::new("-") {
            return Err(Failure::bad_input(
                "a window has no standard input to read from",
                "name a file, a serial line or a device; `evenhand bench record --from -` reads standard input",
            ));
        }
        let levels = given(&self.levels).map(|text| levels(&text)).transpose()?;
        let source = Source::open(&SourceSettings {
            path: from,
            kind: self.kind,
            levels,
            layout: None,
        })?;
        let settings = RecorderSettings {
            forces: forces(&self.forces)?,
            limit: Force::from_gf(self.limit_gf),
            rig: self.rig.path(),
            same_seating: self.same_seating,
            levels,
            model: given(&self.model),
            unit: given(&self.unit),
            ..RecorderSettings::new(out)
        };
        Ok(Recorder::open(settings, source)?)
    }
}

fn named(field: &NamedPath, what: &str) -> Result<PathBuf, Failure> {
    field.path().ok_or_else(|| {
        Failure::bad_input(
            format!("{what} is not named"),
            "write a name, or choose a file",
        )
    })
}

fn levels(text: &str) -> Result<u32, Failure> {
    text.parse()
        .ok()
        .filter(|levels| RecorderSettings::LEVELS.contains(levels))
        .ok_or_else(|| {
            Failure::bad_input(
                format!("`{text}` is no number of levels"),
                "write a whole number from 2 on, such as 8192, or leave it empty",
            )
        })
}

fn forces(text: &str) -> Result<Vec<Force>, Failure> {
    text.split(',')
        .map(str::trim)
        .filter(|word| !word.is_empty())
        .map(|word| {
            word.parse().map_err(|error: ForceError| {
                Failure::bad_input(
                    error.to_string(),
                    "write forces such as 5gf, 20gf, 60gf, or leave them to the plan",
                )
            })
        })
        .collect()
}

/// The measure side: a form, and a session once it is begun.
#[derive(Default)]
pub(crate) struct Measuring {
    pub(crate) form: Form,
    pub(crate) session_view: Option<SessionView>,
    /// Another force, as it is typed.
    pub(crate) instead: String,
}

impl Measuring {
    /// Begins with what the form says.
    pub(crate) fn begin(&mut self) -> Result<(), Failure> {
        let recorder = self.form.begin()?;
        let view = SessionView::new(recorder, |remedy| Wording::Window.remedy(remedy));
        self.session_view = Some(view);
        Ok(())
    }

    /// Takes the readings that have come; whether more are to be looked for soon.
    pub(crate) fn poll(&mut self) -> bool {
        let Some(session_view) = &mut self.session_view else {
            return false;
        };
        session_view.poll();
        let recorder = session_view.recorder();
        !recorder.has_ended() && (recorder.is_watching() || recorder.source().is_live())
    }
}
