//! What is sent to a terminal so that it shows a canvas.

use std::io;

use crossterm::cursor::MoveTo;
use crossterm::queue;
use crossterm::style::{Attribute, Print, SetAttribute};
use crossterm::terminal::{BeginSynchronizedUpdate, EndSynchronizedUpdate};

use crate::canvas::{Canvas, Cell, Look};

/// The bytes that turn what a terminal shows into a canvas: all of it where nothing of this size is shown yet, else
/// what differs, and nothing where nothing does. Terminals that can show them at once are told to.
///
/// # Errors
/// None on terminals that understand escapes.
pub(crate) fn update(shown: Option<&Canvas>, canvas: &Canvas) -> io::Result<Vec<u8>> {
    let shown =
        shown.filter(|shown| (shown.width(), shown.height()) == (canvas.width(), canvas.height()));
    if shown.is_some_and(|shown| shown == canvas) {
        return Ok(Vec::new());
    }
    let mut bytes = Vec::new();
    queue!(
        bytes,
        BeginSynchronizedUpdate,
        SetAttribute(Attribute::Reset)
    )?;
    let mut look = Look::PLAIN;
    for y in 0..canvas.height() {
        let before = shown.map(|shown| shown.cells(y));
        queue_row(&mut bytes, y, before, canvas.cells(y), &mut look)?;
    }
    queue!(bytes, SetAttribute(Attribute::Reset), EndSynchronizedUpdate)?;
    Ok(bytes)
}

fn queue_row(
    bytes: &mut Vec<u8>,
    y: u16,
    before: Option<&[Cell]>,
    cells: &[Cell],
    look: &mut Look,
) -> io::Result<()> {
    // Where the next letter goes, as far as that is certain.
    let mut cursor = None;
    for (x, (index, cell)) in (0_u16..).zip(cells.iter().enumerate()) {
        let is_shown = before
            .and_then(|before| before.get(index))
            .is_some_and(|before| before == cell);
        let Some(letter) = cell.letter.as_ref().filter(|_| !is_shown) else {
            continue;
        };
        if cursor != Some(x) {
            queue!(bytes, MoveTo(x, y))?;
        }
        if cell.look != *look {
            queue_look(bytes, cell.look)?;
            *look = cell.look;
        }
        queue!(bytes, Print(letter.base()), Print(letter.marks()))?;
        cursor = letter.is_plain().then(|| x + letter.width());
    }
    Ok(())
}

fn queue_look(bytes: &mut Vec<u8>, look: Look) -> io::Result<()> {
    queue!(bytes, SetAttribute(Attribute::Reset))?;
    if look.is_bold {
        queue!(bytes, SetAttribute(Attribute::Bold))?;
    }
    if look.is_reversed {
        queue!(bytes, SetAttribute(Attribute::Reverse))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::area::Area;

    const WIDTH: u16 = 12;
    const HEIGHT: u16 = 4;

    fn terminal() -> vt100::Parser {
        vt100::Parser::new(
            std::num::NonZero::new(HEIGHT).unwrap(),
            std::num::NonZero::new(WIDTH).unwrap(),
            0,
        )
    }

    fn assert_shows(terminal: &vt100::Parser, canvas: &Canvas) {
        let screen = terminal.screen();
        for y in 0..canvas.height() {
            for (x, cell) in (0_u16..).zip(canvas.cells(y)) {
                let found = screen.cell(y, x).unwrap();
                let Some(letter) = &cell.letter else {
                    assert!(found.is_wide_continuation(), "{x}, {y}\n{canvas}");
                    continue;
                };
                let expected = format!("{}{}", letter.base(), letter.marks());
                let text = if found.has_contents() {
                    found.contents()
                } else {
                    " "
                };
                assert_eq!(text, expected, "{x}, {y}\n{canvas}");
                assert_eq!(found.bold(), cell.look.is_bold, "{x}, {y}\n{canvas}");
                assert_eq!(found.inverse(), cell.look.is_reversed, "{x}, {y}\n{canvas}");
            }
        }
    }

    /// Pieces of text somewhere on a canvas, partly beyond it.
    fn pieces() -> impl Strategy<Value = Vec<(u16, u16, u16, String, u8)>> {
        let letter = prop::sample::select(vec![
            "a", "b", " ", "千", "鳥", "e\u{301}", "█", "⣿", "\u{1b}", "\n", "☔",
        ]);
        let text = prop::collection::vec(letter, 0..14).prop_map(|letters| letters.concat());
        prop::collection::vec(
            (0..WIDTH + 2, 0..HEIGHT + 1, 0..WIDTH + 4, text, 0..4_u8),
            0..6,
        )
    }

    fn canvas(pieces: &[(u16, u16, u16, String, u8)]) -> Canvas {
        let mut canvas = Canvas::new(WIDTH, HEIGHT);
        for (x, y, width, text, look) in pieces {
            let area = Area::new(*x, *y, *width, 2);
            let look = Look {
                is_bold: look & 1 > 0,
                is_reversed: look & 2 > 0,
            };
            if text.contains(' ') {
                canvas.paragraphs(area, [(text.as_str(), look)]);
            } else {
                canvas.line(area, text, look);
            }
        }
        canvas
    }

    /// What is sent for a canvas, as text.
    fn sent(shown: Option<&Canvas>, canvas: &Canvas) -> String {
        String::from_utf8(update(shown, canvas).unwrap()).unwrap()
    }

    /// What is sent for a canvas with a text in one of its rows.
    fn sent_text(y: u16, text: &str, look: u8) -> String {
        sent(None, &canvas(&[(0, y, 12, text.to_owned(), look)]))
    }

    proptest! {
        #[test]
        fn a_terminal_shows_each_canvas_after_the_other(all in prop::collection::vec(pieces(), 1..5)) {
            let mut terminal = terminal();
            let mut shown: Option<Canvas> = None;
            // A terminal that was not empty.
            terminal.process(b"\x1b[1;7mwhat was there before it began, on some of its rows");
            for pieces in &all {
                let canvas = canvas(pieces);
                let bytes = update(shown.as_ref(), &canvas).unwrap();
                terminal.process(&bytes);
                assert_shows(&terminal, &canvas);
                shown = Some(canvas);
            }
        }
    }

    #[test]
    fn only_what_differs_is_sent() {
        let [one, two] = ["one two", "one txo"].map(|text| {
            let three = (0, 2, 12, "three".to_owned(), 1);
            canvas(&[(0, 0, 12, text.to_owned(), 0), three])
        });
        assert_eq!(sent(Some(&one), &one), "");
        let bytes = sent(Some(&one), &two);
        assert!(bytes.contains('x'), "{bytes:?}");
        for part in ["one", "three", " ", "\u{1b}[2J"] {
            assert!(!bytes.contains(part), "{part}: {bytes:?}");
        }
        // After a change of size all of it, without emptying the screen first.
        let larger = Canvas::new(WIDTH + 1, HEIGHT);
        let bytes = sent(Some(&larger), &two);
        assert!(
            bytes.contains("three") && !bytes.contains("\u{1b}[2J"),
            "{bytes:?}"
        );
    }

    #[test]
    fn an_update_is_shown_at_once_and_leaves_no_look_behind() {
        let bytes = sent_text(3, "bold to the end", 3);
        assert!(bytes.starts_with("\u{1b}[?2026h\u{1b}[0m"), "{bytes:?}");
        assert!(bytes.ends_with("\u{1b}[0m\u{1b}[?2026l"), "{bytes:?}");
    }

    #[test]
    fn letters_of_doubtful_width_move_nothing() {
        let bytes = sent_text(0, "a千b", 0);
        assert!(bytes.contains("a千\u{1b}[1;4Hb"), "{bytes:?}");
    }

    #[test]
    fn no_control_is_sent() {
        let text = sent_text(0, "a\u{1b}]0;x\u{7}\u{9b}2J\n", 0);
        assert!(
            !text.contains("\u{1b}]") && !text.contains(['\u{7}', '\u{9b}', '\n', '\r']),
            "{text:?}"
        );
    }
}
