//! Which sheet is read.

use crate::error::SheetError;

/// A sheet that can be chosen.
pub(crate) struct Candidate {
    pub(crate) name: String,
    pub(crate) hidden: bool,
}

/// The place of the wanted sheet, or of the first one that shows.
pub(crate) fn choose(sheets: &[Candidate], wanted: Option<&str>) -> Result<usize, SheetError> {
    if sheets.is_empty() {
        return Err(SheetError::NoSheets);
    }
    let Some(wanted) = wanted else {
        // Whoever opens the file sees no hidden sheet, so a visible one is the first.
        let first = sheets.iter().position(|sheet| !sheet.hidden);
        return Ok(first.unwrap_or(0));
    };
    if let Some(exact) = sheets.iter().position(|sheet| sheet.name == wanted) {
        return Ok(exact);
    }
    let lower = wanted.to_lowercase();
    let mut alike = (0..sheets.len()).filter(|i| sheets[*i].name.to_lowercase() == lower);
    match (alike.next(), alike.next()) {
        (Some(only), None) => Ok(only),
        _ => Err(SheetError::NoSuchSheet {
            wanted: wanted.to_owned(),
            names: names(sheets),
        }),
    }
}

/// All names, in order.
pub(crate) fn names(sheets: &[Candidate]) -> Vec<String> {
    sheets.iter().map(|sheet| sheet.name.clone()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheets(names: &[&str]) -> Vec<Candidate> {
        names
            .iter()
            .map(|name| Candidate {
                name: name.trim_start_matches('-').to_owned(),
                hidden: name.starts_with('-'),
            })
            .collect()
    }

    #[test]
    fn first_visible_sheet_is_chosen() {
        assert_eq!(choose(&sheets(&["a", "b"]), None), Ok(0));
        assert_eq!(choose(&sheets(&["-a", "b"]), None), Ok(1));
        assert_eq!(choose(&sheets(&["-a", "-b"]), None), Ok(0));
        assert_eq!(choose(&[], None), Err(SheetError::NoSheets));
        assert_eq!(choose(&[], Some("a")), Err(SheetError::NoSheets));
    }

    #[test]
    fn names_match_exactly_then_without_case() {
        assert_eq!(choose(&sheets(&["Run", "run"]), Some("run")), Ok(1));
        assert_eq!(choose(&sheets(&["x", "-RÜCK"]), Some("rück")), Ok(1));
        let twice = choose(&sheets(&["Run", "rUN"]), Some("run"));
        assert_eq!(
            twice,
            Err(SheetError::NoSuchSheet {
                wanted: "run".to_owned(),
                names: vec!["Run".to_owned(), "rUN".to_owned()],
            })
        );
        assert!(choose(&sheets(&["Run"]), Some("Run ")).is_err());
    }
}
