//! Texts, plain or in runs of formats.

use crate::{error::SheetError, xml::Xml};

/// Appends the text of the element that was opened last (`si` or `is`), runs joined, hints of pronunciation
/// left out.
pub(crate) fn rich_text(xml: &mut Xml<'_>, to: &mut String) -> Result<(), SheetError> {
    while let Some(element) = xml.child()? {
        match element.name() {
            "t" => to.push_str(&unescaped(&xml.text()?)),
            "r" => {
                while let Some(inner) = xml.child()? {
                    if inner.name() == "t" {
                        to.push_str(&unescaped(&xml.text()?));
                    } else {
                        xml.skip()?;
                    }
                }
            }
            _ => xml.skip()?,
        }
    }
    Ok(())
}

/// Undoes the escapes `_x000D_` of characters that XML cannot hold.
pub(crate) fn unescaped(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find("_x") {
        let (before, escape) = rest.split_at(at);
        plain.push_str(before);
        let first = unit(escape);
        let second = escape.get(LENGTH..).and_then(unit);
        // Characters beyond the first plane are escaped in two halves.
        let pair = first.zip(second).and_then(|(first, second)| {
            let mut both = char::decode_utf16([first, second]);
            both.next()
                .and_then(Result::ok)
                .filter(|c| c.len_utf16() == 2)
        });
        let one = first.and_then(|unit| char::from_u32(u32::from(unit)));
        let length = match (pair, one) {
            (Some(character), _) => {
                plain.push(character);
                2 * LENGTH
            }
            (None, Some(character)) => {
                plain.push(character);
                LENGTH
            }
            (None, None) => {
                plain.push('_');
                1
            }
        };
        rest = &escape[length..];
    }
    plain.push_str(rest);
    plain
}

/// The length of an escape.
const LENGTH: usize = "_x0000_".len();

fn unit(text: &str) -> Option<u16> {
    let escape = text.get(..LENGTH)?;
    let digits = escape.strip_prefix("_x")?.strip_suffix('_')?;
    if digits.bytes().all(|byte| byte.is_ascii_hexdigit()) {
        u16::from_str_radix(digits, 16).ok()
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::unescaped;

    #[test]
    fn escapes_are_undone_and_all_else_is_kept() {
        let cases = [
            ("plain", "plain"),
            ("a_x000D_b", "a\rb"),
            ("_x005F_x000D_", "_x000D_"),
            ("_xD83D__xDE00_!", "😀!"),
            ("_xD83D_", "_xD83D_"),
            ("_x00g0_", "_x00g0_"),
            ("_x+041_", "_x+041_"),
            ("_x0041", "_x0041"),
            ("_x", "_x"),
            ("_x0é41_", "_x0é41_"),
            ("force_x (gf)", "force_x (gf)"),
        ];
        for (stored, typed) in cases {
            assert_eq!(unescaped(stored), typed);
        }
    }
}
