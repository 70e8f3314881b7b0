//! Maps written as a `mapping` of `InkML` (W3C Recommendation, 20 September 2011; element names from memory),
//! read by the reader of recordings, which shares nothing with the writer.

use evenhand_curve::Curve as _;
use evenhand_receiver::{ControlPoint, ExportForm, MapCurve, MapInterpolation, export, profile};
use evenhand_strokes::Mapping;

#[test]
fn an_exported_map_is_the_mapping_it_says() {
    let points = [(0.0, 0.0), (0.1, 0.05), (0.45, 0.7), (0.8, 1.0), (1.0, 1.0)]
        .map(|(x, y)| ControlPoint::new(x, y));
    let receiver = profile("segments-8").unwrap();
    let text = export(ExportForm::Inkml, receiver, &points, None).unwrap();
    let mapping = Mapping::parse(&text).unwrap();
    let map = MapCurve::new(MapInterpolation::Linear, &points, None).unwrap();
    for step in 0..=1000 {
        let reading = f64::from(step) / 1000.0;
        let mut values = vec![("F".to_owned(), reading)];
        mapping.apply(&mut values);
        let off = (values[0].1 - map.value(reading)).abs();
        assert!(off < 1e-12, "{reading}");
    }
}
