//! Choosing files inside the window: no library of the system is needed, and readers of screens see it.

use std::path::{Path, PathBuf};

use egui::{Key, Ui};
use evenhand_text::clean;

use crate::editor::Editor;

/// What a file is chosen for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Purpose {
    Open,
    SaveMap,
    SaveExport,
    SavePicture,
    /// A measurement that is recorded, new or begun before.
    MeasureInto,
    ReadingsFrom,
    Rig,
}

impl Purpose {
    /// Whether the file is written as soon as it is chosen.
    fn writes_at_once(self) -> bool {
        matches!(self, Self::SaveMap | Self::SaveExport | Self::SavePicture)
    }
}

/// A file that is being chosen.
pub(crate) struct FileChoice {
    pub(crate) purpose: Purpose,
    folder: PathBuf,
    name: String,
    /// An entry that was clicked: its name as it is shown need not be its name.
    clicked: Option<PathBuf>,
    /// Asked to be replaced.
    replaces: Option<PathBuf>,
    /// Whether the name has been given the focus.
    is_ready: bool,
    /// Entries of the folder, and whether they are folders.
    listed: Option<(PathBuf, Vec<(PathBuf, bool)>)>,
}

/// Entries that are listed.
const MOST_ENTRIES: usize = 400;

/// A file's name as it is shown.
fn shown_name(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default();
    clean(&name.to_string_lossy())
}

impl FileChoice {
    pub(crate) fn new(purpose: Purpose, folder: &Path, name: &str) -> Self {
        let folder = folder
            .canonicalize()
            .unwrap_or_else(|_| folder.to_path_buf());
        Self {
            purpose,
            folder,
            name: name.to_owned(),
            clicked: None,
            replaces: None,
            is_ready: false,
            listed: None,
        }
    }

    fn title(&self) -> &'static str {
        match self.purpose {
            Purpose::Open => "Open a measurement or a map",
            Purpose::SaveMap => "Save the map",
            Purpose::SaveExport => "Save the export",
            Purpose::SavePicture => "Save the chart, .svg or .png",
            Purpose::MeasureInto => "Measurement to write",
            Purpose::ReadingsFrom => "Where readings come from",
            Purpose::Rig => "The bench",
        }
    }

    /// The path that is named: a name in the folder, or a path of its own.
    fn path(&self) -> Option<PathBuf> {
        let is_shown =
            |path: &&PathBuf| path.parent() == Some(&*self.folder) && shown_name(path) == self.name;
        if let Some(clicked) = self.clicked.as_ref().filter(is_shown) {
            return Some(clicked.clone());
        }
        let name = self.name.trim();
        let is_map = self.purpose == Purpose::SaveMap;
        // A map is known by its ending elsewhere.
        let ending = if is_map && !name.ends_with(".toml") {
            ".map.toml"
        } else {
            ""
        };
        (!name.is_empty()).then(|| self.folder.join(format!("{name}{ending}")))
    }

    fn is_shown(&self, path: &Path) -> bool {
        if path.is_dir() {
            return true;
        }
        let ending = path.extension().and_then(|ending| ending.to_str());
        match self.purpose {
            Purpose::Open => matches!(ending, Some("csv" | "tsv" | "txt" | "toml")),
            Purpose::SaveMap | Purpose::Rig => ending == Some("toml"),
            Purpose::SaveExport | Purpose::ReadingsFrom => true,
            Purpose::MeasureInto => ending == Some("csv"),
            Purpose::SavePicture => matches!(ending, Some("svg" | "png")),
        }
    }

    /// What the folder holds, read once.
    fn entries(&mut self) -> Vec<(PathBuf, bool)> {
        if let Some((_, entries)) = self.listed.as_ref().filter(|(of, _)| *of == self.folder) {
            return entries.clone();
        }
        let entries = self.read_folder();
        self.listed = Some((self.folder.clone(), entries.clone()));
        entries
    }

    fn read_folder(&self) -> Vec<(PathBuf, bool)> {
        let Ok(read) = std::fs::read_dir(&self.folder) else {
            return Vec::new();
        };
        let mut found: Vec<(PathBuf, bool)> = read
            .filter_map(Result::ok)
            .map(|entry| entry.path())
            .filter(|path| {
                let name = path.file_name().unwrap_or_default();
                !name.to_string_lossy().starts_with('.') && self.is_shown(path)
            })
            .map(|path| (path.clone(), path.is_dir()))
            .collect();
        found.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        found.truncate(MOST_ENTRIES);
        found
    }
}

impl Editor {
    /// The dialog, where one is open.
    pub(crate) fn file_dialog(&mut self, ui: &Ui) {
        let Some(mut choice) = self.view.choice.take() else {
            return;
        };
        let mut is_open = true;
        let mut chosen: Option<PathBuf> = None;
        let modal = egui::Modal::new(egui::Id::unique("files")).show(ui.ctx(), |ui| {
            ui.set_width(460.0);
            ui.heading(choice.title());
            ui.label(choice.folder.display().to_string());
            ui.horizontal(|ui| {
                if ui.button("Up one folder").clicked()
                    && let Some(parent) = choice.folder.parent()
                {
                    choice.folder = parent.to_path_buf();
                }
            });
            egui::ScrollArea::vertical()
                .max_height(240.0)
                .auto_shrink(false)
                .show(ui, |ui| {
                    for (path, is_folder) in choice.entries() {
                        let name = shown_name(&path);
                        let shown = if is_folder {
                            format!("{name}/")
                        } else {
                            name.clone()
                        };
                        let response = ui.selectable_label(choice.name == name, shown);
                        if response.clicked() {
                            if is_folder {
                                choice.folder = path;
                            } else {
                                choice.name = name;
                                choice.clicked = Some(path);
                            }
                        }
                        if response.double_clicked() && !is_folder {
                            chosen = choice.path();
                        }
                    }
                });
            let label = ui.label("Name or path");
            let field = ui
                .add(egui::TextEdit::singleline(&mut choice.name).desired_width(f32::INFINITY))
                .labelled_by(label.id);
            if !choice.is_ready {
                field.request_focus();
                choice.is_ready = true;
            }
            let entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
            if let Some(path) = &choice.replaces {
                ui.label(format!("{} exists.", path.display()));
            }
            ui.horizontal(|ui| {
                let word = match (choice.purpose, choice.replaces.is_some()) {
                    (Purpose::Open, _) => "Open file",
                    (Purpose::MeasureInto | Purpose::ReadingsFrom | Purpose::Rig, _) => {
                        "Choose this"
                    }
                    (_, true) => "Replace it",
                    (_, false) => "Save file",
                };
                if ui.button(word).clicked() || entered {
                    chosen = choice.path();
                }
                if ui.button("Cancel").clicked() {
                    is_open = false;
                }
            });
        });
        is_open &= !modal.should_close();
        let Some(path) = chosen else {
            self.view.choice = is_open.then_some(choice);
            return;
        };
        let replace = choice.replaces.as_deref() == Some(&*path);
        let is_own = choice.purpose == Purpose::SaveMap && self.session.path() == Some(&*path);
        if choice.purpose.writes_at_once() && path.exists() && !replace && !is_own {
            choice.replaces = Some(path);
            self.view.choice = Some(choice);
            return;
        }
        self.view.folder.clone_from(&choice.folder);
        self.act_on_file(choice.purpose, &path, replace);
    }
}
