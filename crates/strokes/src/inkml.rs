//! `InkML` documents: trace formats and traces.

use std::collections::HashMap;
use std::ops::Range;

use evenhand_text::{Fault, quoted};
use roxmltree::Node;

use crate::channel::{Channel, ChannelKind};
use crate::decode::decode_trace;
use crate::ink_document::{Local as _, parsed};
use crate::mapping::Mapping;
use crate::wrong::Wrong;

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
    /// Its place in the document, bytes.
    pub span: Range<usize>,
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
pub struct Recording<'t> {
    /// The strokes.
    pub traces: Vec<Trace>,
    /// The document, so that what is found wrong later has its place.
    pub(crate) text: &'t str,
}

/// Reads an `InkML` document.
///
/// # Errors
/// Text that is no XML or no ink, and the first fault of a trace, with its place in the document.
pub fn read_inkml(text: &str) -> Result<Recording<'_>, Box<Fault>> {
    match traces(text) {
        Ok(traces) => Ok(Recording { traces, text }),
        Err(wrong) => Err(wrong.in_text(text)),
    }
}

fn traces(text: &str) -> Result<Vec<Trace>, Wrong> {
    let document = parsed(text)?;
    let index = Index::of(document.root_element());
    let mut traces = Vec::new();
    // The context that a stream of ink set last; those within definitions are only there to be referred to.
    let mut current = None;
    for node in document.root_element().descendants() {
        if node.has_tag_name_local("context") && !is_defined(node) {
            current = Some(node);
        } else if node.has_tag_name_local("trace") {
            traces.push(trace(node, current, &index)?);
        }
    }
    Ok(traces)
}

/// What references and traces look for in a document, found once.
struct Index<'a, 'i> {
    named: HashMap<&'a str, Node<'a, 'i>>,
    first_format: Option<Node<'a, 'i>>,
}

impl<'a, 'i> Index<'a, 'i> {
    fn of(root: Node<'a, 'i>) -> Self {
        let mut named = HashMap::new();
        for node in root.descendants() {
            let id = node
                .attributes()
                .find(|attribute| attribute.name() == "id")
                .map(|attribute| attribute.value());
            if let Some(id) = id {
                // The first of a name counts.
                named.entry(id).or_insert(node);
            }
        }
        Self {
            named,
            first_format: format_within(root),
        }
    }

    /// The element that an attribute refers to, such as `contextRef="#pen"`; none without the attribute.
    fn referred(&self, node: Node<'_, '_>, attribute: &str) -> Result<Option<Node<'a, 'i>>, Wrong> {
        let Some(reference) = node.attribute(attribute) else {
            return Ok(None);
        };
        let found = reference
            .strip_prefix('#')
            .and_then(|id| self.named.get(id))
            .copied();
        if found.is_none() && !reference.starts_with("#") {
            // Another document, which is not read.
            return Err(Wrong::new(
                format!("{}, which is not in this document", quoted(reference)),
                "refer to an element of this document, such as #pen",
                node.range(),
            ));
        }
        found.map(Some).ok_or_else(|| {
            Wrong::new(
                format!("{}, which no element is called", quoted(reference)),
                "give the element that is meant its id, or leave the reference out",
                node.range(),
            )
        })
    }
}

fn is_defined(node: Node<'_, '_>) -> bool {
    node.ancestors()
        .any(|ancestor| ancestor.has_tag_name_local("definitions"))
}

fn format_within<'a, 'i>(element: Node<'a, 'i>) -> Option<Node<'a, 'i>> {
    element
        .descendants()
        .find(|inner| inner.has_tag_name_local("traceFormat"))
}

fn trace(
    node: Node<'_, '_>,
    current: Option<Node<'_, '_>>,
    index: &Index<'_, '_>,
) -> Result<Trace, Wrong> {
    let contexts = contexts(node, current, index)?;
    let own = contexts.iter().copied().find_map(format_within);
    let format = own.or(index.first_format);
    let channels = match format {
        Some(format) => channels(format)?,
        None => vec![Channel::regular("X"), Channel::regular("Y")],
    };
    // Comments may stand between parts of the text; values go on across them.
    let parts: Vec<Node<'_, '_>> = node.children().filter(Node::is_text).collect();
    let text: String = parts.iter().filter_map(Node::text).collect();
    let points = decode_trace(&text, &channels).map_err(|error| placed(error, &parts))?;
    Ok(Trace {
        channels,
        points,
        is_pen_up: node.attribute("type") == Some("penUp"),
        sample_rate: format.and_then(sample_rate),
        to_canvas: to_canvas(&contexts, index)?,
        span: node.range(),
    })
}

/// A fault of a trace's text where it stands in the document.
fn placed(error: Wrong, parts: &[Node<'_, '_>]) -> Wrong {
    let mut begin = 0;
    for part in parts {
        let length = part.text().unwrap_or_default().len();
        let range = part.range();
        if error.span.start < begin + length || begin + length == 0 {
            // Where the text holds references such as &quot; its places differ from the document's.
            let span = if range.len() == length {
                let at = error.span.start - begin + range.start;
                at..(at + error.span.len()).min(range.end)
            } else {
                range
            };
            return Wrong { span, ..error };
        }
        begin += length;
    }
    let end = parts.last().map_or(0, |part| part.range().end);
    Wrong {
        span: end..end,
        ..error
    }
}

/// The context of a trace and what it refers to, one after the other: that which it or a group around it
/// names, or else the current one.
fn contexts<'a, 'i>(
    node: Node<'a, 'i>,
    current: Option<Node<'a, 'i>>,
    index: &Index<'a, 'i>,
) -> Result<Vec<Node<'a, 'i>>, Wrong> {
    let mut here = current;
    for ancestor in node.ancestors() {
        if let Some(found) = index.referred(ancestor, "contextRef")? {
            here = Some(found);
            break;
        }
    }
    let mut all = Vec::new();
    while let Some(element) = here {
        if all.len() == MOST_REFERENCES {
            break;
        }
        all.push(element);
        here = None;
        for name in ["traceFormatRef", "inkSourceRef", "contextRef"] {
            if let Some(found) = index.referred(element, name)? {
                here = Some(found);
                break;
            }
        }
    }
    Ok(all)
}

/// The mapping to the canvas that the context of a trace holds or refers to.
fn to_canvas(contexts: &[Node<'_, '_>], index: &Index<'_, '_>) -> Result<Option<Mapping>, Wrong> {
    for element in contexts {
        let referred = index.referred(*element, "canvasTransformRef")?;
        let within = || {
            element
                .descendants()
                .find(|inner| inner.has_tag_name_local("canvasTransform"))
        };
        let Some(transform) = referred.or_else(within) else {
            continue;
        };
        let mapping = transform
            .children()
            .find(|inner| inner.has_tag_name_local("mapping"));
        let Some(mapping) = mapping else {
            return Ok(None);
        };
        let mapping = index.referred(mapping, "mappingRef")?.unwrap_or(mapping);
        return Mapping::read(mapping).map(Some);
    }
    Ok(None)
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

fn channels(format: Node<'_, '_>) -> Result<Vec<Channel>, Wrong> {
    let all: Vec<Channel> = format
        .descendants()
        .filter(|node| node.has_tag_name_local("channel"))
        .map(channel)
        .collect::<Result<_, _>>()?;
    // Regular channels come first in every point, wherever the format lists them.
    let (intermittent, mut regular): (Vec<Channel>, Vec<Channel>) =
        all.into_iter().partition(|channel| channel.intermittent);
    if regular.is_empty() {
        return Err(Wrong::new(
            "a trace format without a regular channel",
            "name its channels, such as <channel name=\"X\"/>",
            format.range(),
        ));
    }
    regular.extend(intermittent);
    Ok(regular)
}

fn channel(node: Node<'_, '_>) -> Result<Channel, Wrong> {
    let Some(name) = node.attribute("name").filter(|name| !name.is_empty()) else {
        return Err(Wrong::new(
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
