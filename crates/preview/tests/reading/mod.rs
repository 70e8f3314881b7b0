//! Reads a drawn chart back, with the places at which its texts and lines are drawn.

use std::sync::Arc;

use resvg::usvg::{Group, Node, Options, Rect, Tree, fontdb::Database};

/// A chart as read back.
pub(crate) struct Picture {
    pub(crate) width: f32,
    pub(crate) height: f32,
    /// All texts with the boxes they fill.
    pub(crate) texts: Vec<(String, Rect)>,
    /// Boxes of all shapes, outlines included.
    pub(crate) shapes: Vec<Rect>,
    /// Boxes of straight upright and level lines.
    pub(crate) lines: Vec<Rect>,
}

impl Picture {
    pub(crate) fn from_svg(svg: &str) -> Self {
        let mut fonts = Database::new();
        fonts.load_font_data(epaint_default_fonts::UBUNTU_LIGHT.to_vec());
        fonts.load_font_data(epaint_default_fonts::HACK_REGULAR.to_vec());
        let options = Options {
            fontdb: Arc::new(fonts),
            ..Options::default()
        };
        let tree = Tree::from_str(svg, &options).expect("an SVG");
        let mut picture = Self {
            width: tree.size().width(),
            height: tree.size().height(),
            texts: Vec::new(),
            shapes: Vec::new(),
            lines: Vec::new(),
        };
        picture.collect(tree.root());
        picture
    }

    fn collect(&mut self, group: &Group) {
        for node in group.children() {
            match node {
                Node::Group(group) => self.collect(group),
                Node::Text(text) => {
                    let words = text.chunks().iter().map(|c| c.text().to_owned()).collect();
                    self.texts.push((words, text.abs_bounding_box()));
                }
                Node::Path(path) => {
                    let bare = path.abs_bounding_box();
                    let drawn = path.abs_stroke_bounding_box();
                    if bare.width() < 0.01 || bare.height() < 0.01 {
                        self.lines.push(drawn);
                    }
                    self.shapes.push(drawn);
                }
                Node::Image(_) => panic!("charts have no images"),
            }
        }
    }

    /// What is wrong with the places of texts and shapes; empty for a sound chart.
    pub(crate) fn faults(&self) -> Vec<String> {
        let mut faults = Vec::new();
        let whole = Rect::from_xywh(0.0, 0.0, self.width, self.height).expect("a size");
        let inside = |r: &Rect| {
            let slack = 0.02;
            r.left() >= whole.left() - slack
                && r.top() >= whole.top() - slack
                && r.right() <= whole.right() + slack
                && r.bottom() <= whole.bottom() + slack
        };
        for (words, place) in &self.texts {
            if !inside(place) {
                faults.push(format!("{words:?} leaves the picture: {place:?}"));
            }
            for line in &self.lines {
                if overlap(place, line) {
                    faults.push(format!("{words:?} is crossed by a line: {line:?}"));
                }
            }
        }
        for shape in self.shapes.iter().filter(|shape| !inside(shape)) {
            faults.push(format!("a shape leaves the picture: {shape:?}"));
        }
        for (index, (words, place)) in self.texts.iter().enumerate() {
            for (others, other) in &self.texts[index + 1..] {
                if overlap(place, other) {
                    faults.push(format!("{words:?} and {others:?} overlap"));
                }
            }
        }
        faults
    }
}

/// Whether two boxes share more than half a unit to each side.
fn overlap(one: &Rect, other: &Rect) -> bool {
    let shared = |from: f32, to: f32| to - from > 0.5;
    shared(one.left().max(other.left()), one.right().min(other.right()))
        && shared(one.top().max(other.top()), one.bottom().min(other.bottom()))
}
