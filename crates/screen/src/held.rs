//! The terminal, taken and given back.

use std::io::{self, Write as _, stdout};
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};

use crossterm::cursor::{Hide, Show};
use crossterm::execute;
use crossterm::style::{Attribute, SetAttribute};
use crossterm::terminal::{
    EndSynchronizedUpdate, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode,
    enable_raw_mode,
};

/// Whether the terminal is held.
static IS_HELD: AtomicBool = AtomicBool::new(false);
/// What is done at a panic is set up once; while the terminal is not held it does nothing.
static AT_PANICS: Once = Once::new();

/// The terminal on its other screen, without a cursor, every key given at once. It is given back when this is
/// dropped, and before the words of a panic are printed.
pub(crate) struct Held;

impl Held {
    /// Takes the terminal.
    ///
    /// # Errors
    /// There is none, or it does not do as it is told; then it is left as it was.
    pub(crate) fn take() -> io::Result<Self> {
        AT_PANICS.call_once(|| {
            let others = std::panic::take_hook();
            std::panic::set_hook(Box::new(move |info| {
                // What cannot be given back is not worth a panic within a panic.
                let _ = release();
                others(info);
            }));
        });
        enable_raw_mode()?;
        IS_HELD.store(true, Ordering::SeqCst);
        let held = Self;
        execute!(stdout(), EnterAlternateScreen, Hide)?;
        Ok(held)
    }

    /// Sends bytes to it, all in one piece.
    ///
    /// # Errors
    /// The terminal is gone, or was given back because some other part of the program panicked.
    pub(crate) fn send(&self, bytes: &[u8]) -> io::Result<()> {
        if !IS_HELD.load(Ordering::SeqCst) {
            return Err(io::Error::other("a part of the program failed"));
        }
        if bytes.is_empty() {
            return Ok(());
        }
        let mut terminal = stdout().lock();
        terminal.write_all(bytes)?;
        terminal.flush()
    }

    /// Gives the terminal back.
    ///
    /// # Errors
    /// The terminal is gone.
    pub(crate) fn give_back(self) -> io::Result<()> {
        release()
    }
}

impl Drop for Held {
    fn drop(&mut self) {
        // Whoever wants to know of a failure calls `give_back`.
        let _ = release();
    }
}

/// Gives the terminal back, where it is held: as much of it as is possible.
fn release() -> io::Result<()> {
    if !IS_HELD.swap(false, Ordering::SeqCst) {
        return Ok(());
    }
    let cooked = disable_raw_mode();
    let left = execute!(
        stdout(),
        EndSynchronizedUpdate,
        SetAttribute(Attribute::Reset),
        LeaveAlternateScreen,
        Show
    );
    cooked.and(left)
}

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use std::io::Read as _;
    use std::num::NonZero;
    use std::sync::mpsc::{Receiver, channel};
    use std::time::{Duration, Instant};

    use portable_pty::{CommandBuilder, PtyPair, PtySize, native_pty_system};

    use super::*;

    /// How a holder of the terminal is told to end.
    const HOW: &str = "EVENHAND_HELD_ENDS";
    /// Longest wait for a holder.
    const PATIENCE: Duration = Duration::from_secs(30);

    #[test]
    #[ignore = "takes the terminal that the other tests run it in"]
    fn holder() {
        let Ok(how) = std::env::var(HOW) else {
            return;
        };
        let held = Held::take().unwrap();
        held.send(b"taken").unwrap();
        // Every key is given at once.
        io::stdin().read_exact(&mut [0]).unwrap();
        match how.as_str() {
            "given back" => held.give_back().unwrap(),
            "panic" => panic!("told to panic"),
            "panic elsewhere" => {
                let other = std::thread::spawn(|| panic!("told to panic"));
                assert!(other.join().is_err());
                let error = held.send(b"over the words").unwrap_err();
                assert!(error.to_string().contains("failed"), "{error}");
                drop(held);
            }
            _ => drop(held),
        }
    }

    struct Terminal {
        pair: PtyPair,
        output: Receiver<Vec<u8>>,
        screen: vt100::Parser,
    }

    impl Terminal {
        fn new() -> Self {
            let (rows, cols) = (NonZero::new(24).unwrap(), NonZero::new(100).unwrap());
            let size = PtySize {
                rows: rows.get(),
                cols: cols.get(),
                ..PtySize::default()
            };
            let pair = native_pty_system().openpty(size).unwrap();
            let mut reader = pair.master.try_clone_reader().unwrap();
            let (sender, output) = channel();
            std::thread::spawn(move || {
                let mut buffer = [0_u8; 4096];
                while let Ok(count @ 1..) = reader.read(&mut buffer) {
                    if sender.send(buffer[..count].to_vec()).is_err() {
                        return;
                    }
                }
            });
            Self {
                pair,
                output,
                screen: vt100::Parser::new(rows, cols, 0),
            }
        }

        /// How it treats keys and letters.
        fn modes(&self) -> String {
            format!("{:?}", self.pair.master.get_termios().unwrap())
        }

        /// Waits until it shows something.
        fn shows(&mut self, part: &str) {
            let began = Instant::now();
            while !self.screen.screen().contents().contains(part) {
                if let Ok(bytes) = self.output.recv_timeout(Duration::from_millis(100)) {
                    self.screen.process(&bytes);
                }
                let contents = self.screen.screen().contents();
                assert!(
                    began.elapsed() < PATIENCE,
                    "`{part}` is not shown:\n{contents}"
                );
            }
        }
    }

    #[test]
    fn the_terminal_is_given_back_however_its_holder_ends() {
        for how in ["given back", "dropped", "panic", "panic elsewhere"] {
            let mut terminal = Terminal::new();
            let modes = terminal.modes();
            let mut command = CommandBuilder::new(std::env::current_exe().unwrap());
            command.args(["--exact", "held::tests::holder", "--ignored", "--nocapture"]);
            command.env(HOW, how);
            command.env("RUST_BACKTRACE", "0");
            let mut holder = terminal.pair.slave.spawn_command(command).unwrap();
            terminal.shows("taken");
            let screen = terminal.screen.screen();
            assert!(screen.alternate_screen() && screen.hide_cursor(), "{how}");
            assert_ne!(terminal.modes(), modes, "{how}");
            terminal
                .pair
                .master
                .take_writer()
                .unwrap()
                .write_all(b"x")
                .unwrap();
            // The words of a panic, and those of the test that the holder is.
            if how.starts_with("panic") {
                terminal.shows("told to panic");
            }
            terminal.shows("test result");
            assert_eq!(holder.wait().unwrap().success(), how != "panic", "{how}");
            let screen = terminal.screen.screen();
            assert!(!screen.alternate_screen() && !screen.hide_cursor(), "{how}");
            assert!(!screen.contents().contains("over the words"), "{how}");
            assert_eq!(terminal.modes(), modes, "{how}");
        }
    }
}
