//! Whatever the points: outlines of finite corners.
#![no_main]

use evenhand_preview::{InkPoint, outlines};

libfuzzer_sys::fuzz_target!(|points: Vec<(f32, f32, f32)>| {
    let points: Vec<InkPoint> = points
        .into_iter()
        .map(|(x, y, width)| InkPoint {
            x: x.into(),
            y: y.into(),
            width: width.into(),
        })
        .collect();
    for polygon in outlines(&points) {
        assert!(!polygon.is_empty());
        assert!(polygon.iter().all(|(x, y)| x.is_finite() && y.is_finite()));
    }
});
