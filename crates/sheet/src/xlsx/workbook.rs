//! Which parts a workbook has.

use std::collections::HashMap;

use crate::{
    choose::Candidate, detect::strange, error::SheetError, package::Package, place::shortened,
    xml::Xml,
};

/// The sheets of a workbook and the parts that they share.
pub(crate) struct Workbook {
    /// The sheets that have cells.
    pub(crate) sheets: Vec<Candidate>,
    /// The part of each sheet, if the workbook says which.
    parts: Vec<Option<String>>,
    pub(crate) styles: Option<String>,
    pub(crate) strings: Option<String>,
    /// Whether days are counted from 1904.
    pub(crate) since_1904: bool,
}

/// What one part says of another.
struct Relationship {
    kind: String,
    target: String,
}

impl Workbook {
    pub(crate) fn read(package: &mut Package<'_>) -> Result<Self, SheetError> {
        let roots = relationships(package, "")?
            .ok_or_else(|| SheetError::damaged("part _rels/.rels is missing"))?;
        let part = only(&roots, "officeDocument")
            .ok_or_else(|| SheetError::damaged("it does not name a workbook"))?;
        if part.to_ascii_lowercase().ends_with(".bin") {
            return Err(SheetError::Unsupported {
                found: "a binary workbook (.xlsb)",
                remedy: "save it as .xlsx",
            });
        }
        let text = package.required(&part)?;
        let relationships = relationships(package, &part)?.unwrap_or_default();
        let mut workbook = Self {
            sheets: Vec::new(),
            parts: Vec::new(),
            styles: only(&relationships, "styles"),
            strings: only(&relationships, "sharedStrings"),
            since_1904: false,
        };
        let mut xml = Xml::new(&text, &part);
        if xml.root()?.name() != "workbook" {
            return Err(strange());
        }
        while let Some(element) = xml.child()? {
            match element.name() {
                "workbookPr" => {
                    let since_1904 = xml.local_attribute(&element, "date1904")?;
                    workbook.since_1904 = matches!(since_1904.as_deref(), Some("1" | "true"));
                    xml.skip()?;
                }
                "sheets" => workbook.read_sheets(&mut xml, &relationships)?,
                _ => xml.skip()?,
            }
        }
        Ok(workbook)
    }

    fn read_sheets(
        &mut self,
        xml: &mut Xml<'_>,
        relationships: &HashMap<String, Relationship>,
    ) -> Result<(), SheetError> {
        while let Some(element) = xml.child()? {
            if element.name() == "sheet" {
                let name = xml.local_attribute(&element, "name")?.unwrap_or_default();
                let state = xml.local_attribute(&element, "state")?;
                let id = xml.local_attribute(&element, "id")?;
                let relationship = id.and_then(|id| relationships.get(&id));
                // Sheets of charts, dialogs and macros have no cells.
                if relationship.is_none_or(|relationship| relationship.kind == "worksheet") {
                    self.sheets.push(Candidate {
                        name,
                        hidden: matches!(state.as_deref(), Some("hidden" | "veryHidden")),
                    });
                    let part = relationship.map(|relationship| relationship.target.clone());
                    self.parts.push(part);
                }
            }
            xml.skip()?;
        }
        Ok(())
    }

    /// The part that holds a sheet.
    pub(crate) fn part(&self, sheet: usize) -> Result<&str, SheetError> {
        self.parts[sheet].as_deref().ok_or_else(|| {
            let name = shortened(&self.sheets[sheet].name);
            SheetError::damaged(format!("it does not say which part holds sheet \"{name}\""))
        })
    }
}

/// The target of the first relationship of a kind; by identifier, so that the choice does not change.
fn only(relationships: &HashMap<String, Relationship>, kind: &str) -> Option<String> {
    relationships
        .iter()
        .filter(|(_, relationship)| relationship.kind == kind)
        .min_by_key(|(id, _)| id.as_str())
        .map(|(_, relationship)| relationship.target.clone())
}

/// What a part says of others, by identifier; the package itself has no name.
fn relationships(
    package: &mut Package<'_>,
    of: &str,
) -> Result<Option<HashMap<String, Relationship>>, SheetError> {
    let (folder, file) = of.rsplit_once('/').unwrap_or(("", of));
    let part = joined(folder, &format!("_rels/{file}.rels"));
    let Some(text) = package.part(&part)? else {
        return Ok(None);
    };
    let mut found = HashMap::new();
    let mut xml = Xml::new(&text, &part);
    xml.root()?;
    while let Some(element) = xml.child()? {
        let external = xml.local_attribute(&element, "TargetMode")?.as_deref() == Some("External");
        let id = xml.local_attribute(&element, "Id")?;
        let kind = xml.local_attribute(&element, "Type")?;
        let target = xml.local_attribute(&element, "Target")?;
        xml.skip()?;
        if let (Some(id), Some(kind), Some(target), false) = (id, kind, target, external) {
            // The strict and the transitional form differ in what stands before the last word.
            let kind = kind.rsplit('/').next().unwrap_or_default().to_owned();
            let target = joined(folder, &target);
            found.insert(id, Relationship { kind, target });
        }
    }
    Ok(Some(found))
}

/// A target as the name of a part.
fn joined(folder: &str, target: &str) -> String {
    let target = target.replace('\\', "/");
    let mut steps: Vec<&str> = if target.starts_with('/') {
        Vec::new()
    } else {
        folder.split('/').collect()
    };
    for step in target.split('/') {
        match step {
            ".." => {
                steps.pop();
            }
            step => steps.push(step),
        }
    }
    steps.retain(|step| !matches!(*step, "" | "."));
    steps.join("/")
}

#[cfg(test)]
mod tests {
    use super::joined;

    #[test]
    fn targets_are_joined_to_names_of_parts() {
        let cases = [
            ("xl", "worksheets/sheet1.xml", "xl/worksheets/sheet1.xml"),
            (
                "xl",
                "/xl/worksheets/sheet1.xml",
                "xl/worksheets/sheet1.xml",
            ),
            ("xl/worksheets", "../styles.xml", "xl/styles.xml"),
            ("", "xl/workbook.xml", "xl/workbook.xml"),
            ("", "./xl//workbook.xml", "xl/workbook.xml"),
            ("xl", "..\\a.xml", "a.xml"),
            ("", "../../../a.xml", "a.xml"),
        ];
        for (folder, target, part) in cases {
            assert_eq!(joined(folder, target), part);
        }
    }
}
