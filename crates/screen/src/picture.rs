//! The screen as it is laid out.

use evenhand_recorder::{Next, Placed};
use evenhand_workflow::{count, gf, short};
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::style::{Modifier, Style};
use ratatui::text::{Line, Span};
use ratatui::widgets::{Gauge, Paragraph, Wrap};

use crate::figures::{self, Size};
use crate::plot;
use crate::screen::Screen;

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

fn bold() -> Style {
    Style::new().add_modifier(Modifier::BOLD)
}

fn warning() -> Style {
    Style::new().add_modifier(Modifier::REVERSED)
}

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
    /// Draws the session.
    pub fn draw(&mut self, frame: &mut Frame<'_>) {
        let area = frame.area();
        let keys = self.keys(area.width);
        let key_rows = u16::try_from(keys.len()).unwrap_or(u16::MAX);
        let next = self.attended.recorder_mut().asked().clone();
        let least = LEAST_ROWS.saturating_add(key_rows);
        if area.width < LEAST_WIDTH || area.height < least {
            let size = (LEAST_WIDTH.max(area.width), least);
            self.draw_small(frame, &next, size);
            return;
        }
        let force = match &next {
            Next::Place(placed) => short(placed.force_gf, 1),
            Next::Done(_) => "done".to_owned(),
        };
        let reading = self
            .attended
            .recorder()
            .current()
            .map_or("--".to_owned(), percent_figure);
        let longest = force.len().max(reading.len());
        let has_curve = area.width >= LEAST_FOR_CURVE.0 && area.height >= LEAST_FOR_CURVE.1;
        let room = if has_curve { area.height / 3 } else { 4 };
        let size = Size::fitting(longest, (area.width / 2).saturating_sub(3), room)
            .filter(|_| area.height >= 14);
        let figure_rows = size.map_or(1, Size::rows);
        let [head, titles, figures, below, why, curve, told, keyed] = Layout::vertical([
            Constraint::Length(1),
            Constraint::Length(1),
            Constraint::Length(figure_rows),
            Constraint::Length(2),
            Constraint::Length(1),
            Constraint::Min(if has_curve { LEAST_CURVE } else { 0 }),
            Constraint::Length(SENTENCES),
            Constraint::Length(key_rows),
        ])
        .areas(area);
        self.draw_head(frame, head);
        let halves = |area: Rect| -> [Rect; 2] {
            Layout::horizontal([Constraint::Fill(1), Constraint::Fill(1)])
                .spacing(2)
                .areas(area)
        };
        let [left, right] = halves(titles);
        let (title, unit) = match &next {
            Next::Place(_) => ("NEXT FORCE", ", gf"),
            Next::Done(_) => ("NEXT FORCE", ""),
        };
        frame.render_widget(Line::styled(format!("{title}{unit}"), bold()), left);
        frame.render_widget(Line::styled("READING, %", bold()), right);
        let [left, right] = halves(figures);
        for (text, area) in [(&force, left), (&reading, right)] {
            match size {
                Some(size) => figures::draw(frame, area, text, size, bold()),
                None => frame.render_widget(Line::styled(text.clone(), bold()), area),
            }
        }
        let [left, right] = halves(below);
        draw_how(frame, left, &next);
        self.draw_state(frame, right, &next);
        let reason = match &next {
            Next::Place(placed) => placed.why.clone(),
            Next::Done(why) => why.clone(),
        };
        frame.render_widget(Line::raw(reason), why);
        if has_curve {
            let so_far = self.attended.recorder_mut().so_far();
            plot::draw(frame, curve, &so_far);
        }
        self.draw_sentences(frame, told, &next);
        frame.render_widget(Paragraph::new(keys), keyed);
    }

    /// What matters most where cautions and keys have no room, and that they have none.
    fn draw_small(&self, frame: &mut Frame<'_>, next: &Next, (width, rows): (u16, u16)) {
        let reading = self
            .attended
            .recorder()
            .current()
            .map_or("--".to_owned(), percent_figure);
        let mut lines = match next {
            Next::Place(placed) => vec![
                Line::styled(
                    format!("{} gf, {reading} %", short(placed.force_gf, 1)),
                    bold(),
                ),
                Line::raw(placed.how.clone().unwrap_or_default()),
            ],
            Next::Done(_) => vec![Line::styled("done", bold())],
        };
        let text = if width > frame.area().width {
            format!("window too narrow for cautions and keys: make it {width} columns wide")
        } else {
            format!("window too small for cautions and keys: make it {rows} rows high")
        };
        lines.insert(1, Line::styled(text, warning()));
        frame.render_widget(
            Paragraph::new(lines).wrap(Wrap { trim: true }),
            frame.area(),
        );
    }

    fn draw_head(&self, frame: &mut Frame<'_>, area: Rect) {
        let recorder = self.attended.recorder();
        let text = format!(
            " {} · seating {} · {} · limit {} ",
            recorder.out().display(),
            recorder.seating(),
            count(recorder.rows().len(), "sample"),
            gf(recorder.limit_gf())
        );
        frame.render_widget(Paragraph::new(text).style(warning()), area);
    }

    /// How far the reading has settled.
    fn draw_state(&self, frame: &mut Frame<'_>, area: Rect, next: &Next) {
        let [bar, words] =
            Layout::vertical([Constraint::Length(1), Constraint::Length(1)]).areas(area);
        let recorder = self.attended.recorder();
        if let Some(settling) = recorder.settling() {
            let gauge = Gauge::default()
                .gauge_style(Style::new())
                .label(settling.words)
                .ratio(settling.part.clamp(0.0, 1.0));
            frame.render_widget(gauge, bar);
            let moves = settling
                .moves
                .unwrap_or_else(|| "nothing is read yet".to_owned());
            frame.render_widget(Line::raw(moves), words);
            return;
        }
        let state = match next {
            _ if recorder.has_ended() => "the source has ended",
            Next::Place(_) => "hang it, then press Enter",
            Next::Done(_) => "nothing is asked for",
        };
        frame.render_widget(Line::raw(state), bar);
        if let Some(text) = recorder.leaning() {
            frame.render_widget(Line::styled(text, warning()), words);
        }
    }

    fn draw_sentences(&self, frame: &mut Frame<'_>, area: Rect, next: &Next) {
        let caution = match next {
            Next::Place(Placed {
                caution: Some(caution),
                ..
            }) => Some((caution.as_str(), true)),
            _ => None,
        };
        let told = self.attended.sentences();
        let told = told.map(|sentence| (sentence.text.as_str(), sentence.is_warning));
        // The latest first: what has no room is the oldest, and no sentence is cut but one that is too long alone.
        let mut left = usize::from(area.height);
        let mut lines = Vec::new();
        for (text, is_warning) in caution.into_iter().chain(told) {
            let rows = rows_of(text, usize::from(area.width));
            if rows > left && !lines.is_empty() {
                break;
            }
            left = left.saturating_sub(rows);
            lines.push(if is_warning {
                Line::styled(text, warning())
            } else {
                Line::raw(text)
            });
        }
        frame.render_widget(Paragraph::new(lines).wrap(Wrap { trim: true }), area);
    }

    /// The keys in as many rows as they take.
    fn keys(&self, width: u16) -> Vec<Line<'static>> {
        let mut rows: Vec<Vec<Span<'static>>> = vec![Vec::new()];
        let mut taken = 0;
        let mut add = |spans: Vec<Span<'static>>| {
            let length: usize = spans.iter().map(Span::width).sum();
            if taken > 0 && taken + length > usize::from(width) {
                rows.push(Vec::new());
                taken = 0;
            }
            taken += length;
            if let Some(row) = rows.last_mut() {
                row.extend(spans);
            }
        };
        let keys: &[(&str, &str)] = match &self.typed {
            Some(typed) => {
                add(vec![
                    Span::raw("another force: "),
                    Span::styled(format!("{typed}▏"), bold()),
                    Span::raw("   "),
                ]);
                &TYPING_KEYS
            }
            None => &KEYS,
        };
        for (key, does) in keys {
            add(vec![
                Span::styled(format!(" {key} "), warning()),
                Span::raw(format!(" {does}   ")),
            ]);
        }
        rows.into_iter().map(Line::from).collect()
    }
}

/// Rows that a sentence takes, broken between words.
fn rows_of(text: &str, width: usize) -> usize {
    let mut rows = 1;
    let mut taken = 0;
    for word in text.split_whitespace() {
        let length = word.chars().count();
        if taken > 0 && taken + 1 + length > width {
            rows += 1;
            taken = length;
        } else {
            taken += length + usize::from(taken > 0);
        }
    }
    rows
}

/// What to do for the force.
fn draw_how(frame: &mut Frame<'_>, area: Rect, next: &Next) {
    if let Next::Place(Placed {
        how: Some(words), ..
    }) = next
    {
        frame.render_widget(
            Paragraph::new(Line::styled(words.clone(), bold())).wrap(Wrap { trim: true }),
            area,
        );
    }
}
