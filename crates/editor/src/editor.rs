//! The editor: a session, and how it is shown.

use std::path::{Path, PathBuf};

use egui::{CentralPanel, Panel, Ui};
use evenhand_preview::{Theme, quadrants_svg};
use evenhand_receiver::ExportForm;
use evenhand_text::refuse_input;
use evenhand_workflow::{
    Failure, picture_by_ending, picture_form, resolve_target_file, save_picture,
};

use crate::bench::{Opened, demo, open};
use crate::chart::{chart_data, force_end};
use crate::document::Command;
use crate::files::Purpose;
use crate::measuring::Measuring;
use crate::named_path::NamedPath;
use crate::recovery::Left;
use crate::session::Session;
use crate::tokens;
use crate::top::FORMS;
use crate::view::View;

/// Where the editor begins.
#[derive(Clone, Debug, Default)]
pub struct Start {
    /// A measurement or a map to open; the demo without one.
    pub file: Option<PathBuf>,
    /// Folder for work that outlives a kill; none is kept without one.
    pub data_folder: Option<PathBuf>,
}

impl Start {
    /// What is opened first.
    ///
    /// # Errors
    /// A file that cannot be opened.
    pub fn opened(&self) -> Result<Opened, Failure> {
        match &self.file {
            Some(path) => open(path),
            None => demo(),
        }
    }
}

/// How often the measurement's file is looked at, s.
const LOOK_EVERY_S: f64 = 1.0;

/// What a file holds, by the tables it has.
enum Kind {
    Receiver,
    Target,
    Other,
}

fn kind(path: &Path) -> Kind {
    let is_toml = path.extension().is_some_and(|ending| ending == "toml");
    let text = is_toml.then(|| std::fs::read_to_string(path).unwrap_or_default());
    let text = text.unwrap_or_default();
    let has = |line: &str| text.lines().any(|own| own.trim() == line);
    if has("[map]") || has("[bench]") {
        Kind::Other
    } else if has("[curve]") {
        Kind::Receiver
    } else if has("[shape]") {
        Kind::Target
    } else {
        Kind::Other
    }
}

/// Writes a chosen path into a field; nothing is to be said of it.
#[expect(clippy::unnecessary_wraps, reason = "as other choices of a file end")]
fn filled(field: &mut NamedPath, path: &Path) -> Result<Option<String>, Failure> {
    field.choose(path);
    Ok(None)
}

/// The window's content.
pub struct Editor {
    pub(crate) session: Session,
    pub(crate) view: View,
    /// The side that measures.
    pub(crate) measuring: Measuring,
    /// Work of sessions that were killed.
    pub(crate) left: Vec<Left>,
}

impl Editor {
    /// An editor. `wake` is called when a slow solve has ended, so that the window is drawn again.
    ///
    /// # Errors
    /// A file that cannot be opened.
    pub fn new(start: &Start, wake: impl Fn() + Send + Sync + 'static) -> Result<Self, Failure> {
        Self::with_opened(start, start.opened()?, wake)
    }

    /// The same with the file at hand.
    ///
    /// # Errors
    /// A map that cannot be judged.
    pub fn with_opened(
        start: &Start,
        opened: Opened,
        wake: impl Fn() + Send + Sync + 'static,
    ) -> Result<Self, Failure> {
        let is_demo = opened.bench.is_demo;
        let folder = start.file.as_deref().and_then(Path::parent);
        let folder = folder.filter(|folder| !folder.as_os_str().is_empty());
        let recovery = start.data_folder.as_ref().map(|data| data.join("recovery"));
        let session = Session::new(opened, recovery, wake)?;
        let left = session.left_behind();
        let view = View {
            traced_gf: 0.5 * session.document().request.full_at.gf(),
            folder: folder.unwrap_or(Path::new(".")).to_path_buf(),
            shows_help: is_demo,
            offers_recovery: !left.is_empty(),
            ..View::default()
        };
        Ok(Self {
            session,
            view,
            measuring: Measuring::default(),
            left,
        })
    }

    /// The session that is shown.
    #[must_use]
    pub fn session(&self) -> &Session {
        &self.session
    }

    /// The same for those who change it.
    pub fn session_mut(&mut self) -> &mut Session {
        &mut self.session
    }

    /// The force that the tracer follows, gf as the hand means it.
    #[must_use]
    pub fn traced_gf(&self) -> f64 {
        self.view.traced_gf
    }

    /// Sets the look of widgets; once for a window.
    pub fn dress(context: &egui::Context) {
        for theme in [egui::Theme::Light, egui::Theme::Dark] {
            context.set_visuals_of(theme, tokens::visuals(theme));
        }
        // The font of numbers has arrows and letters that the other lacks.
        let mut fonts = egui::FontDefinitions::default();
        if let Some(family) = fonts.families.get_mut(&egui::FontFamily::Proportional) {
            family.push("Hack".to_owned());
        }
        context.set_fonts(fonts);
    }

    /// Draws the window and does what was done to it.
    pub fn ui(&mut self, ui: &mut Ui) {
        self.session.poll();
        if self.view.awaits_file && !self.session.is_opening() {
            self.view.awaits_file = false;
            self.view.traced_gf = 0.5 * self.session.document().request.full_at.gf();
            self.view.shows_help &= self.session.bench().is_demo;
            // What was open and not saved is offered.
            let left = self.session.left_behind();
            self.view.offers_recovery |= left.len() > self.left.len();
            self.left = left;
        }
        self.watch_file(ui);
        self.attend(ui);
        self.take_dropped(ui);
        Panel::top("bar").show(ui, |ui| {
            ui.add_space(3.0);
            self.bar(ui);
            self.notices(ui);
            ui.add_space(3.0);
        });
        let room = ui.available_size();
        Panel::right("side")
            .default_size(tokens::SIDE_WIDTH.min(0.36 * room.x))
            .min_size(tokens::SIDE_LEAST)
            .max_size(0.5 * room.x)
            .show(ui, |ui| {
                if self.view.measures {
                    self.measure_side(ui);
                } else {
                    self.side(ui);
                }
            });
        if self.view.measures {
            CentralPanel::default().show(ui, |ui| self.measure(ui));
        } else {
            self.map_side(ui);
        }
        self.file_dialog(ui);
        self.export_box(ui);
        self.closing(ui);
    }

    /// Chart and strokes.
    fn map_side(&mut self, ui: &mut Ui) {
        // In a small window the chart goes before the strokes, and the strokes before the pad.
        let room = ui.available_size();
        if room.y > tokens::ROOM_FOR_STRIP {
            Panel::bottom("strokes")
                .resizable(true)
                .default_size(tokens::STRIP_HEIGHT.min(0.3 * room.y))
                .min_size(tokens::STRIP_LEAST.min(0.3 * room.y))
                .max_size(0.42 * room.y)
                .show(ui, |ui| self.strip(ui));
        }
        CentralPanel::default().show(ui, |ui| self.chart(ui));
    }

    fn strip(&mut self, ui: &mut Ui) {
        ui.horizontal_top(|ui| {
            let room = ui.available_size();
            if room.x < tokens::ROOM_FOR_PAD {
                ui.vertical(|ui| self.strokes(ui));
                return;
            }
            let pad = tokens::PAD_WIDTH.min(0.36 * room.x);
            ui.allocate_ui(egui::vec2(room.x - pad - 10.0, room.y), |ui| {
                ui.vertical(|ui| self.strokes(ui));
            });
            ui.allocate_ui(egui::vec2(pad, room.y), |ui| {
                ui.vertical(|ui| self.pad(ui));
            });
        });
    }

    /// Looks now and then whether the measurement's file was written, as on a bench.
    fn watch_file(&mut self, ui: &Ui) {
        if self.session.bench().is_demo {
            return;
        }
        let now = ui.input(|input| input.time);
        if now - self.view.looked_at >= LOOK_EVERY_S {
            self.view.looked_at = now;
            let is_idle = !self.session.is_opening();
            self.view.has_changed = is_idle && self.session.bench().has_changed_on_disk();
            if self.view.has_changed && self.view.follows_file {
                self.view.has_changed = false;
                self.session.begin_reading_again();
            }
        }
        ui.ctx()
            .request_repaint_after(std::time::Duration::from_secs_f64(LOOK_EVERY_S));
    }

    fn take_dropped(&mut self, ui: &Ui) {
        let dropped = ui.input(|input| input.raw.dropped_files.clone());
        if let Some(path) = dropped.first().map(|file| file.path().to_path_buf()) {
            self.act_on_file(Purpose::Open, &path, false);
        }
    }

    /// Does with a file what it was chosen for.
    pub(crate) fn act_on_file(&mut self, purpose: Purpose, path: &Path, replace: bool) {
        let done = match purpose {
            Purpose::Open => self.open_any(path),
            Purpose::SaveMap => self.session.save(path, replace).map(|()| None),
            Purpose::SaveExport => self.save_export(path, replace).map(Some),
            Purpose::SavePicture => self.save_chart(path, replace).map(Some),
            Purpose::MeasureInto => filled(&mut self.measuring.form.out, path),
            Purpose::ReadingsFrom => filled(&mut self.measuring.form.from, path),
            Purpose::Rig => filled(&mut self.measuring.form.rig, path),
        };
        match done {
            Ok(Some(notice)) => self.session.say(notice),
            Ok(None) => {}
            Err(failure) => self.session.complain(&failure),
        }
    }

    /// Opens a measurement or a map; takes a receiver or a target from its file.
    fn open_any(&mut self, path: &Path) -> Result<Option<String>, Failure> {
        match kind(path) {
            Kind::Receiver => {
                let profile = evenhand_workflow::receiver_file(path)?;
                let notice = format!("receiver {}", profile.name());
                let command = Command::SetReceiver(Box::new(profile));
                Ok(self.session.perform(command).then_some(notice))
            }
            Kind::Target => {
                let notice = format!("shape of {}", path.display());
                let command = Command::SetTarget(resolve_target_file(path)?);
                Ok(self.session.perform(command).then_some(notice))
            }
            Kind::Other => {
                self.session.begin_opening(path);
                self.view.awaits_file = true;
                Ok(None)
            }
        }
    }

    fn save_export(&self, path: &Path, replace: bool) -> Result<String, Failure> {
        refuse_input(path, &self.session.inputs())?;
        let (_, _, form) = FORMS[self.view.export_form];
        // A card is a page to type from, as text or as a picture.
        if let (ExportForm::Card, Some(kind)) = (form, picture_by_ending(path)) {
            let card = self.session.card(Theme::Light)?;
            save_picture(card, path, kind, replace)?;
        } else {
            let text = self.session.export(form)?;
            evenhand_text::save_atomically(path, text.as_bytes(), replace)?;
        }
        Ok(format!("exported to {}", path.display()))
    }

    fn save_chart(&self, path: &Path, replace: bool) -> Result<String, Failure> {
        let kind = picture_form(path, replace, &self.session.inputs())?;
        let session = &self.session;
        let chart = chart_data(session, &self.view, force_end(session));
        let document = session.document();
        let built = &session.figures().built;
        let name = session.bench().name();
        let title = format!("Response, map, brush and result of {name}");
        let subtitle = format!(
            "{}: {}, full at {:.1} gf; stylus error {:.2} %, at most {:.2} %",
            document.profile.name(),
            document.request.target.label,
            built.full_at.gf(),
            100.0 * built.stylus_error.median,
            100.0 * built.stylus_error.high
        );
        let footer = "A map changes what is drawn, not what the hand presses; with pain or numbness rest, and ask a clinician.";
        let svg = quadrants_svg(&chart, (&title, &subtitle, footer), Theme::Light);
        save_picture(svg, path, kind, replace)?;
        Ok(format!("chart saved as {}", path.display()))
    }

    /// Asks before a window with unsaved work closes.
    fn closing(&mut self, ui: &Ui) {
        let is_requested = ui.ctx().input(|input| input.viewport().close_requested());
        if is_requested && self.session.is_changed() && !self.view.may_close {
            ui.ctx()
                .send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.view.is_closing = true;
        }
        if !self.view.is_closing {
            return;
        }
        let mut close = false;
        let modal = egui::Modal::new(egui::Id::unique("closing")).show(ui.ctx(), |ui| {
            ui.heading("The map is not saved");
            ui.horizontal(|ui| {
                if ui.button("Save it").clicked() {
                    self.save();
                    close = !self.session.is_changed();
                    self.view.is_closing = false;
                }
                if ui.button("Close without saving").clicked() {
                    close = true;
                }
                if ui.button("Go on working").clicked() {
                    self.view.is_closing = false;
                }
            });
        });
        if modal.should_close() {
            self.view.is_closing = false;
        }
        if close {
            self.view.may_close = true;
            self.view.is_closing = false;
            ui.ctx().send_viewport_cmd(egui::ViewportCommand::Close);
        }
    }
}
