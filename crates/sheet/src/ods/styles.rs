//! How cells show their numbers, and which sheets show.

use std::collections::{HashMap, HashSet};

use crate::{
    condition::Condition,
    error::SheetError,
    xml::{Element, Space, Xml},
};

/// How many styles may be based on one another; more are a loop.
const CHAIN: usize = 64;

/// The styles of cells and sheets by name. Those read later stand for those read before.
#[derive(Default)]
pub(crate) struct Styles {
    cells: HashMap<String, CellStyle>,
    /// The data style of cells without any other.
    default_data: Option<String>,
    data: HashMap<String, DataStyle>,
    hidden_tables: HashSet<String>,
}

#[derive(Default)]
struct CellStyle {
    data: Option<String>,
    parent: Option<String>,
}

#[derive(Default)]
struct DataStyle {
    is_percent: bool,
    /// Other data styles for values that meet a condition.
    maps: Vec<(Condition, String)>,
}

impl Styles {
    /// Reads the styles inside the element that was opened last.
    pub(crate) fn read(&mut self, xml: &mut Xml<'_>) -> Result<(), SheetError> {
        while let Some(element) = xml.child()? {
            match (element.space(), element.name()) {
                (Space::Style, "style" | "default-style") => self.read_style(xml, &element)?,
                (Space::Number, kind) if kind.ends_with("-style") => {
                    let is_percent = kind == "percentage-style";
                    let name = xml.attribute(&element, Space::Style, "name")?;
                    let maps = read_maps(xml)?;
                    let style = DataStyle { is_percent, maps };
                    self.data.insert(name.unwrap_or_default(), style);
                }
                _ => xml.skip()?,
            }
        }
        Ok(())
    }

    fn read_style(&mut self, xml: &mut Xml<'_>, element: &Element<'_>) -> Result<(), SheetError> {
        let attribute = |name| xml.attribute(element, Space::Style, name);
        let name = attribute("name")?;
        let data = attribute("data-style-name")?;
        let parent = attribute("parent-style-name")?;
        match (attribute("family")?.as_deref(), name) {
            (Some("table-cell"), Some(name)) => {
                self.cells.insert(name, CellStyle { data, parent });
            }
            (Some("table-cell"), None) => self.default_data = data,
            (Some("table"), Some(name)) => {
                if is_hidden(xml)? {
                    self.hidden_tables.insert(name);
                }
                return Ok(());
            }
            _ => {}
        }
        xml.skip()
    }

    /// Whether sheets of a style do not show.
    pub(crate) fn hides(&self, table_style: &str) -> bool {
        self.hidden_tables.contains(table_style)
    }

    /// Whether a cell of a style shows a value as a percentage.
    pub(crate) fn is_percent(&self, cell_style: Option<&str>, value: f64) -> bool {
        let Some(name) = self.data_style(cell_style) else {
            return false;
        };
        let Some(style) = self.data.get(name) else {
            return false;
        };
        let applies = |(condition, _): &&(Condition, String)| condition.holds(value);
        match style.maps.iter().find(applies) {
            Some((_, name)) => self.data.get(name).is_some_and(|style| style.is_percent),
            None => style.is_percent,
        }
    }

    fn data_style(&self, cell_style: Option<&str>) -> Option<&str> {
        let mut next = cell_style;
        for _ in 0..CHAIN {
            let Some(style) = next.and_then(|name| self.cells.get(name)) else {
                break;
            };
            if let Some(data) = &style.data {
                return Some(data);
            }
            next = style.parent.as_deref();
        }
        self.default_data.as_deref()
    }
}

/// Whether the properties inside the style of a sheet hide it.
fn is_hidden(xml: &mut Xml<'_>) -> Result<bool, SheetError> {
    let mut is_hidden = false;
    while let Some(element) = xml.child()? {
        if element.is(Space::Style, "table-properties") {
            let display = xml.attribute(&element, Space::Table, "display")?;
            is_hidden |= display.as_deref() == Some("false");
        }
        xml.skip()?;
    }
    Ok(is_hidden)
}

fn read_maps(xml: &mut Xml<'_>) -> Result<Vec<(Condition, String)>, SheetError> {
    let mut maps = Vec::new();
    while let Some(element) = xml.child()? {
        if element.is(Space::Style, "map") {
            let condition = xml.attribute(&element, Space::Style, "condition")?;
            let condition = condition.and_then(|text| {
                // Such as `value()>=0`.
                let comparison = text.trim().strip_prefix("value()")?;
                Condition::parse(comparison.trim_start(), "!=")
            });
            let name = xml.attribute(&element, Space::Style, "apply-style-name")?;
            maps.extend(condition.zip(name));
        }
        xml.skip()?;
    }
    Ok(maps)
}
