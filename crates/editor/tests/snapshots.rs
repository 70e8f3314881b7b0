//! A few pictures of the window, compared pixel by pixel. They are painted in software and need neither display
//! nor driver; with `UPDATE_SNAPSHOTS=true` they are taken anew.

mod painter;

use egui::Theme;
use egui_kittest::SnapshotResults;
use evenhand_editor::{Command, Start};
use evenhand_receiver::ControlPoint;

use crate::painter::window;

#[test]
fn the_window_looks_as_it_did() {
    let mut results = SnapshotResults::new();
    let start = Start::default();
    let mut light = window(&start, [1400.0, 900.0], 1.0, Theme::Light).unwrap();
    results.add(light.try_snapshot("start-light"));
    let mut dark = window(&start, [1000.0, 700.0], 1.0, Theme::Dark).unwrap();
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
