//! The full-screen face in a real terminal: tmux holds one, presses keys and tells what is shown.

use crate::sandbox::Sandbox;
use std::process::{Command, Output};
use std::thread::sleep;
use std::time::{Duration, Instant};

/// Words that leave no doubt, and a sentence that makes no item.
const WALK: &str = "\
[0:02] Hallway. The skirting board is loose.
[0:09] Bathroom. Two of the wall tiles are cracked and the basin waste is leaking.
[0:16] The blind could do with another look, it is a shame.
";

/// How long the screen may take to show something before a test gives up. A figure for hanging
/// programs, not for slow ones.
const PATIENCE: Duration = Duration::from_secs(60);

/// A terminal with the program in it; gone at the end of a test.
struct Terminal<'a> {
    sandbox: &'a Sandbox,
    socket: String,
}

impl<'a> Terminal<'a> {
    /// Starts `callover confirm` in a terminal of this size; `None` where there is no tmux.
    fn start(sandbox: &'a Sandbox, name: &str, size: (u16, u16), settings: &str) -> Option<Self> {
        if Command::new("tmux").arg("-V").output().is_err() {
            return crate::not_run::not_run("tmux");
        }
        let socket = sandbox.path(name).to_str().unwrap().to_owned();
        let terminal = Terminal { sandbox, socket };
        let program = env!("CARGO_BIN_EXE_callover");
        // The terminal stays after the program ends, so that its last words can be read.
        let command = format!(
            "env -u NO_COLOR HOME=/nowhere PATH=/nowhere {settings} '{program}' confirm walk.job; \
             echo ended with $?; sleep 600"
        );
        let (width, height) = (size.0.to_string(), size.1.to_string());
        let started = terminal.tmux(&[
            "-f",
            "/dev/null",
            "new-session",
            "-d",
            "-x",
            &width,
            "-y",
            &height,
            &command,
        ]);
        assert!(started.status.success(), "{started:?}");
        Some(terminal)
    }

    fn tmux(&self, arguments: &[&str]) -> Output {
        Command::new("tmux")
            .arg("-u")
            .args(["-S", &self.socket])
            .args(arguments)
            .current_dir(self.sandbox.path(""))
            .env("TERM", "xterm-256color")
            .env("LC_ALL", "C.UTF-8")
            .output()
            .unwrap()
    }

    /// Presses keys by their tmux names.
    fn press(&self, keys: &[&str]) {
        for key in keys {
            let pressed = self.tmux(&["send-keys", key]);
            assert!(pressed.status.success(), "{pressed:?}");
        }
    }

    fn shown(&self, escapes: bool) -> String {
        let how = if escapes { "-pe" } else { "-p" };
        let output = self.tmux(&["capture-pane", how]);
        String::from_utf8(output.stdout).unwrap()
    }

    /// Waits until the screen shows `text`, and returns the screen.
    #[track_caller]
    fn wait_for(&self, text: &str) -> String {
        let begun = Instant::now();
        loop {
            let shown = self.shown(false);
            if shown.contains(text) {
                return shown;
            }
            assert!(
                begun.elapsed() < PATIENCE,
                "`{text}` was never shown:\n{shown}"
            );
            sleep(Duration::from_millis(20));
        }
    }
}

impl Drop for Terminal<'_> {
    fn drop(&mut self) {
        self.tmux(&["kill-server"]);
    }
}

fn taken() -> Sandbox {
    let sandbox = Sandbox::new();
    sandbox.write("walk.txt", WALK);
    sandbox
        .run(&["take", "walk.txt", "--quiet", "--title", "Plot three"])
        .fine();
    sandbox
}

#[test]
fn a_pass_in_a_real_terminal() {
    let sandbox = taken();
    let Some(terminal) = Terminal::start(&sandbox, "pass", (80, 24), "") else {
        return;
    };
    let shown = terminal.wait_for("Item 1 of 3");
    assert!(
        shown.contains("│"),
        "list and card stand side by side:\n{shown}"
    );
    terminal.press(&["Space"]);
    terminal.wait_for("no player is installed");
    // Accept, change a field by what is offered, undo, redo.
    terminal.press(&["a"]);
    terminal.wait_for("item 1 confirmed");
    terminal.press(&["e", "b", "a", "Tab", "Enter"]);
    let shown = terminal.wait_for("item 2: the element is now");
    assert!(shown.contains("the element is now ba"), "{shown}");
    terminal.press(&["u"]);
    terminal.wait_for("undone: item 2");
    terminal.press(&["x", "3"]);
    terminal.wait_for("item 2 rejected: said twice");
    // A larger and a smaller terminal are drawn anew, without a key.
    terminal.tmux(&["resize-window", "-x", "120", "-y", "40"]);
    terminal.wait_for("Item 3 of 3");
    terminal.tmux(&["resize-window", "-x", "50", "-y", "14"]);
    let begun = Instant::now();
    while terminal.shown(false).contains('│') && begun.elapsed() < PATIENCE {
        sleep(Duration::from_millis(20));
    }
    let shown = terminal.wait_for("Item 3 of 3");
    assert!(!shown.contains('│'), "the card alone:\n{shown}");
    terminal.press(&["q"]);
    terminal.wait_for("ended with 0");
    let list = sandbox.run(&["confirm", "walk.job", "--plain"]).fine();
    assert!(
        list.stdout
            .contains("1 of 3 confirmed, 1 rejected, 1 to go"),
        "{}",
        list.stdout
    );
}

#[test]
fn without_colours_none_reach_the_terminal() {
    let sandbox = taken();
    for (name, settings, coloured) in [("none", "NO_COLOR=1", false), ("some", "", true)] {
        let Some(terminal) = Terminal::start(&sandbox, name, (100, 30), settings) else {
            return;
        };
        terminal.wait_for("Item 1 of 3");
        let shown = terminal.shown(true);
        // Foreground colours are 30 to 37, 90 to 97 or 38 (ECMA-48, SGR).
        let colours = shown
            .split("\u{1b}[")
            .skip(1)
            .filter_map(|rest| rest.split_once('m'));
        let is_colour = |code: &str| matches!(code.parse::<u8>(), Ok(30..=38 | 90..=97));
        let some = colours
            .into_iter()
            .any(|(codes, _)| codes.split(';').any(is_colour));
        assert_eq!(some, coloured, "{name}");
    }
}

#[test]
fn a_statement_that_made_no_item_is_promoted() {
    let sandbox = taken();
    let Some(terminal) = Terminal::start(&sandbox, "statement", (80, 24), "") else {
        return;
    };
    terminal.wait_for("Item 1 of 3");
    terminal.press(&["i"]);
    terminal.wait_for("Said, but in no item");
    terminal.press(&["Enter"]);
    terminal.wait_for("new item, element");
    terminal.press(&["b", "l", "i", "n", "d", "Enter"]);
    terminal.wait_for("new item, defect");
    terminal.press(&["l", "o", "o", "s", "e", "Enter"]);
    terminal.wait_for("item 4 added and confirmed");
    terminal.press(&["i"]);
    terminal.wait_for("every statement is in an item");
    terminal.press(&["q"]);
    terminal.wait_for("ended with 0");
}
