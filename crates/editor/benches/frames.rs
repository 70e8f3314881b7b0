//! Times of a drag and of a frame: `cargo bench -p evenhand-editor`.
//!
//! A drag in the editor should be solved and drawn within 16 ms, of which solving 8 ms.

use divan::{Bencher, black_box};
use egui_kittest::Harness;
use evenhand_editor::{Command, Editor, Session, Start, demo};
use evenhand_measurement::Force;
use evenhand_receiver::{ControlPoint, profile};

fn main() {
    divan::main();
}

fn session() -> Option<Session> {
    Session::new(demo().ok()?, None, || ()).ok()
}

/// Another full-at each time, as while the wanted result is dragged: solved and judged.
#[divan::bench(args = ["segments-8", "segments-8-percent", "segments-8-byte"])]
fn drag_wanted_result(bencher: Bencher<'_, '_>, receiver: &str) {
    let (Some(mut session), Some(receiver)) = (session(), profile(receiver)) else {
        return;
    };
    session.perform(Command::SetReceiver(Box::new(receiver.clone())));
    let mut step = 0_u32;
    bencher.bench_local(|| {
        step += 1;
        let force = 100.0 + f64::from(step % 80) * 0.5;
        black_box(session.apply(Command::SetFullAt(Force::from_gf(force))))
    });
}

/// A control point a little further each time: judged, not solved.
#[divan::bench]
fn drag_point(bencher: Bencher<'_, '_>) {
    let Some(mut session) = session() else { return };
    let start = session.document().points[3];
    let mut step = 0_u32;
    bencher.bench_local(|| {
        step += 1;
        let by = f64::from(step % 40) * 0.001;
        let to = ControlPoint::new(start.input + by, start.output + by);
        black_box(session.apply(Command::MovePoint { index: 3, to }))
    });
}

fn window<'a>() -> Option<Harness<'a, Editor>> {
    let editor = Editor::new(&Start::default(), || ()).ok()?;
    let mut window = Harness::builder()
        .with_size([1400.0, 900.0])
        .with_context_setup(Editor::dress)
        .build_ui_state(|ui, editor: &mut Editor| editor.ui(ui), editor);
    window.run_steps(4);
    Some(window)
}

/// A frame in which nothing changes: layout and shapes, without the graphics card.
#[divan::bench]
fn frame_at_rest(bencher: Bencher<'_, '_>) {
    let Some(mut window) = window() else { return };
    bencher.bench_local(|| window.step());
}

/// A frame of a drag: solved, judged, strokes drawn again, layout and shapes.
#[divan::bench]
fn frame_of_a_drag(bencher: Bencher<'_, '_>) {
    let Some(mut window) = window() else { return };
    let mut step = 0_u32;
    bencher.bench_local(|| {
        step += 1;
        let force = 100.0 + f64::from(step % 80) * 0.5;
        let session = window.state_mut().session_mut();
        session.apply(Command::SetFullAt(Force::from_gf(force)));
        window.step();
    });
}
