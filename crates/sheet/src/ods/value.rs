//! What a cell holds.

use crate::{
    error::SheetError,
    ods::text::cell_text,
    place::{Place, shortened},
    sheet::{Flaw, SheetCell},
    xml::{Element, Space, Xml},
};

/// What a cell holds, as far as it is known without its style.
#[derive(Clone, Debug)]
pub(crate) enum Value {
    /// Text, blank or a flaw.
    Plain(SheetCell),
    /// A number that is a percentage whatever its style.
    Percent(f64),
    /// A number.
    Number(f64),
}

/// Reads the cell that was opened last, up to its end.
pub(crate) fn read(
    xml: &mut Xml<'_>,
    element: &Element<'_>,
    place: Place,
) -> Result<Value, SheetError> {
    let kind = xml.attribute(element, Space::Office, "value-type")?;
    let detail = xml.attribute(element, Space::Calc, "value-type")?;
    let formula = xml.attribute(element, Space::Table, "formula")?;
    let attribute = match kind.as_deref() {
        Some("float" | "currency" | "percentage") => "value",
        Some("boolean") => "boolean-value",
        Some("date") => "date-value",
        Some("time") => "time-value",
        None | Some("string" | "void") => "string-value",
        Some(kind) => {
            let kind = shortened(kind);
            return Err(SheetError::damaged(format!(
                "cell {place} has the unknown type \"{kind}\""
            )));
        }
    };
    let stored = xml.attribute(element, Space::Office, attribute)?;
    let shown = cell_text(xml)?;
    let is_error = detail.as_deref() == Some("error")
        || formula.is_some() && shown.as_deref().is_some_and(is_error_name);
    if is_error {
        let text = shown.or(stored).filter(|text| !text.is_empty());
        return Ok(flawed(
            text.unwrap_or_else(|| "error".to_owned()),
            Flaw::Error,
        ));
    }
    // Text may stand in the cell alone; all else is only shown there, and perhaps rounded.
    let value = stored.or(if attribute == "string-value" {
        shown
    } else {
        None
    });
    let Some(value) = value else {
        return match (formula, attribute) {
            (Some(formula), _) => Ok(flawed(bare(&formula), Flaw::FormulaWithoutValue)),
            (None, "string-value") => Ok(Value::Plain(SheetCell::default())),
            (None, _) => Err(SheetError::damaged(format!(
                "cell {place} has no {attribute}"
            ))),
        };
    };
    let broken = |what| SheetError::cell_is_not(place, &value, what);
    Ok(match attribute {
        "value" => {
            let number = value.trim().parse::<f64>().ok();
            let number = number.filter(|number| number.is_finite());
            let number = number.ok_or_else(|| broken("a finite number"))?;
            if kind.as_deref() == Some("percentage") {
                Value::Percent(number)
            } else {
                Value::Number(number)
            }
        }
        "boolean-value" => match value.trim() {
            "true" => plain("TRUE".to_owned()),
            "false" => plain("FALSE".to_owned()),
            _ => return Err(broken("a boolean")),
        },
        "date-value" | "time-value" => flawed(value, Flaw::Date),
        _ => plain(value),
    })
}

fn plain(text: String) -> Value {
    Value::Plain(SheetCell::plain(text))
}

fn flawed(text: String, flaw: Flaw) -> Value {
    Value::Plain(SheetCell::flawed(text, flaw))
}

/// Some writers store a failed formula as a value that only shows as an error.
fn is_error_name(text: &str) -> bool {
    let names = [
        "#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!",
    ];
    let number = text.strip_prefix("Err:").unwrap_or_default();
    names.contains(&text) || !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit())
}

/// A formula without the name of its grammar: `=1+1` for `of:=1+1`.
fn bare(formula: &str) -> String {
    match formula.split_once('=') {
        Some((grammar, rest))
            if grammar.is_empty()
                || grammar.ends_with(':')
                    && grammar[..grammar.len() - 1]
                        .bytes()
                        .all(|b| b.is_ascii_alphanumeric()) =>
        {
            format!("={rest}")
        }
        _ => format!("={formula}"),
    }
}
