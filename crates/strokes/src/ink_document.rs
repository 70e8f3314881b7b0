//! `InkML` documents as XML: what is one, and names without their namespace.

use evenhand_text::{clean, quoted};
use roxmltree::{Document, Node};

use crate::wrong::Wrong;

/// The namespace of `InkML` ends so.
const NAMESPACE_END: &str = "/InkML";
/// The document of a text whose root is `ink`.
pub(crate) fn parsed(text: &str) -> Result<Document<'_>, Wrong> {
    let document = Document::parse(text).map_err(|error| {
        let place = error.pos();
        let before: usize = text
            .split_inclusive('\n')
            .take(place.row.saturating_sub(1) as usize)
            .map(str::len)
            .sum();
        let at = (before + place.col.saturating_sub(1) as usize).min(text.len());
        Wrong::new(
            format!("this is no XML: {}", clean(&error.to_string())),
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
        return Err(Wrong::new(
            format!(
                "the document is {}, not `ink`",
                quoted(root.tag_name().name())
            ),
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
