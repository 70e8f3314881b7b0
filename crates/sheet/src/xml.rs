//! XML, pulled element by element.

use std::borrow::Cow;

use quick_xml::{
    NsReader, XmlVersion,
    escape::resolve_predefined_entity,
    events::{BytesStart, Event},
    name::{Namespace, ResolveResult},
};

use crate::{error::SheetError, limits::DEPTH_LIMIT, place::shortened};

/// The vocabularies whose names are looked at. Office Open XML is read by local names alone, as nothing else
/// in its parts shares them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Space {
    Office,
    Table,
    Text,
    Style,
    Number,
    Calc,
    Manifest,
    Other,
}

/// A start tag.
pub(crate) struct Element<'a> {
    space: Space,
    tag: BytesStart<'a>,
}

impl Element<'_> {
    /// The vocabulary of its name.
    pub(crate) fn space(&self) -> Space {
        self.space
    }

    /// Its name without the prefix.
    pub(crate) fn name(&self) -> &str {
        self.tag.local_name().into_inner()
    }

    /// Whether it has that name of that vocabulary.
    pub(crate) fn is(&self, space: Space, name: &str) -> bool {
        self.space == space && self.name() == name
    }
}

/// What comes next in the text.
pub(crate) enum Node<'a> {
    /// A start tag; its end follows even where both are one.
    Open(Element<'a>),
    /// An end tag.
    Close,
    /// Characters.
    Text(Cow<'a, str>),
    /// Nothing any more.
    End,
}

/// A well-formed text, pulled piece by piece.
pub(crate) struct Xml<'a> {
    reader: NsReader<&'a [u8]>,
    part: &'a str,
    depth: usize,
}

impl<'a> Xml<'a> {
    /// Starts at the top of a part.
    pub(crate) fn new(text: &'a str, part: &'a str) -> Self {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut reader = NsReader::from_str(text);
        reader.config_mut().expand_empty_elements = true;
        Self {
            reader,
            part,
            depth: 0,
        }
    }

    /// What comes next.
    pub(crate) fn next(&mut self) -> Result<Node<'a>, SheetError> {
        loop {
            let event = match self.reader.read_event() {
                Ok(event) => event,
                Err(error) => return Err(self.malformed(error)),
            };
            return Ok(match event {
                Event::Start(tag) | Event::Empty(tag) => {
                    self.depth += 1;
                    if self.depth > DEPTH_LIMIT {
                        return Err(self.malformed(format!("nested deeper than {DEPTH_LIMIT}")));
                    }
                    for attribute in tag.attributes() {
                        attribute.map_err(|error| self.malformed(error))?;
                    }
                    let (space, _) = self.reader.resolver().resolve_element(tag.name());
                    Node::Open(Element {
                        space: self::space(&space),
                        tag,
                    })
                }
                Event::End(_) => {
                    self.depth = self.depth.saturating_sub(1);
                    Node::Close
                }
                Event::Text(text) => Node::Text(text.xml10_content()),
                Event::CData(text) => Node::Text(text.xml10_content()),
                Event::GeneralRef(reference) => {
                    let named = || resolve_predefined_entity(&reference).map(Cow::Borrowed);
                    match reference.resolve_char_ref() {
                        Ok(Some(character)) => Node::Text(Cow::Owned(character.to_string())),
                        Ok(None) => Node::Text(named().ok_or_else(|| {
                            self.malformed(format!("unknown entity &{};", shortened(&reference)))
                        })?),
                        Err(error) => return Err(self.malformed(error)),
                    }
                }
                Event::Eof if self.depth > 0 => {
                    return Err(self.malformed("it ends before its last element does"));
                }
                Event::Eof => Node::End,
                Event::Comment(_) | Event::Decl(_) | Event::PI(_) | Event::DocType(_) => continue,
            });
        }
    }

    /// The outermost element.
    pub(crate) fn root(&mut self) -> Result<Element<'a>, SheetError> {
        loop {
            match self.next()? {
                Node::Open(element) => return Ok(element),
                Node::End => return Err(self.malformed("it has no root element")),
                Node::Close | Node::Text(_) => {}
            }
        }
    }

    /// The next child of the element that is open, or none at its end; text between is passed over.
    pub(crate) fn child(&mut self) -> Result<Option<Element<'a>>, SheetError> {
        loop {
            match self.next()? {
                Node::Open(element) => return Ok(Some(element)),
                Node::Close | Node::End => return Ok(None),
                Node::Text(_) => {}
            }
        }
    }

    /// Goes to the end of the element that was opened last.
    pub(crate) fn skip(&mut self) -> Result<(), SheetError> {
        let outside = self.depth.saturating_sub(1);
        while self.depth > outside {
            self.next()?;
        }
        Ok(())
    }

    /// The text directly inside the element that was opened last, up to its end.
    pub(crate) fn text(&mut self) -> Result<String, SheetError> {
        let mut all = String::new();
        loop {
            match self.next()? {
                Node::Open(_) => self.skip()?,
                Node::Text(text) => all.push_str(&text),
                Node::Close | Node::End => return Ok(all),
            }
        }
    }

    /// The value of an attribute of that vocabulary.
    pub(crate) fn attribute(
        &self,
        element: &Element<'_>,
        space: Space,
        name: &str,
    ) -> Result<Option<String>, SheetError> {
        self.find(element, |key| {
            key.local_name().into_inner() == name
                && self::space(&self.reader.resolver().resolve_attribute(key).0) == space
        })
    }

    /// The value of an attribute by its local name alone.
    pub(crate) fn local_attribute(
        &self,
        element: &Element<'_>,
        name: &str,
    ) -> Result<Option<String>, SheetError> {
        self.find(element, |key| key.local_name().into_inner() == name)
    }

    fn find(
        &self,
        element: &Element<'_>,
        is_wanted: impl Fn(quick_xml::name::QName<'_>) -> bool,
    ) -> Result<Option<String>, SheetError> {
        for attribute in element.tag.attributes().with_checks(false) {
            let attribute = attribute.map_err(|error| self.malformed(error))?;
            if is_wanted(attribute.key) {
                let value = attribute.normalized_value(XmlVersion::Implicit1_0);
                let value = value.map_err(|error| self.malformed(error))?;
                return Ok(Some(value.into_owned()));
            }
        }
        Ok(None)
    }

    /// The part is no XML.
    fn malformed(&self, why: impl std::fmt::Display) -> SheetError {
        SheetError::damaged(format!(
            "part {} is not well-formed near byte {}: {}",
            shortened(self.part),
            self.reader
                .error_position()
                .max(self.reader.buffer_position()),
            shortened(&why.to_string()),
        ))
    }
}

fn space(resolved: &ResolveResult<'_>) -> Space {
    let ResolveResult::Bound(Namespace(uri)) = resolved else {
        return Space::Other;
    };
    match *uri {
        "urn:oasis:names:tc:opendocument:xmlns:office:1.0" => Space::Office,
        "urn:oasis:names:tc:opendocument:xmlns:table:1.0" => Space::Table,
        "urn:oasis:names:tc:opendocument:xmlns:text:1.0" => Space::Text,
        "urn:oasis:names:tc:opendocument:xmlns:style:1.0" => Space::Style,
        "urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0" => Space::Number,
        "urn:oasis:names:tc:opendocument:xmlns:manifest:1.0" => Space::Manifest,
        "urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0" => Space::Calc,
        _ => Space::Other,
    }
}
