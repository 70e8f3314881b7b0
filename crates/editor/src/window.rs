//! The editor's window.

use std::panic::AssertUnwindSafe;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};

use egui::ViewportBuilder;
use evenhand_workflow::Failure;
use thiserror::Error;

use crate::editor::{Editor, Start};

/// Why there is no window.
#[derive(Debug, Error)]
pub enum WindowError {
    /// The file cannot be opened.
    #[error("{0}")]
    File(Failure),
    /// There is nothing to show a window on, or a library for it is missing.
    #[error("{reason}")]
    NoWindow {
        /// What was said of it.
        reason: String,
        /// What to do.
        help: String,
    },
}

/// Variable that names another folder for work that outlives a kill.
const DATA_FOLDER: &str = "EVENHAND_DATA_DIR";
const SIZE: [f32; 2] = [1280.0, 820.0];
const LEAST: [f32; 2] = [760.0, 540.0];

/// The platform's folder for the program's data, or the one that `EVENHAND_DATA_DIR` names.
#[must_use]
pub fn data_folder() -> Option<PathBuf> {
    std::env::var_os(DATA_FOLDER)
        .filter(|folder| !folder.is_empty())
        .map(PathBuf::from)
        .or_else(|| {
            let folders = directories::ProjectDirs::from("", "", "evenhand")?;
            Some(folders.data_dir().to_path_buf())
        })
}

struct App(Editor);

impl eframe::App for App {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.0.ui(ui);
    }
}

/// Opens the window and stays until it is closed.
///
/// # Errors
/// A file that cannot be opened, and a machine without a display or without a library that windows need.
pub fn run(start: &Start) -> Result<(), WindowError> {
    // Whatever is wrong with the file is said before a window opens.
    let opened = start.opened().map_err(WindowError::File)?;
    if !has_display() {
        return Err(WindowError::NoWindow {
            reason: "no window can be opened: there is no display (neither WAYLAND_DISPLAY nor DISPLAY is set)".to_owned(),
            help: "run it where a desktop is shown; every other command works without one"
                .to_owned(),
        });
    }
    let mut failed = None;
    let began = AtomicBool::new(false);
    let options = eframe::NativeOptions {
        viewport: ViewportBuilder::default()
            .with_title("Evenhand")
            .with_app_id("evenhand")
            .with_inner_size(SIZE)
            .with_min_inner_size(LEAST),
        ..eframe::NativeOptions::default()
    };
    let begin = start.clone();
    let shown = quietly(|| {
        eframe::run_native(
            "Evenhand",
            options,
            Box::new(|context| {
                let egui = context.egui_ctx.clone();
                Editor::dress(&egui);
                let editor = Editor::with_opened(&begin, opened, move || egui.request_repaint());
                began.store(true, Ordering::Relaxed);
                match editor {
                    Ok(editor) => Ok(Box::new(App(editor))),
                    Err(failure) => {
                        failed = Some(failure);
                        Err("the file cannot be opened".into())
                    }
                }
            }),
        )
    });
    if let Some(failure) = failed {
        return Err(WindowError::File(failure));
    }
    match shown {
        Ok(Ok(())) => Ok(()),
        Ok(Err(error)) => Err(no_window(&error.to_string())),
        Err(reason) if began.load(Ordering::Relaxed) => Err(WindowError::NoWindow {
            reason: format!("the window ended with a fault: {reason}"),
            help: "start it again: what was not saved is offered for recovery; please report the fault"
                .to_owned(),
        }),
        Err(message) => Err(no_window(&message)),
    }
}

#[cfg(target_os = "linux")]
fn has_display() -> bool {
    ["WAYLAND_DISPLAY", "WAYLAND_SOCKET", "DISPLAY"]
        .iter()
        .any(|name| std::env::var_os(name).is_some_and(|value| !value.is_empty()))
}

#[cfg(not(target_os = "linux"))]
fn has_display() -> bool {
    true
}

/// Runs something that may panic, as libraries do where one of the system's is missing; its words instead.
fn quietly<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    let before = std::panic::take_hook();
    let words = std::sync::Arc::new(std::sync::Mutex::new(String::new()));
    let heard = std::sync::Arc::clone(&words);
    std::panic::set_hook(Box::new(move |info| {
        let text = info.payload();
        let text = text
            .downcast_ref::<String>()
            .cloned()
            .or_else(|| text.downcast_ref::<&str>().map(|text| (*text).to_owned()))
            .unwrap_or_default();
        if let Ok(mut words) = heard.lock()
            && words.is_empty()
        {
            *words = text;
        }
    }));
    let done = std::panic::catch_unwind(AssertUnwindSafe(work));
    std::panic::set_hook(before);
    done.map_err(|_| {
        words
            .lock()
            .map_or_else(|_| String::new(), |words| words.clone())
    })
}

/// Libraries that windows load while they run, by a part of their name, with the package that has them.
const LIBRARIES: [(&str, &str); 9] = [
    ("xkbcommon-x11", "libxkbcommon-x11-0"),
    ("xkbcommon", "libxkbcommon0"),
    ("X11-xcb", "libx11-xcb1"),
    ("X11", "libx11-6"),
    ("Xcursor", "libxcursor1"),
    ("Xi", "libxi6"),
    ("EGL", "libegl1"),
    ("wayland", "libwayland-client0"),
    ("GL", "libgl1"),
];

fn no_window(reason: &str) -> WindowError {
    let reason = if reason.is_empty() {
        "the windowing library gave up"
    } else {
        reason
    };
    let missing = LIBRARIES.iter().find(|(part, _)| reason.contains(part));
    let help = match missing {
        None => "check that the display can be reached; every other command works without one"
            .to_owned(),
        Some((part, package)) => format!(
            "a library seems to be missing: lib{part}; on Debian and its kin install {package}"
        ),
    };
    WindowError::NoWindow {
        reason: format!("no window can be opened: {}", last_words(reason)),
        help,
    }
}

/// What an error says at its end; before that libraries tell where in their own code they gave up.
fn last_words(reason: &str) -> String {
    let line = reason.lines().next().unwrap_or_default();
    let is_located = line.contains(".rs:");
    let words = line.rsplit(": ").next().filter(|_| is_located);
    words.unwrap_or(line).to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn missing_libraries_are_named_with_their_package() {
        let help = |reason: &str| match no_window(reason) {
            WindowError::NoWindow { help, .. } => help,
            WindowError::File(_) => panic!("a window"),
        };
        let missing = help("Library libxkbcommon-x11.so could not be loaded.");
        assert!(missing.contains("libxkbcommon-x11-0"), "{missing}");
        assert!(!help("").is_empty());
    }

    #[test]
    fn a_panic_becomes_its_words() {
        assert_eq!(quietly(|| 3), Ok(3));
        let ended = quietly(|| -> u8 { panic!("libEGL is gone") });
        assert_eq!(ended, Err("libEGL is gone".to_owned()));
    }
}
