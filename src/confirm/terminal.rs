//! The full-screen face: the loop between keyboard, job and screen.

use super::draw::draw;
use super::keep::{ConfirmError, Options, Outcome, keep, start};
use super::play::{Playing, play};
use super::screen::{Ask, Screen};
use crate::job::Job;
use ratatui::DefaultTerminal;
use ratatui::crossterm::event::{
    self, DisableBracketedPaste, EnableBracketedPaste, Event, KeyEventKind,
};
use ratatui::crossterm::execute;
use std::io;

/// Goes through the list on the full screen until the inspector quits. Every decision is kept in
/// the job before it shows; the terminal is put back also after an error or a panic.
///
/// # Errors
/// [`ConfirmError`] where the job cannot be read, or the terminal fails. A decision that cannot
/// be kept is told on the screen and ends nothing.
pub fn run_terminal(
    job: &mut Job,
    options: &Options,
    clock: &dyn Fn() -> String,
) -> Result<Outcome, ConfirmError> {
    let mut screen = Screen::new(start(job, options, clock)?);
    let failed = |doing| move |source| ConfirmError::Terminal { doing, source };
    let mut terminal = ratatui::try_init().map_err(failed("take over the terminal"))?;
    // Where pasting in one piece is not known, pasted text arrives as single keys.
    let _ = execute!(io::stdout(), EnableBracketedPaste);
    let ended = serve(&mut terminal, &mut screen, job, options, clock);
    let _ = execute!(io::stdout(), DisableBracketedPaste);
    let restored = ratatui::try_restore().map_err(failed("give back the terminal"));
    ended.map_err(failed("read the keyboard or draw the screen"))?;
    restored?;
    Ok(Outcome {
        progress: screen.session.progress(),
        lessons: screen.session.list().taught.len(),
        refused: 0,
    })
}

fn serve(
    terminal: &mut DefaultTerminal,
    screen: &mut Screen,
    job: &mut Job,
    options: &Options,
    clock: &dyn Fn() -> String,
) -> io::Result<()> {
    let mut playing: Option<Playing> = None;
    loop {
        let mut scroll = 0;
        terminal.draw(|frame| {
            let area = frame.area();
            scroll = draw(screen, options.colour, area, frame.buffer_mut());
        })?;
        screen.scroll = scroll;
        let ask = match event::read()? {
            Event::Key(key) if key.kind != KeyEventKind::Release => screen.key(key),
            Event::Paste(text) => {
                screen.paste(&text);
                Ask::Nothing
            }
            // A resize is drawn by the next round.
            _ => Ask::Nothing,
        };
        match ask {
            Ask::Nothing => {}
            Ask::Quit => return Ok(()),
            Ask::Play => {
                // A second press stops it.
                let going_on = playing.take().is_some_and(|mut playing| playing.goes_on());
                let told = match going_on {
                    true => Ok(("stopped".into(), None)),
                    false => play(job, &screen.session, options.player.as_ref()),
                };
                screen.tell(told.map(|told| {
                    playing = told.1;
                    told.0
                }));
            }
            Ask::Keep(change) => match keep(job, &mut screen.session, &change, &clock()) {
                Ok(told) => screen.kept(told),
                Err(error) => screen.failed(&error),
            },
        }
    }
}
