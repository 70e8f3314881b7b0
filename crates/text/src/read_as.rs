//! How a table was understood.

use std::collections::BTreeMap;

use serde::Serialize;

/// How a table was understood.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct ReadAs {
    /// Kind of file: `csv`, `toml`, `xlsx`, `ods`.
    pub format: String,
    /// Sheet of a spreadsheet.
    pub sheet: Option<String>,
    /// Line or row of the header, from 1; none where there is no header.
    pub header_line: Option<usize>,
    /// The columns that are read.
    pub columns: Vec<ReadColumn>,
    /// Remarks with keys of one's own.
    pub labels: BTreeMap<String, String>,
    /// Columns that are not read.
    pub ignored: Vec<String>,
}

/// A column that is read.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReadColumn {
    /// Its name in the file.
    pub name: String,
    /// What it is taken for.
    pub meaning: String,
    /// The unit its numbers are in.
    pub unit: Option<String>,
}

impl ReadAs {
    /// In one line, such as `force in gf from Weight (g), reading in percent from Pressure %; not read: notes`.
    #[must_use]
    pub fn in_words(&self) -> String {
        let columns: Vec<String> = self
            .columns
            .iter()
            .map(|column| match &column.unit {
                Some(unit) => {
                    // A force that is told by its mass.
                    let unit = unit.strip_prefix("mass_").unwrap_or(unit);
                    format!("{} in {unit} from `{}`", column.meaning, column.name)
                }
                None => format!("{} from `{}`", column.meaning, column.name),
            })
            .collect();
        let mut text = columns.join(", ");
        if let Some(sheet) = &self.sheet {
            text = format!("sheet `{sheet}`: {text}");
        }
        if !self.labels.is_empty() {
            let labels = self
                .labels
                .iter()
                .map(|(key, value)| format!("{key} = {value}"));
            text.push_str(&format!(
                "; labels: {}",
                labels.collect::<Vec<_>>().join(", ")
            ));
        }
        if !self.ignored.is_empty() {
            text.push_str(&format!("; not read: {}", self.ignored.join(", ")));
        }
        text
    }
}
