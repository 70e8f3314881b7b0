//! Numbers as people write them.

/// Which mark stands before the decimals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DecimalMark {
    /// A point.
    Point,
    /// A comma.
    Comma,
}

/// A number that was read, with the decimal mark it showed, if any.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WrittenNumber {
    /// Its value, finite.
    pub value: f64,
    /// The mark before its decimals.
    pub mark: Option<DecimalMark>,
}

/// Why a text is no number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoNumber {
    /// What was found.
    pub message: String,
    /// What to write instead.
    pub help: &'static str,
}

/// Reads a finite number; a decimal comma only where `comma_allowed`.
///
/// # Errors
/// An empty text, two kinds of marks, no number, or one that is not finite.
pub fn written_number(text: &str, comma_allowed: bool) -> Result<WrittenNumber, NoNumber> {
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
        (false, 1) if comma_allowed => Some(DecimalMark::Comma),
        (true, 0) => Some(DecimalMark::Point),
        _ => None,
    };
    let plain = if mark == Some(DecimalMark::Comma) {
        text.replace(',', ".")
    } else {
        text.to_owned()
    };
    match plain.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(WrittenNumber { value, mark }),
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
