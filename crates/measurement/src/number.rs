//! Numbers as people write them.

/// Which mark stands before the decimals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Mark {
    Point,
    Comma,
}

/// A number that was read, with the decimal mark it showed, if any.
pub(crate) struct Number {
    pub(crate) value: f64,
    pub(crate) mark: Option<Mark>,
}

/// Why a text is no number.
pub(crate) struct NoNumber {
    pub(crate) message: String,
    pub(crate) help: &'static str,
}

/// Reads a finite number; a decimal comma only where `comma_allowed`.
pub(crate) fn number(text: &str, comma_allowed: bool) -> Result<Number, NoNumber> {
    let refuse = |message: String, help| Err(NoNumber { message, help });
    if text.is_empty() {
        return refuse(
            "an empty cell".to_owned(),
            "write a number, or leave the whole line out",
        );
    }
    let commas = text.matches(',').count();
    let mark = match (text.contains('.'), commas) {
        (true, 1..) => {
            return refuse(
                format!("`{text}`, which has both a comma and a point"),
                "write one decimal mark and no thousands marks",
            );
        }
        (false, 1) if comma_allowed => Some(Mark::Comma),
        (true, 0) => Some(Mark::Point),
        _ => None,
    };
    let plain = if mark == Some(Mark::Comma) {
        text.replace(',', ".")
    } else {
        text.to_owned()
    };
    match plain.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(Number { value, mark }),
        Ok(_) => refuse(
            format!("`{text}`"),
            "write a finite number, or leave the whole line out",
        ),
        Err(_) => refuse(
            format!("`{text}`, which is no number"),
            "write the number alone; its unit belongs in the header",
        ),
    }
}
