//! The window without a display, as journeys through it begin.

use egui_kittest::Harness;
use evenhand_editor::{Editor, Start};

pub(crate) type Window<'a> = Harness<'a, Editor>;

pub(crate) fn window_of<'a>(start: &Start) -> Window<'a> {
    let editor = Editor::new(start, || ()).unwrap();
    let mut window = Harness::builder()
        .with_size([1280.0, 860.0])
        .with_theme(egui::Theme::Light)
        .with_context_setup(Editor::dress)
        .build_ui_state(|ui, editor: &mut Editor| editor.ui(ui), editor);
    window.run_steps(4);
    window
}

pub(crate) fn window<'a>() -> Window<'a> {
    window_of(&Start::default())
}
