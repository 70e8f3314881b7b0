//! A few pictures of the window, compared pixel by pixel. They are painted in software and need neither display
//! nor driver; with `UPDATE_SNAPSHOTS=true` they are taken anew.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

mod painter;

use egui::Theme;
use egui_kittest::{Harness, SnapshotResults};
use evenhand_editor::{Command, Editor, Start};
use evenhand_receiver::ControlPoint;

use crate::painter::Painter;

fn window<'a>(size: [f32; 2], scale: f32, theme: Theme) -> Harness<'a, Editor> {
    let editor = Editor::new(&Start::default(), || ()).unwrap();
    let mut window = Harness::builder()
        .with_size(size)
        .with_pixels_per_point(scale)
        .with_theme(theme)
        .with_context_setup(Editor::dress)
        .renderer(Painter::default())
        .build_ui_state(|ui, editor: &mut Editor| editor.ui(ui), editor);
    window.run_steps(6);
    window
}

#[test]
fn the_window_looks_as_it_did() {
    let mut results = SnapshotResults::new();
    let mut light = window([1400.0, 900.0], 1.0, Theme::Light);
    results.add(light.try_snapshot("start-light"));
    let mut dark = window([1000.0, 700.0], 1.0, Theme::Dark);
    let session = dark.state_mut().session_mut();
    let at = session.document().points[3];
    session.perform(Command::MovePoint {
        index: 3,
        to: ControlPoint::new(at.input - 0.03, at.output + 0.05),
    });
    session.perform(Command::SetLock {
        index: 3,
        locked: true,
    });
    dark.run_steps(4);
    results.add(dark.try_snapshot("tuned-dark"));
}
