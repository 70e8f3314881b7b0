//! `InkML` documents: trace formats and traces.

use roxmltree::{Document, Node};

use crate::channel::{Channel, ChannelKind};
use crate::decode::decode;
use crate::error::RecordingError;
use crate::mapping::Mapping;

/// The namespace of `InkML` ends so.
const NAMESPACE_END: &str = "/InkML";
/// References that are followed from one element to the next.
const MOST_REFERENCES: usize = 8;

/// One stroke.
#[derive(Clone, Debug)]
pub struct Trace {
    /// What each point holds.
    pub channels: Vec<Channel>,
    /// Values of every point in the order of the channels; `None` where one is not known.
    pub points: Vec<Vec<Option<f64>>>,
    /// Whether the pen was off the surface.
    pub is_pen_up: bool,
    /// Points in a second, where the source is said to take them evenly.
    pub sample_rate: Option<f64>,
    /// What turns the trace's channels into those of the canvas, where its context says so.
    pub to_canvas: Option<Mapping>,
}

impl Trace {
    /// The values of a channel by its name, if the trace has it.
    #[must_use]
    pub fn values(&self, name: &str) -> Option<Vec<Option<f64>>> {
        let index = self
            .channels
            .iter()
            .position(|channel| channel.name == name)?;
        Some(self.points.iter().map(|point| point[index]).collect())
    }
}

/// Every stroke of a document, in its order.
#[derive(Clone, Debug)]
pub struct Recording {
    /// The strokes.
    pub traces: Vec<Trace>,
}

/// Reads an `InkML` document.
///
/// # Errors
/// Text that is no XML or no ink, and the first fault of a trace, with its place in the document.
pub fn read_inkml(text: &str) -> Result<Recording, RecordingError> {
    let document = parsed(text)?;
    let root = document.root_element();
    let traces = root
        .descendants()
        .filter(|node| node.has_tag_name_local("trace"))
        .map(|node| trace(node, root))
        .collect::<Result<_, _>>()?;
    Ok(Recording { traces })
}

/// The document of a text whose root is `ink`.
pub(crate) fn parsed(text: &str) -> Result<Document<'_>, RecordingError> {
    let document = Document::parse(text).map_err(|error| {
        let place = error.pos();
        let before: usize = text
            .split_inclusive('\n')
            .take(place.row.saturating_sub(1) as usize)
            .map(str::len)
            .sum();
        let at = (before + place.col.saturating_sub(1) as usize).min(text.len());
        RecordingError::new(
            format!("this is no XML: {error}"),
            "give an InkML document",
            at..at,
        )
    })?;
    let root = document.root_element();
    let is_ink = root.tag_name().name() == "ink"
        && root
            .tag_name()
            .namespace()
            .is_none_or(|space| space.ends_with(NAMESPACE_END));
    if !is_ink {
        return Err(RecordingError::new(
            format!("the document is `{}`, not `ink`", root.tag_name().name()),
            "give an InkML document",
            root.range(),
        ));
    }
    Ok(document)
}

/// Names are compared without their namespace, which documents write in several ways.
pub(crate) trait Local {
    fn has_tag_name_local(&self, name: &str) -> bool;
}

impl Local for Node<'_, '_> {
    fn has_tag_name_local(&self, name: &str) -> bool {
        self.is_element() && self.tag_name().name() == name
    }
}

fn trace(node: Node<'_, '_>, root: Node<'_, '_>) -> Result<Trace, RecordingError> {
    let format = format_of(node, root);
    let channels = match format {
        Some(format) => channels(format)?,
        None => vec![Channel::regular("X"), Channel::regular("Y")],
    };
    let mut points = Vec::new();
    for child in node.children().filter(Node::is_text) {
        let text = child.text().unwrap_or_default();
        // Where the text holds references such as &quot; its places differ from the document's.
        let range = child.range();
        let is_verbatim = range.len() == text.len();
        points.extend(decode(text, &channels).map_err(|error| {
            if is_verbatim {
                error.shifted(range.start)
            } else {
                RecordingError {
                    span: range.clone(),
                    ..error
                }
            }
        })?);
    }
    Ok(Trace {
        channels,
        points,
        is_pen_up: node.attribute("type") == Some("penUp"),
        sample_rate: format.and_then(sample_rate),
        to_canvas: to_canvas(node, root)?,
    })
}

/// The element that a reference such as `#pen` names.
fn named<'a, 'i>(root: Node<'a, 'i>, reference: &str) -> Option<Node<'a, 'i>> {
    let id = reference.strip_prefix('#')?;
    root.descendants().find(|node| {
        let own = node
            .attributes()
            .find(|attribute| attribute.name() == "id")
            .map(|attribute| attribute.value());
        own == Some(id)
    })
}

/// What a trace's context refers to, the context itself first.
fn contexts<'a, 'i>(node: Node<'a, 'i>, root: Node<'a, 'i>) -> Vec<Node<'a, 'i>> {
    let group = node
        .ancestors()
        .find_map(|ancestor| ancestor.attribute("contextRef"));
    let first = group.and_then(|reference| named(root, reference));
    std::iter::successors(first, |element| {
        ["traceFormatRef", "inkSourceRef", "contextRef"]
            .into_iter()
            .find_map(|name| element.attribute(name))
            .and_then(|reference| named(root, reference))
    })
    .take(MOST_REFERENCES)
    .collect()
}

/// The trace format of a trace: that of its context, or else the first of the document.
fn format_of<'a, 'i>(node: Node<'a, 'i>, root: Node<'a, 'i>) -> Option<Node<'a, 'i>> {
    let within = |element: Node<'a, 'i>| {
        element
            .descendants()
            .find(|inner| inner.has_tag_name_local("traceFormat"))
    };
    contexts(node, root)
        .into_iter()
        .find_map(within)
        .or_else(|| within(root))
}

/// The mapping to the canvas that the context of a trace holds or refers to.
fn to_canvas(node: Node<'_, '_>, root: Node<'_, '_>) -> Result<Option<Mapping>, RecordingError> {
    let transform = contexts(node, root).into_iter().find_map(|element| {
        element
            .attribute("canvasTransformRef")
            .and_then(|reference| named(root, reference))
            .or_else(|| {
                element
                    .descendants()
                    .find(|inner| inner.has_tag_name_local("canvasTransform"))
            })
    });
    let Some(transform) = transform else {
        return Ok(None);
    };
    let mapping = transform
        .children()
        .find(|inner| inner.has_tag_name_local("mapping"));
    let Some(mapping) = mapping else {
        return Ok(None);
    };
    let mapping = mapping
        .attribute("mappingRef")
        .and_then(|reference| named(root, reference))
        .unwrap_or(mapping);
    Mapping::read(mapping).map(Some)
}

/// The rate that the source of a format tells of even points.
fn sample_rate(format: Node<'_, '_>) -> Option<f64> {
    let source = format
        .ancestors()
        .find(|ancestor| ancestor.has_tag_name_local("inkSource"))?;
    source
        .descendants()
        .find(|inner| inner.has_tag_name_local("sampleRate"))
        .filter(|inner| inner.attribute("uniform") != Some("false"))?
        .attribute("value")?
        .parse()
        .ok()
        .filter(|rate: &f64| rate.is_finite() && *rate > 0.0)
}

fn channels(format: Node<'_, '_>) -> Result<Vec<Channel>, RecordingError> {
    let all: Vec<Channel> = format
        .descendants()
        .filter(|node| node.has_tag_name_local("channel"))
        .map(channel)
        .collect::<Result<_, _>>()?;
    // Regular channels come first in every point, wherever the format lists them.
    let (intermittent, mut regular): (Vec<Channel>, Vec<Channel>) =
        all.into_iter().partition(|channel| channel.intermittent);
    if regular.is_empty() {
        return Err(RecordingError::new(
            "a trace format without a regular channel",
            "name its channels, such as <channel name=\"X\"/>",
            format.range(),
        ));
    }
    regular.extend(intermittent);
    Ok(regular)
}

fn channel(node: Node<'_, '_>) -> Result<Channel, RecordingError> {
    let Some(name) = node.attribute("name").filter(|name| !name.is_empty()) else {
        return Err(RecordingError::new(
            "a channel without a name",
            "write <channel name=\"X\"/>",
            node.range(),
        ));
    };
    let kind = match node.attribute("type") {
        Some("integer") => ChannelKind::Integer,
        Some("boolean") => ChannelKind::Boolean,
        _ => ChannelKind::Decimal,
    };
    let value = |text: Option<&str>| match text.map(str::trim) {
        Some("T" | "true") => Some(1.0),
        Some("F" | "false") => Some(0.0),
        other => other
            .and_then(|text| text.parse::<f64>().ok())
            .filter(|number| number.is_finite()),
    };
    let intermittent = node
        .parent()
        .is_some_and(|parent| parent.has_tag_name_local("intermittentChannels"));
    Ok(Channel {
        name: name.to_owned(),
        kind,
        intermittent,
        default: value(node.attribute("default")),
        units: node.attribute("units").map(str::to_owned),
        range: (value(node.attribute("min")), value(node.attribute("max"))),
        threshold: threshold(node, name),
    })
}

/// The threshold that the source of the format tells of a channel.
fn threshold(node: Node<'_, '_>, name: &str) -> Option<f64> {
    let source = node
        .ancestors()
        .find(|ancestor| ancestor.has_tag_name_local("inkSource"))?;
    source
        .descendants()
        .filter(|inner| inner.has_tag_name_local("channelProperty"))
        .find(|inner| {
            inner.attribute("channel") == Some(name) && inner.attribute("name") == Some("threshold")
        })
        .and_then(|inner| inner.attribute("value")?.parse().ok())
        .filter(|value: &f64| value.is_finite())
}
