//! The text that a cell shows.

use crate::{
    TEXT_LIMIT,
    error::{Extent, SheetError},
    xml::{Node, Space, Xml},
};

/// The paragraphs of the cell that was opened last, one a line, up to its end; none if there are none.
/// Comments and drawings are left out.
pub(crate) fn cell_text(xml: &mut Xml<'_>) -> Result<Option<String>, SheetError> {
    let mut text: Option<String> = None;
    while let Some(element) = xml.child()? {
        if element.is(Space::Text, "p") || element.is(Space::Text, "h") {
            match &mut text {
                Some(text) => text.push('\n'),
                None => text = Some(String::new()),
            }
            paragraph(xml, text.get_or_insert_default())?;
        } else {
            xml.skip()?;
        }
    }
    Ok(text)
}

/// Appends the paragraph that was opened last. White space counts once, as in the text of a document; more
/// of it is written as elements.
fn paragraph(xml: &mut Xml<'_>, to: &mut String) -> Result<(), SheetError> {
    let mut depth = 0_usize;
    let mut after_space = true;
    loop {
        match xml.next()? {
            Node::Open(element) => match (element.space(), element.name()) {
                (Space::Text, "s") => {
                    let count = xml.attribute(&element, Space::Text, "c")?;
                    let count = count.map_or(Some(1), |count| count.trim().parse().ok());
                    let count = count.unwrap_or(usize::MAX);
                    if count > TEXT_LIMIT.saturating_sub(to.len()) {
                        return Err(Extent::TextBytes(TEXT_LIMIT).into());
                    }
                    to.extend(std::iter::repeat_n(' ', count));
                    after_space = false;
                    xml.skip()?;
                }
                (Space::Text, "tab") => {
                    to.push('\t');
                    after_space = false;
                    xml.skip()?;
                }
                (Space::Text, "line-break") => {
                    to.push('\n');
                    after_space = false;
                    xml.skip()?;
                }
                (Space::Text, "note" | "ruby-text") => xml.skip()?,
                (Space::Text, _) => depth += 1,
                _ => xml.skip()?,
            },
            Node::Close => match depth.checked_sub(1) {
                Some(outer) => depth = outer,
                None => return Ok(()),
            },
            Node::Text(text) => {
                for character in text.chars() {
                    let is_space = matches!(character, ' ' | '\t' | '\n' | '\r');
                    if !is_space {
                        to.push(character);
                    } else if !after_space {
                        to.push(' ');
                    }
                    after_space = is_space;
                }
            }
            Node::End => return Ok(()),
        }
    }
}
