//! The whole screen of a real terminal.

use std::io::{Read as _, Write as _};
use std::num::NonZero;
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

use crate::bench_room::{Room, Words};

/// Longest wait for something to be shown.
const PATIENCE: Duration = Duration::from_secs(30);

struct Terminal {
    master: Box<dyn MasterPty + Send>,
    keys: Box<dyn std::io::Write + Send>,
    child: Box<dyn Child + Send + Sync>,
    told: Receiver<Vec<u8>>,
    screen: vt100::Parser,
}

fn size(rows: u16, cols: u16) -> PtySize {
    PtySize {
        rows,
        cols,
        ..PtySize::default()
    }
}

impl Terminal {
    /// A session in a terminal that has shown it whole.
    fn begun(room: &Room) -> Self {
        let mut terminal = Self::running(room, ARGS);
        terminal.shows("enough for today");
        terminal
    }

    fn running(room: &Room, args: impl Words) -> Self {
        Self::of_kind(room, args, "xterm-256color")
    }

    fn of_kind(room: &Room, args: impl Words, term: &str) -> Self {
        let (rows, cols) = (NonZero::new(30).unwrap(), NonZero::new(100).unwrap());
        let pair = native_pty_system().openpty(size(30, 100)).unwrap();
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_evenhand"));
        command.args(args.words());
        command.cwd(room.path("."));
        command.env("TERM", term);
        command.env("LC_ALL", "C.UTF-8");
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let mut output = pair.master.try_clone_reader().unwrap();
        let (sender, told) = channel();
        std::thread::spawn(move || {
            let mut buffer = [0_u8; 4096];
            while let Ok(count @ 1..) = output.read(&mut buffer) {
                if sender.send(buffer[..count].to_vec()).is_err() {
                    return;
                }
            }
        });
        Self {
            keys: pair.master.take_writer().unwrap(),
            master: pair.master,
            child,
            told,
            screen: vt100::Parser::new(rows, cols, 0),
        }
    }

    fn press(&mut self, keys: &str) {
        self.keys.write_all(keys.as_bytes()).unwrap();
        self.keys.flush().unwrap();
    }

    /// Makes the terminal larger or smaller.
    fn resize(&mut self, rows: u16, cols: u16) {
        self.master.resize(size(rows, cols)).unwrap();
        let (rows, cols) = (NonZero::new(rows).unwrap(), NonZero::new(cols).unwrap());
        self.screen.screen_mut().set_size(rows, cols);
    }

    /// Sends a signal to the program.
    #[cfg(unix)]
    fn signal(&self, signal: &str) {
        let number = self.child.process_id().unwrap().to_string();
        std::process::Command::new("sh")
            .args(["-c", &format!("kill -{signal} {number}")])
            .status()
            .unwrap();
    }

    /// Ends well, having given its screen back.
    #[track_caller]
    fn ends(&mut self, last: &str) {
        self.shows(last);
        assert!(!self.screen.screen().alternate_screen(), "given back");
        assert!(!self.screen.screen().hide_cursor(), "with its cursor");
        assert!(self.child.wait().unwrap().success());
    }

    /// Waits until the screen shows something.
    fn shows(&mut self, part: &str) {
        self.wait_until(part, true);
    }

    /// Waits until the screen shows something no more.
    fn hides(&mut self, part: &str) {
        self.wait_until(part, false);
    }

    fn wait_until(&mut self, part: &str, is_shown: bool) {
        let began = Instant::now();
        while self.screen.screen().contents().contains(part) != is_shown {
            if let Ok(bytes) = self.told.recv_timeout(Duration::from_millis(100)) {
                self.screen.process(&bytes);
            }
            assert!(
                began.elapsed() < PATIENCE,
                "`{part}` is {} shown:\n{}",
                if is_shown { "not" } else { "still" },
                self.screen.screen().contents()
            );
        }
    }
}

fn room() -> Room {
    let room = Room::new();
    let still = |percent: f64| format!("{percent}\n").repeat(40) + "\n";
    room.write("stream.txt", still(3.0) + &still(30.0));
    room
}

const ARGS: &str = "bench record new.csv --from stream.txt --forces 20gf,60gf --settle 30";

#[test]
fn a_session_in_a_terminal_fills_it_and_gives_it_back() {
    let room = room();
    let mut terminal = Terminal::begun(&room);
    assert!(terminal.screen.screen().alternate_screen());
    terminal.press("\r");
    terminal.shows("kept 20.00 gf: 3.00 %");
    terminal.press("\r");
    terminal.shows("all 2 of the list are placed");
    terminal.press("q");
    terminal.ends("kept 2 samples in new.csv");
    let text = room.read("new.csv");
    let rows = text.lines().filter(|line| line.starts_with("20,0.03"));
    assert_eq!(rows.count(), 1);
}

#[test]
fn a_session_follows_the_size_of_its_terminal() {
    let room = room();
    let mut terminal = Terminal::begun(&room);
    terminal.resize(12, 50);
    terminal.shows("window too narrow");
    terminal.hides("█");
    terminal.resize(40, 130);
    terminal.shows("enough for today");
    terminal.hides("too narrow");
    let contents = terminal.screen.screen().contents();
    assert_eq!(contents.matches("READING, %").count(), 1, "{contents}");
    terminal.press("\r");
    terminal.shows("kept 20.00 gf: 3.00 %");
    terminal.press("q");
    terminal.ends("kept 1 sample in new.csv");
}

#[cfg(unix)]
#[test]
fn a_screen_that_was_spoilt_is_drawn_anew_when_its_size_is_told() {
    let room = room();
    let mut terminal = Terminal::begun(&room);
    // As after a change of size and back: what was shown is gone, and the size is the same.
    terminal.screen.process(b"\x1b[2J");
    terminal.signal("WINCH");
    for part in ["new.csv", "NEXT FORCE", "█", "enough for today"] {
        terminal.shows(part);
    }
    terminal.press("q");
    terminal.shows("kept 0 samples in new.csv");
}

#[cfg(unix)]
#[test]
fn keys_that_end_a_program_give_the_terminal_back() {
    for key in ["\u{3}", "\u{4}"] {
        let room = room();
        let mut terminal = Terminal::begun(&room);
        let modes = |terminal: &Terminal| format!("{:?}", terminal.master.get_termios());
        let taken = modes(&terminal);
        terminal.press(key);
        terminal.ends("kept 0 samples in new.csv");
        assert_ne!(modes(&terminal), taken, "letters are shown again");
    }
}

#[test]
fn plain_sessions_leave_the_terminal_as_it_is() {
    let room = room();
    let args = format!("{ARGS} --plain");
    let mut terminal = Terminal::running(&room, &args);
    terminal.shows("next: 20.00 gf");
    assert!(!terminal.screen.screen().alternate_screen());
    terminal.press("\r");
    terminal.shows("next: 60.00 gf");
    terminal.press("q\r");
    terminal.ends("kept 1 sample in new.csv");
}

#[test]
fn a_terminal_that_can_do_lines_only_gets_lines() {
    let room = room();
    let mut terminal = Terminal::of_kind(&room, ARGS, "dumb");
    terminal.shows("next: 20.00 gf");
    assert!(!terminal.screen.screen().alternate_screen());
    terminal.press("q\r");
    terminal.ends("kept 0 samples in new.csv");
}

#[cfg(unix)]
#[test]
fn a_session_that_is_told_to_end_gives_the_terminal_back() {
    for signal in ["TERM", "INT", "HUP"] {
        let room = room();
        let mut terminal = Terminal::begun(&room);
        terminal.press("\r");
        terminal.shows("kept 20.00 gf: 3.00 %");
        terminal.signal(signal);
        terminal.shows("kept 1 sample in new.csv");
        assert!(!terminal.screen.screen().alternate_screen(), "{signal}");
        terminal.child.wait().unwrap();
    }
}
