//! The values of a trace.
//!
//! `InkML` (W3C Recommendation, 20 September 2011): points are separated by commas, values by white space
//! that may be left out before a prefix, a sign or a letter. `!` makes a channel's values explicit, `'`
//! differences from the value before, `"` differences of these; the prefix holds until another comes.

use evenhand_text::{Fault, clean, quoted};

use crate::channel::{Channel, ChannelKind};
use crate::wrong::Wrong;

/// How a channel's values are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Mode {
    Explicit,
    Difference,
    SecondDifference,
}

/// What is known of a channel while a trace is read.
#[derive(Clone, Copy, Debug)]
struct State {
    mode: Mode,
    value: Option<f64>,
    step: f64,
    bend: f64,
}

/// A value as it stands in the text.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Token {
    Number(f64),
    Truth(bool),
    Same,
    Unknown,
}

/// The values of a trace's text, one row for each point and one value for each channel; a value that is
/// not known is `None`.
///
/// # Errors
/// The first fault: a character that belongs to no value, a number out of range, too many or too few
/// values in a point, a difference from a value that is not known.
pub fn decode(text: &str, channels: &[Channel]) -> Result<Vec<Vec<Option<f64>>>, Box<Fault>> {
    decode_trace(text, channels).map_err(|wrong| wrong.in_text(text))
}

/// As [`decode`], for a text that is part of a document.
pub(crate) fn decode_trace(
    text: &str,
    channels: &[Channel],
) -> Result<Vec<Vec<Option<f64>>>, Wrong> {
    let mut states: Vec<State> = channels
        .iter()
        .map(|channel| State {
            mode: Mode::Explicit,
            value: channel.default.or(
                // A button that was never mentioned is not pressed.
                (channel.kind == ChannelKind::Boolean).then_some(0.0),
            ),
            step: 0.0,
            bend: 0.0,
        })
        .collect();
    let mut points = Vec::new();
    let mut begin = 0;
    for part in text.split(',') {
        let end = begin + part.len();
        let is_last = end == text.len();
        if part.trim().is_empty() && is_last {
            break;
        }
        point(part, channels, &mut states).map_err(|error| error.shifted(begin))?;
        points.push(states.iter().map(|state| state.value).collect());
        begin = end + 1;
    }
    Ok(points)
}

fn point(text: &str, channels: &[Channel], states: &mut [State]) -> Result<(), Wrong> {
    let mut rest = Cursor { text, at: 0 };
    for (channel, state) in channels.iter().zip(states.iter_mut()) {
        rest.skip_space();
        if rest.is_done() {
            if channel.intermittent {
                // Left out: as it was.
                continue;
            }
            return Err(Wrong::new(
                format!(
                    "a point without a value of channel {}",
                    clean(&channel.name)
                ),
                "give every regular channel a value in each point",
                0..text.len(),
            ));
        }
        let begin = rest.at;
        if let Some(mode) = rest.prefix() {
            state.mode = mode;
            rest.skip_space();
        }
        let token = rest.token(begin)?;
        state.take(token, channel).map_err(|message| {
            Wrong::new(
                message,
                "give an explicit value, such as !120, first",
                begin..rest.at,
            )
        })?;
    }
    rest.skip_space();
    if rest.is_done() {
        return Ok(());
    }
    Err(Wrong::new(
        format!(
            "more values than the {} channels of the trace format",
            channels.len()
        ),
        "separate points with commas, or name the further channels",
        rest.at..text.len(),
    ))
}

impl State {
    fn take(&mut self, token: Token, channel: &Channel) -> Result<(), String> {
        let number = match token {
            Token::Unknown => {
                self.value = None;
                return Ok(());
            }
            Token::Truth(truth) => {
                self.value = Some(if truth { 1.0 } else { 0.0 });
                return Ok(());
            }
            Token::Same => match self.mode {
                Mode::Explicit => return Ok(()),
                Mode::Difference => self.step,
                Mode::SecondDifference => self.bend,
            },
            Token::Number(number) => number,
        };
        if self.mode == Mode::Explicit {
            if let Some(before) = self.value {
                self.step = number - before;
            }
            self.value = Some(number);
            return Ok(());
        }
        let Some(before) = self.value else {
            return Err(format!(
                "a difference of channel {} from a value that is not known",
                clean(&channel.name)
            ));
        };
        if self.mode == Mode::Difference {
            self.bend = number - self.step;
            self.step = number;
        } else {
            self.bend = number;
            self.step += number;
        }
        self.value = Some(before + self.step);
        if self.value.is_some_and(f64::is_finite) {
            Ok(())
        } else {
            Err(format!(
                "channel {} grows beyond all numbers",
                clean(&channel.name)
            ))
        }
    }
}

struct Cursor<'a> {
    text: &'a str,
    at: usize,
}

impl Cursor<'_> {
    fn rest(&self) -> &str {
        &self.text[self.at..]
    }

    fn is_done(&self) -> bool {
        self.at >= self.text.len()
    }

    fn skip_space(&mut self) {
        self.at += self.rest().len() - self.rest().trim_start().len();
    }

    fn prefix(&mut self) -> Option<Mode> {
        let mode = match self.rest().chars().next()? {
            '!' => Mode::Explicit,
            '\'' => Mode::Difference,
            '"' => Mode::SecondDifference,
            _ => return None,
        };
        self.at += 1;
        Some(mode)
    }

    fn token(&mut self, begin: usize) -> Result<Token, Wrong> {
        let simple = match self.rest().chars().next() {
            Some('T') => Some(Token::Truth(true)),
            Some('F') => Some(Token::Truth(false)),
            Some('*') => Some(Token::Same),
            Some('?') => Some(Token::Unknown),
            _ => None,
        };
        if let Some(token) = simple {
            self.at += 1;
            return Ok(token);
        }
        let negative = self.rest().starts_with('-');
        if negative {
            self.at += 1;
            self.skip_space();
        }
        let (length, number) = if self.rest().starts_with('#') {
            hexadecimal(self.rest())
        } else {
            decimal(self.rest())
        };
        let wrong = |at: usize, text: &str| {
            let end = text[at..].chars().next().map_or(at, |c| at + c.len_utf8());
            Wrong::new(
                format!(
                    "{}, which is no value of a trace",
                    quoted(&text[begin..end])
                ),
                "write numbers, T, F, * or ?, with commas between points",
                begin..end,
            )
        };
        let Some(number) = number.filter(|number| number.is_finite()) else {
            return Err(wrong(self.at, self.text));
        };
        self.at += length;
        Ok(Token::Number(if negative { -number } else { number }))
    }
}

/// Length and value of a number that starts with `#`.
fn hexadecimal(text: &str) -> (usize, Option<f64>) {
    let digits = text[1..]
        .find(|c: char| !c.is_ascii_hexdigit())
        .unwrap_or(text.len() - 1);
    let number = u32::from_str_radix(&text[1..=digits], 16);
    (digits + 1, number.ok().map(f64::from))
}

/// Length and value of a decimal number with an exponent perhaps.
fn decimal(text: &str) -> (usize, Option<f64>) {
    let bytes = text.as_bytes();
    let digits = |from: usize| {
        let count = bytes[from.min(bytes.len())..]
            .iter()
            .take_while(|b| b.is_ascii_digit());
        from + count.count()
    };
    let mut end = digits(0);
    if bytes.get(end) == Some(&b'.') {
        end = digits(end + 1);
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let exponent = digits(end + 1 + sign);
        if exponent > end + 1 + sign {
            end = exponent;
        }
    }
    (end, text[..end].parse().ok())
}
