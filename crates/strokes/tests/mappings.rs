//! The types of mapping that the standard lists.

use evenhand_strokes::{Mapping, Values, read_inkml};

fn mapping(attributes: &str, inside: &str) -> Mapping {
    let text = format!(
        "<ink xmlns=\"http://www.w3.org/2003/InkML\" xmlns:m=\"http://www.w3.org/1998/Math/MathML\"><definitions><mapping {attributes}>{inside}</mapping></definitions></ink>"
    );
    Mapping::parse(&text).expect("a mapping")
}

fn applied(mapping: &Mapping, values: &[(&str, f64)]) -> Vec<f64> {
    let mut all: Values = values.iter().map(|(n, v)| ((*n).to_owned(), *v)).collect();
    mapping.apply(&mut all);
    all.into_iter().map(|(_, value)| value).collect()
}

const BINDS: &str = r#"<bind source="F" column="1"/><bind target="W" column="2"/>"#;

fn table(attributes: &str, x: f64) -> f64 {
    let inside = format!("{BINDS}<table {attributes}>0 1, 10 2, 20 6</table>");
    applied(&mapping(r#"type="lookup""#, &inside), &[("F", x)])[1]
}

#[test]
fn tables_step_or_run_straight() {
    let at = |joining: &str| {
        let attributes = format!("interpolation=\"{joining}\"");
        [-1.0, 0.0, 4.0, 5.0, 10.0, 16.0, 99.0].map(|x| table(&attributes, x))
    };
    assert_eq!(at("floor"), [1.0, 1.0, 1.0, 1.0, 2.0, 2.0, 6.0]);
    assert_eq!(at("ceiling"), [1.0, 1.0, 2.0, 2.0, 2.0, 6.0, 6.0]);
    assert_eq!(at("middle"), [1.0, 1.0, 1.0, 2.0, 2.0, 6.0, 6.0]);
    assert_eq!(at("linear"), [1.0, 1.0, 1.4, 1.5, 2.0, 4.4, 6.0]);
}

#[test]
fn a_cubic_table_is_a_natural_spline() {
    // By hand for (0, 1), (10, 2), (20, 6): curvature 0.045 in the middle, so S(5) = 1.5 − 0.1875 − … of the
    // moment equation 40 M = 6 (0.4 − 0.1); S(5) = 1.5 − M 10² / 16.
    let moment: f64 = 6.0 * (0.4 - 0.1) / 40.0;
    let expected = 1.5 - moment * 100.0 / 16.0;
    assert!((table("interpolation=\"cubic\"", 5.0) - expected).abs() < 1e-12);
}

#[test]
fn a_relative_table_adds() {
    assert_eq!(table("apply=\"relative\"", 5.0), 6.5);
}

#[test]
fn affine_mappings_are_sums() {
    let inside = r#"<bind source="X"/><bind source="Y"/><bind target="X"/><bind target="Y"/><affine>2 0 1, 1 -1 0.5</affine>"#;
    let affine = mapping(r#"type="affine""#, inside);
    let found = applied(&affine, &[("X", 3.0), ("Y", 4.0)]);
    assert_eq!(found, [7.0, -0.5]);
}

#[test]
fn formulas_are_evaluated() {
    let inside = r#"<bind source="F" variable="f"/><bind target="W" variable="w"/>
<m:math><m:apply><m:eq/><m:ci>w</m:ci><m:apply><m:plus/><m:cn>1</m:cn><m:apply><m:power/><m:ci>f</m:ci><m:cn>2</m:cn></m:apply></m:apply></m:apply></m:math>"#;
    let found = applied(&mapping(r#"type="mathml""#, inside), &[("F", 3.0)]);
    assert_eq!(found, [3.0, 10.0]);
    // A formula that is no number leaves the target alone.
    let inside =
        r#"<bind source="F"/><bind target="W"/><math><apply><ln/><ci>F</ci></apply></math>"#;
    let found = applied(&mapping(r#"type="mathml""#, inside), &[("F", -3.0)]);
    assert_eq!(found, [-3.0]);
}

#[test]
fn products_follow_one_another() {
    let scale = r#"<mapping type="affine"><bind source="F"/><bind target="F"/><affine>10 0</affine></mapping>"#;
    let inside = format!(
        "{scale}<mapping type=\"identity\"/><mapping type=\"unknown\"/><mapping type=\"lookup\">{BINDS}<table>0 1, 10 2, 20 6</table></mapping>"
    );
    let found = applied(&mapping(r#"type="product""#, &inside), &[("F", 1.5)]);
    assert_eq!(found, [15.0, 4.0]);
}

#[test]
fn what_is_not_known_is_refused_with_its_name() {
    let refused = |attributes: &str, inside: &str| {
        let text = format!("<ink><mapping {attributes}>{inside}</mapping></ink>");
        Mapping::parse(&text).unwrap_err().found
    };
    assert!(refused(r#"type="lut""#, "").contains("lut"));
    assert!(refused(r#"type="lookup""#, BINDS).contains("table"));
    let unsorted = format!("{BINDS}<table>0 1, 0 2</table>");
    assert!(refused(r#"type="lookup""#, &unsorted).contains("no curve"));
    let words = format!("{BINDS}<table>0 one</table>");
    assert!(refused(r#"type="lookup""#, &words).contains("one"));
    let formula = r#"<bind target="W"/><math><apply><sech/><ci>F</ci></apply></math>"#;
    assert!(refused(r#"type="mathml""#, formula).contains("sech"));
    let deep = "<mapping type=\"product\">".repeat(30) + &"</mapping>".repeat(30);
    assert!(refused(r#"type="product""#, &deep).contains("deep"));
}

#[test]
fn contexts_map_to_the_canvas() {
    let text = r##"<ink><definitions>
<context xml:id="c"><traceFormat><channel name="X"/><channel name="Y"/><channel name="F" max="100"/></traceFormat>
<canvasTransform><mapping type="affine"><bind source="X"/><bind source="Y"/><bind target="X"/><bind target="Y"/><affine>0 1 0, 2 0 0</affine></mapping></canvasTransform></context>
</definitions><trace contextRef="#c">1 2 50, 3 4 100</trace></ink>"##;
    let strokes = read_inkml(text).unwrap().strokes(None).unwrap();
    let places: Vec<(f64, f64, f64)> = strokes.strokes[0]
        .points
        .iter()
        .map(|point| (point.x, point.y, point.press))
        .collect();
    assert_eq!(places, [(2.0, 2.0, 0.5), (4.0, 6.0, 1.0)]);
}
