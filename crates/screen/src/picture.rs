//! The screen as it is laid out.

use evenhand_recorder::Next;
use evenhand_text::{count, gf, short};

use crate::area::Area;
use crate::bar;
use crate::canvas::{Canvas, Look};
use crate::figures::{self, Size};
use crate::letter::{letters, width_of};
use crate::plot;
use crate::screen::Screen;
use crate::wrap::wrapped;

/// The keys with what they do.
const KEYS: [(&str, &str); 6] = [
    ("Enter", "it hangs still"),
    ("60gf", "another force"),
    ("r", "retake"),
    ("u", "undo"),
    ("s", "new seating"),
    ("q", "enough for today"),
];
/// Keys while a force is typed.
const TYPING_KEYS: [(&str, &str); 2] = [("Enter", "that one instead"), ("Esc", "leave it")];
/// Below so many rows or columns there is no room for a curve.
const LEAST_FOR_CURVE: (u16, u16) = (40, 20);
/// Rows that a curve is not drawn below.
const LEAST_CURVE: u16 = 5;
/// On narrower screens cautions and states are cut.
const LEAST_WIDTH: u16 = 64;
/// Rows that are always there, but for the keys: head, titles, figures, what to do (2), why, and sentences.
const LEAST_ROWS: u16 = 6 + SENTENCES;
/// Rows of sentences.
const SENTENCES: u16 = 3;

/// A reading with a decimal; full scale without, so that figures keep their size.
fn percent_figure(reading: f64) -> String {
    let text = format!("{:.1}", 100.0 * reading);
    if text == "100.0" {
        "100".to_owned()
    } else {
        text
    }
}

impl Screen {
    /// Draws the session on a canvas, whatever was on it.
    pub fn draw(&mut self, canvas: &mut Canvas) {
        canvas.clear();
        let mut area = canvas.area();
        let keys = self.keys(area.width);
        let key_rows = u16::try_from(keys.len()).unwrap_or(u16::MAX);
        let next = self.session.recorder_mut().next_step().clone();
        let least = LEAST_ROWS.saturating_add(key_rows);
        if area.width < LEAST_WIDTH || area.height < least {
            let size = (LEAST_WIDTH.max(area.width), least);
            self.draw_small(canvas, &next, size);
            return;
        }
        let (title, force, reason) = match &next {
            Next::Place(placed) => {
                let force = short(placed.force_gf, 1);
                ("NEXT FORCE, gf", force, &placed.why)
            }
            Next::Done(why) => ("NEXT FORCE", "done".to_owned(), why),
        };
        let reading = self.reading();
        let longest = force.len().max(reading.len());
        let has_curve = area.width >= LEAST_FOR_CURVE.0 && area.height >= LEAST_FOR_CURVE.1;
        // A row of figures is in the least already.
        let to_spare = area.height - least + 1;
        let room = if has_curve {
            (area.height / 3).min(to_spare.saturating_sub(LEAST_CURVE))
        } else {
            4
        };
        let size = Size::fitting(longest, (area.width / 2).saturating_sub(3), room)
            .filter(|_| area.height >= 14);
        self.draw_head(canvas, area.take_top(1));
        let [left, right] = area.take_top(1).halves();
        canvas.line(left, title, Look::BOLD);
        canvas.line(right, "READING, %", Look::BOLD);
        let [left, right] = area.take_top(size.map_or(1, Size::rows)).halves();
        for (text, area) in [(&force, left), (&reading, right)] {
            match size {
                Some(size) => figures::draw(canvas, area, text, size, Look::BOLD),
                None => canvas.line(area, text, Look::BOLD),
            }
        }
        let [left, right] = area.take_top(2).halves();
        if let Next::Place(placed) = &next {
            let how = placed.how.as_deref().map(|words| (words, Look::BOLD));
            canvas.paragraphs(left, how);
        }
        self.draw_state(canvas, right, &next);
        canvas.line(area.take_top(1), reason, Look::PLAIN);
        let curve = area.take_top(area.height.saturating_sub(SENTENCES + key_rows));
        if has_curve {
            plot::draw(canvas, curve, &self.session.recorder_mut().progress());
        }
        self.draw_sentences(canvas, area.take_top(SENTENCES), &next);
        for row in keys {
            draw_row(canvas, area.take_top(1), &row);
        }
    }

    /// The reading now, %.
    fn reading(&self) -> String {
        let reading = self.session.recorder().current();
        reading.map_or("--".to_owned(), percent_figure)
    }

    /// What matters most where cautions and keys have no room, and that they have none.
    fn draw_small(&self, canvas: &mut Canvas, next: &Next, (width, rows): (u16, u16)) {
        let too_small = if width > canvas.width() {
            format!("window too narrow for cautions and keys: make it {width} columns wide")
        } else {
            format!("window too small for cautions and keys: make it {rows} rows high")
        };
        let warning = (too_small.as_str(), Look::REVERSED);
        match next {
            Next::Place(placed) => {
                let figures = format!("{} gf, {} %", short(placed.force_gf, 1), self.reading());
                let how = placed.how.as_deref().unwrap_or_default();
                let texts = [(figures.as_str(), Look::BOLD), warning, (how, Look::PLAIN)];
                canvas.paragraphs(canvas.area(), texts);
            }
            Next::Done(_) => canvas.paragraphs(canvas.area(), [("done", Look::BOLD), warning]),
        }
    }

    fn draw_head(&self, canvas: &mut Canvas, area: Area) {
        let recorder = self.session.recorder();
        let text = format!(
            " {} · seating {} · {} · limit {} ",
            recorder.out().display(),
            recorder.seating(),
            count(recorder.rows().len(), "sample"),
            gf(recorder.limit_gf())
        );
        canvas.line(area, &text, Look::REVERSED);
    }

    /// How far the reading has settled.
    fn draw_state(&self, canvas: &mut Canvas, mut area: Area, next: &Next) {
        let bar = area.take_top(1);
        let recorder = self.session.recorder();
        if let Some(settling) = recorder.settling() {
            bar::draw(canvas, bar, settling.part, &settling.words);
            let moves = settling.moves.as_deref();
            canvas.line(area, moves.unwrap_or("nothing is read yet"), Look::PLAIN);
            return;
        }
        let state = match next {
            _ if recorder.has_ended() => "the source has ended",
            Next::Place(_) => "hang it, then press Enter",
            Next::Done(_) => "nothing is asked for",
        };
        canvas.line(bar, state, Look::PLAIN);
        if let Some(text) = recorder.leaning() {
            canvas.line(area, &text, Look::REVERSED);
        }
    }

    fn draw_sentences(&self, canvas: &mut Canvas, area: Area, next: &Next) {
        let caution = match next {
            Next::Place(placed) => placed.caution.as_deref(),
            Next::Done(_) => None,
        };
        let sentences = self.session.sentences();
        let sentences = sentences.map(|sentence| (sentence.text.as_str(), sentence.is_warning));
        let caution = caution.map(|text| (text, true));
        // The latest first: what has no room is the oldest, and no sentence is cut but one that is too long alone.
        let mut left = usize::from(area.height);
        let mut shown = Vec::new();
        for (text, is_warning) in caution.into_iter().chain(sentences) {
            let rows = wrapped(&letters(text), area.width).len();
            if rows > left && !shown.is_empty() {
                break;
            }
            left = left.saturating_sub(rows);
            let look = if is_warning {
                Look::REVERSED
            } else {
                Look::PLAIN
            };
            shown.push((text, look));
        }
        canvas.paragraphs(area, shown);
    }

    /// The keys in as many rows as they take.
    fn keys(&self, width: u16) -> Vec<Row> {
        let mut rows: Vec<Row> = vec![Vec::new()];
        let mut taken = 0;
        let mut add = |parts: Row| {
            let length: usize = parts.iter().map(|(text, _)| width_of(&letters(text))).sum();
            if taken > 0 && taken + length > usize::from(width) {
                rows.push(Vec::new());
                taken = 0;
            }
            taken += length;
            if let Some(row) = rows.last_mut() {
                row.extend(parts);
            }
        };
        let keys: &[(&str, &str)] = match &self.typed {
            Some(typed) => {
                add(vec![
                    ("another force: ".to_owned(), Look::PLAIN),
                    (format!("{typed}▏"), Look::BOLD),
                    ("   ".to_owned(), Look::PLAIN),
                ]);
                &TYPING_KEYS
            }
            None => &KEYS,
        };
        for (key, does) in keys {
            add(vec![
                (format!(" {key} "), Look::REVERSED),
                (format!(" {does}   "), Look::PLAIN),
            ]);
        }
        rows
    }
}

/// Parts of a row with how they look.
type Row = Vec<(String, Look)>;

fn draw_row(canvas: &mut Canvas, mut area: Area, row: &Row) {
    for (text, look) in row {
        let x = canvas.write(area, &letters(text), *look);
        area.width = area.right().saturating_sub(x);
        area.x = x;
    }
}
