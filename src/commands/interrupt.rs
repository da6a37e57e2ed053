//! Stopping at a good moment when the user presses Ctrl-C.

use super::error::CliError;
use super::shared;
use std::process;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock};

/// Tells whether the user asked to stop.
#[derive(Debug, Clone, Default)]
pub(crate) struct Interrupt(Arc<AtomicBool>);

impl Interrupt {
    /// Returns the flag that Ctrl-C sets from now on, the same one each time; a second Ctrl-C ends the
    /// program at once.
    ///
    /// # Errors
    /// Where the system does not let the program listen for Ctrl-C.
    pub(crate) fn listen() -> Result<Self, CliError> {
        static LISTENING: OnceLock<Interrupt> = OnceLock::new();
        if let Some(listening) = LISTENING.get() {
            return Ok(listening.clone());
        }
        let interrupt = Interrupt::default();
        let flag = Arc::clone(&interrupt.0);
        ctrlc::set_handler(move || {
            if flag.swap(true, Ordering::SeqCst) {
                // Finished windows are on the disk, so ending here loses one window at most.
                process::exit(super::Exit::Interrupted as i32);
            }
            shared::say("stopping after the stretch in hand; Ctrl-C again stops at once");
        })
        .map_err(|e| CliError::input(format_args!("cannot listen for Ctrl-C: {e}")))?;
        Ok(LISTENING.get_or_init(|| interrupt).clone())
    }

    /// Returns true once the user asked to stop.
    pub(crate) fn is_set(&self) -> bool {
        self.0.load(Ordering::SeqCst)
    }
}
