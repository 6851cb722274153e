//! The program at a terminal: keys go in, the screen is read back as a person would see it.
//!
//! Nothing here sleeps: it waits for what should come, and fails with the screen where that does not come in time.

use std::io::{Read, Write};
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use portable_pty::{CommandBuilder, ExitStatus, MasterPty, PtySize, native_pty_system};

use super::{PROGRAM, Shop};

/// How long something may take on a busy machine before it counts as never.
const PATIENCE: Duration = Duration::from_secs(20);
/// How often a state is looked at that says nothing when it changes.
const GLANCE: Duration = Duration::from_millis(2);
/// Rows that keep everything that scrolled away.
const ROLL_ROWS: u16 = 1500;
/// The bit of "line by line" in the terminal's local modes.
const ICANON: u64 = if cfg!(target_os = "macos") { 0x100 } else { 0o2 };

/// The bit of "what is typed is shown", the same on all of these systems.
const ECHO: u64 = 0o10;

pub const CTRL_C: &str = "\x03";
pub const CTRL_D: &str = "\x04";
pub const CTRL_Z: &str = "\x1a";
pub const ENTER: &str = "\r";

/// A window to run something in.
#[derive(Clone)]
pub struct Window<'a> {
    shop: &'a Shop,
    columns: u16,
    rows: u16,
    variables: Vec<(&'static str, &'static str)>,
}

/// A window in which something runs.
pub struct Terminal {
    seen: Arc<Watch>,
    columns: u16,
    master: Option<Box<dyn MasterPty + Send>>,
    writer: Option<Box<dyn Write + Send>>,
    reader: Option<JoinHandle<()>>,
    close: Arc<AtomicBool>,
    pid: u32,
    /// Where the program's own id is, if a shell stands before it.
    pid_file: Option<PathBuf>,
    /// The row of the cursor when something was typed last.
    typed_at: Option<u16>,
}

/// What came out so far.
struct Seen {
    raw: Vec<u8>,
    screen: vt100::Parser,
    /// The same on a window so high that nothing scrolls away.
    roll: vt100::Parser,
    ended: Option<ExitStatus>,
    closed: bool,
}

struct Watch {
    seen: Mutex<Seen>,
    news: Condvar,
}

/// A prompt that waits for an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Prompt {
    pub word: String,
    pub default: Option<String>,
}

impl<'a> Window<'a> {
    pub const fn new(shop: &'a Shop, columns: u16, rows: u16) -> Self {
        Self { shop, columns, rows, variables: vec![] }
    }

    pub fn with(mut self, name: &'static str, value: &'static str) -> Self {
        self.variables.push((name, value));
        self
    }

    /// Runs the program.
    pub fn run(&self, arguments: &[&str]) -> Terminal {
        let mut command = CommandBuilder::new(PROGRAM);
        command.args(arguments);
        self.spawn(command, None)
    }

    /// Runs a shell script in which `cornerset` is the program under test.
    pub fn shell(&self, script: &str) -> Terminal {
        let pid_file = self.shop.path().join("pid");
        let _ = std::fs::remove_file(&pid_file);
        let script = format!("cornerset() {{ sh -c 'echo $$ > pid; exec \"$PROGRAM\" \"$@\"' sh \"$@\"; }}\n{script}");
        let mut command = CommandBuilder::new("/bin/sh");
        command.args(["-c", &script]);
        self.spawn(command, Some(pid_file))
    }

    /// Runs the program, then says how it ended and how it left the terminal.
    pub fn run_then_look_at_modes(&self, arguments: &str) -> Terminal {
        // Ctrl-C reaches the shell too where the terminal makes a signal of it.
        self.shell(&format!("trap : INT; cornerset {arguments}; echo \"status $?\"; stty -a; echo \"the end\""))
    }

    fn spawn(&self, mut command: CommandBuilder, pid_file: Option<PathBuf>) -> Terminal {
        command.env_clear();
        for (name, value) in [("TERM", "xterm-256color"), ("LANG", "C.UTF-8"), ("TZ", "UTC"), ("PROGRAM", PROGRAM)] {
            command.env(name, value);
        }
        command.env("HOME", self.shop.path());
        command.env("CORNERSET_STORE", self.shop.store());
        if pid_file.is_some() {
            command.env("PATH", std::env::var_os("PATH").unwrap_or_else(|| "/usr/bin:/bin".into()));
        }
        for (name, value) in &self.variables {
            command.env(name, value);
        }
        command.cwd(self.shop.path());

        let pair = native_pty_system().openpty(size(self.columns, self.rows)).expect("a pseudo-terminal");
        let mut child = pair.slave.spawn_command(command).expect("the program starts");
        drop(pair.slave);
        let pid = child.process_id().expect("a process id");
        let mut output = pair.master.try_clone_reader().expect("the terminal's output");
        let writer = pair.master.take_writer().expect("the terminal's input");

        let seen = Arc::new(Watch {
            seen: Mutex::new(Seen {
                raw: vec![],
                screen: parser(self.columns, self.rows),
                roll: parser(self.columns, ROLL_ROWS),
                ended: None,
                closed: false,
            }),
            news: Condvar::new(),
        });
        let close = Arc::new(AtomicBool::new(false));
        let reader = {
            let (seen, close) = (Arc::clone(&seen), Arc::clone(&close));
            thread::spawn(move || {
                let mut buffer = [0; 4096];
                loop {
                    let read = output.read(&mut buffer).unwrap_or(0);
                    let mut now = seen.lock();
                    now.raw.extend_from_slice(&buffer[..read]);
                    now.screen.process(&buffer[..read]);
                    now.roll.process(&buffer[..read]);
                    now.closed = read == 0;
                    seen.news.notify_all();
                    if now.closed || close.load(Ordering::SeqCst) {
                        break;
                    }
                }
            })
        };
        {
            let seen = Arc::clone(&seen);
            thread::spawn(move || {
                let ended = child.wait().expect("the program ends");
                seen.lock().ended = Some(ended);
                seen.news.notify_all();
            });
        }
        Terminal {
            seen,
            columns: self.columns,
            master: Some(pair.master),
            writer: Some(writer),
            reader: Some(reader),
            close,
            pid,
            pid_file,
            typed_at: None,
        }
    }
}

impl Terminal {
    /// Waits for the next prompt, whatever it asks.
    #[track_caller]
    pub fn prompt(&mut self) -> Prompt {
        let mut found = None;
        self.wait("a prompt", |this, seen| {
            let row = cursor_row(seen);
            // The program takes the terminal's line editing away when it is ready for keys.
            if this.typed_at.is_none_or(|typed_at| row > typed_at) && this.is_raw() {
                found = prompt_in(&line(seen, row, this.columns));
            }
            found.is_some()
        });
        found.expect("waited for")
    }

    /// Waits for this prompt: its default.
    #[track_caller]
    pub fn at(&mut self, word: &str) -> Option<String> {
        let prompt = self.prompt();
        assert_eq!(prompt.word, word, "another question came\n{}", self.everything());
        prompt.default
    }

    /// Waits for this prompt and answers it.
    #[track_caller]
    pub fn answer(&mut self, word: &str, text: &str) {
        self.at(word);
        self.type_line(text);
    }

    /// Types a line and Enter.
    pub fn type_line(&mut self, text: &str) {
        self.keys(&format!("{text}{ENTER}"));
    }

    /// Types keys as a terminal sends them.
    pub fn keys(&mut self, keys: &str) {
        self.bytes(keys.as_bytes());
    }

    /// Types bytes, whether they are whole characters or not.
    pub fn bytes(&mut self, bytes: &[u8]) {
        self.typed_at = Some(cursor_row(&self.seen.lock()));
        let writer = self.writer.as_mut().expect("an open window");
        writer.write_all(bytes).and_then(|()| writer.flush()).expect("keys arrive");
    }

    /// Waits for a text that comes after what was typed last.
    #[track_caller]
    pub fn wait_for(&mut self, text: &str) {
        self.wait(text, |this, seen| said(seen, this.typed_at.unwrap_or(0), this.columns).contains(text));
    }

    /// Waits until the window shows a text, wherever it stands.
    #[track_caller]
    pub fn wait_for_in_window(&self, text: &str) {
        self.wait(text, |_, seen| seen.screen.screen().contents().contains(text));
    }

    /// Waits until something is so that this window does not show.
    #[track_caller]
    pub fn wait_until(&self, what: &str, is_so: impl Fn() -> bool) {
        self.wait(what, |_, _| is_so());
    }

    /// Waits until the terminal was sent so many bytes.
    #[track_caller]
    pub fn wait_for_bytes(&self, count: usize) {
        self.wait("more bytes", |_, seen| seen.raw.len() >= count);
    }

    /// The window as it stands, an end of line after each row, nothing after the last.
    pub fn screen(&self) -> String {
        tidy(&self.seen.lock().screen.screen().contents())
    }

    /// Everything that was shown, with what scrolled away.
    pub fn everything(&self) -> String {
        tidy(&said(&self.seen.lock(), 0, self.columns))
    }

    /// Everything that came after what was typed last.
    pub fn since_typed(&self) -> String {
        tidy(&said(&self.seen.lock(), self.typed_at.unwrap_or(0), self.columns))
    }

    /// The bytes that the terminal was sent.
    pub fn raw(&self) -> Vec<u8> {
        self.seen.lock().raw.clone()
    }

    /// Everything that was shown, each line as long as it was written: a window too wide to wrap anything.
    pub fn unwrapped(&self) -> Vec<String> {
        const VERY_WIDE: u16 = 400;
        let mut wide = parser(VERY_WIDE, ROLL_ROWS);
        wide.process(&self.raw());
        tidy(&wide.screen().contents()).lines().map(str::to_owned).collect()
    }

    pub fn cursor_is_hidden(&self) -> bool {
        self.seen.lock().screen.screen().hide_cursor()
    }

    /// Changes the size of the window.
    pub fn resize(&mut self, columns: u16, rows: u16) {
        self.master.as_ref().expect("an open window").resize(size(columns, rows)).expect("a window of another size");
        let mut seen = self.seen.lock();
        seen.screen.screen_mut().set_size(some(rows), some(columns));
        seen.roll.screen_mut().set_size(some(ROLL_ROWS), some(columns));
        self.columns = columns;
    }

    /// Sends a signal to the program once it waits for a key.
    pub fn signal(&mut self, name: &str) {
        let pid = self.program();
        self.wait("the program to wait for a key", |this, _| this.is_raw() && sleeps(&pid));
        send(name, &pid);
    }

    /// Sends a signal to the program, whatever it does just now.
    pub fn signal_now(&mut self, name: &str) {
        send(name, &self.program());
    }

    /// Sends a signal to the program once it is stopped.
    pub fn signal_stopped(&mut self, name: &str) {
        let pid = self.program();
        self.wait("the program to be stopped", |_, _| is_in_state(&pid, 'T'));
        send(name, &pid);
    }

    /// Sends a signal to the program while it waits for a line that nobody is to see.
    pub fn signal_secret(&mut self, name: &str, prompt: &str) {
        self.at_secret(prompt);
        send(name, &self.program());
    }

    /// Ends the program as a power cut would, whatever it does just now.
    pub fn kill(&mut self) {
        send("KILL", &self.program());
        self.wait("the end after a kill", |_, seen| seen.ended.is_some());
    }

    /// Waits for the end: the exit status.
    #[track_caller]
    pub fn exit(&mut self) -> u32 {
        self.wait("the end", |_, seen| seen.ended.is_some() && seen.closed);
        self.status().exit_code()
    }

    /// Closes the window while the program waits for an answer, and waits for its end.
    ///
    /// A key is typed first, since only output wakes whoever holds the window open.
    pub fn hang_up(mut self) -> ExitStatus {
        self.prompt();
        self.close.store(true, Ordering::SeqCst);
        self.keys(" ");
        self.reader.take().expect("an open window").join().expect("the window is let go");
        drop(self.master.take());
        drop(self.writer.take());
        self.wait("the end after the window is closed", |_, seen| seen.ended.is_some());
        self.status()
    }

    fn status(&self) -> ExitStatus {
        self.seen.lock().ended.clone().expect("the end was waited for")
    }

    /// The program's own id, past the shell before it.
    fn program(&self) -> String {
        match &self.pid_file {
            None => self.pid.to_string(),
            Some(file) => std::fs::read_to_string(file).expect("the program was started").trim().to_owned(),
        }
    }

    fn is_raw(&self) -> bool {
        self.modes().is_some_and(|flags| flags & ICANON == 0)
    }

    fn modes(&self) -> Option<u64> {
        let modes = self.master.as_ref().and_then(|master| master.get_termios());
        modes.map(|modes| {
            #[allow(clippy::useless_conversion, reason = "the width of the flags differs between systems")]
            let flags = u64::from(modes.local_flags.bits());
            flags
        })
    }

    /// Waits for a line that nobody is to see: the terminal edits it and does not show it.
    #[track_caller]
    pub fn at_secret(&mut self, prompt: &str) {
        self.wait("a secret line", |this, seen| {
            let row = cursor_row(seen);
            let is_new = this.typed_at.is_none_or(|typed_at| row > typed_at);
            let asked = line(seen, row, this.columns);
            is_new
                && asked.contains(prompt)
                && this.modes().is_some_and(|flags| flags & ECHO == 0 && flags & ICANON != 0)
        });
    }

    /// Waits until the terminal takes a line that nobody is to see, whatever stands in it.
    #[track_caller]
    pub fn wait_for_secret(&mut self) {
        let pid = self.program();
        self.wait("a secret line", |this, _| {
            this.modes().is_some_and(|flags| flags & ECHO == 0 && flags & ICANON != 0) && sleeps(&pid)
        });
    }

    /// Looks again whenever something came, until `ready` says so.
    #[track_caller]
    fn wait(&self, what: &str, mut ready: impl FnMut(&Self, &Seen) -> bool) {
        let deadline = Instant::now() + PATIENCE;
        let mut seen = self.seen.lock();
        while !ready(self, &seen) {
            if Instant::now() >= deadline {
                let (ended, shown) = (seen.ended.clone(), said(&seen, 0, self.columns));
                drop(seen);
                panic!("waited in vain for {what}; ended: {ended:?}; shown:\n{}", tidy(&shown));
            }
            seen = self.seen.news.wait_timeout(seen, GLANCE).expect("a sound lock").0;
        }
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        if self.seen.lock().ended.is_none() {
            // The program leads its own group, a shell before it included.
            send("KILL", &format!("-{}", self.pid));
        }
    }
}

impl Watch {
    fn lock(&self) -> MutexGuard<'_, Seen> {
        self.seen.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
    }
}

fn send(signal: &str, pid: &str) {
    // The shell's own `kill`: a group's id begins with a dash.
    let _ = Command::new("/bin/sh")
        .args(["-c", "kill -s \"$1\" -- \"$2\"", "sh", signal, pid])
        .stdin(Stdio::null())
        .stderr(Stdio::null())
        .status();
}

/// Whether a process sleeps; taken for granted where the system does not say.
fn sleeps(pid: &str) -> bool {
    is_in_state(pid, 'S')
}

/// Whether a process is in a state, as the system writes it; taken for granted where the system does not say.
fn is_in_state(pid: &str, state: char) -> bool {
    std::fs::read_to_string(format!("/proc/{pid}/stat"))
        .map_or(true, |stat| stat.rsplit(')').next().is_some_and(|rest| rest.trim_start().starts_with(state)))
}

fn cursor_row(seen: &Seen) -> u16 {
    seen.roll.screen().cursor_position().0
}

fn line(seen: &Seen, row: u16, columns: u16) -> String {
    seen.roll.screen().contents_between(row, 0, row, columns)
}

/// What stands from a row to the cursor.
fn said(seen: &Seen, from: u16, columns: u16) -> String {
    seen.roll.screen().contents_between(from, 0, cursor_row(seen), columns)
}

/// `word:` or `word [default]:` with nothing typed yet.
fn prompt_in(line: &str) -> Option<Prompt> {
    let asked = line.trim_end().strip_suffix(':')?;
    let (word, default) = match asked.split_once(" [") {
        Some((word, default)) => (word, Some(default.strip_suffix(']')?.to_owned())),
        None => (asked, None),
    };
    let is_word =
        !word.is_empty() && word.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || "-_ ".contains(c));
    is_word.then(|| Prompt { word: word.to_owned(), default })
}

/// Without blanks at the ends of lines and empty lines at the end.
fn tidy(text: &str) -> String {
    let lines: Vec<&str> = text.lines().map(str::trim_end).collect();
    lines.join("\n").trim_end().to_owned()
}

const fn size(columns: u16, rows: u16) -> PtySize {
    PtySize { rows, cols: columns, pixel_width: 0, pixel_height: 0 }
}

fn parser(columns: u16, rows: u16) -> vt100::Parser {
    vt100::Parser::new(some(rows), some(columns), 0)
}

fn some(length: u16) -> std::num::NonZeroU16 {
    std::num::NonZeroU16::new(length).expect("a window has rows and columns")
}
