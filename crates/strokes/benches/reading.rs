//! Times of reading recordings of 100,000 points: `cargo bench -p evenhand-strokes`.

use std::fmt::Write as _;

use divan::{Bencher, black_box};
use evenhand_strokes::{Levels, read_inkml, read_stroke_table};

fn main() {
    divan::main();
}

#[divan::bench]
fn inkml(bencher: Bencher<'_, '_>) {
    let mut text = String::from(
        "<ink><traceFormat><channel name=\"X\"/><channel name=\"Y\"/><channel name=\"F\" max=\"8191\"/></traceFormat>",
    );
    for _ in 0..400 {
        text.push_str("<trace>");
        for index in 0..250 {
            let comma = if index == 0 { "" } else { "," };
            let _ = write!(text, "{comma}{}.25 {} {}", index, 3 * index, 20 * index);
        }
        text.push_str("</trace>");
    }
    text.push_str("</ink>");
    bencher.bench_local(|| read_inkml(black_box(&text)).and_then(|found| found.strokes(None)));
}

#[divan::bench]
fn table(bencher: Bencher<'_, '_>) {
    let mut text = String::from("stroke,x,y,t_ms,reported_percent\n");
    for index in 0..100_000 {
        let _ = writeln!(
            text,
            "{},{}.25,{},{},{}.5",
            index / 250,
            index % 250,
            index % 77,
            5 * index,
            index % 99
        );
    }
    bencher
        .bench_local(|| read_stroke_table("t.csv", black_box(text.as_bytes()), Levels::default()));
}
