//! Conditions of number formats, such as `>=0`: which values a format is for.

/// A comparison with a number.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Condition {
    holds: fn(&f64, &f64) -> bool,
    bound: f64,
}

impl Condition {
    /// Reads a sign and a number; `not_equal` is how the file writes that sign.
    pub(crate) fn parse(text: &str, not_equal: &str) -> Option<Self> {
        let is_sign = |c| matches!(c, '<' | '=' | '>') || not_equal.contains(c);
        let (sign, bound) = text.split_at(text.find(|c: char| !is_sign(c))?);
        let holds = match sign {
            "<" => f64::lt,
            "<=" => f64::le,
            ">" => f64::gt,
            ">=" => f64::ge,
            "=" => f64::eq,
            _ if sign == not_equal => f64::ne,
            _ => return None,
        };
        let bound = bound.trim().parse().ok()?;
        Some(Self { holds, bound })
    }

    /// Whether a value meets it.
    pub(crate) fn holds(&self, value: f64) -> bool {
        (self.holds)(&value, &self.bound)
    }
}

#[cfg(test)]
mod tests {
    use super::Condition;

    #[test]
    fn each_file_format_has_its_own_sign_for_not_equal() {
        for (text, not_equal, of_zero) in [
            ("!=0", "!=", Some(false)),
            ("!=1", "!=", Some(true)),
            ("<>1", "!=", None),
            ("<>1", "<>", Some(true)),
            ("!=1", "<>", None),
            (">=", "<>", None),
        ] {
            let condition = Condition::parse(text, not_equal);
            let holds = condition.map(|condition| condition.holds(0.0));
            assert_eq!(holds, of_zero, "{text}");
        }
    }
}
