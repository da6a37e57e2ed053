//! Opening the job, taking a port, and answering until interrupted.

use super::entry::new_secret;
use super::error::DeskError;
use super::peaks::Outlines;
use super::routes::router;
use super::seat::Seat;
use super::sound::Sounds;
use crate::confirm::{Around, Describe};
use crate::job::Job;
use crate::lexicon::Lexicon;
use crate::limits::Yardstick;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::Duration;
use tokio::sync::{Semaphore, watch};

/// How often the job is asked whether another program has decided: soon enough to seem at once, and a
/// question costs microseconds.
const LOOK_EVERY: Duration = Duration::from_millis(200);

/// What the page needs beside the job.
#[derive(Debug, Clone)]
pub struct Options {
    /// Port of 127.0.0.1; 0 for any free one.
    pub port: u16,
    /// Writes an item's sentence when its facts change.
    pub describe: Describe,
    /// Tells the time, as RFC 3339.
    pub clock: fn() -> String,
    /// The vocabulary, for completing what is typed and for what follows from it.
    pub lexicon: Option<Arc<Lexicon>>,
    /// Published limits that measurements are held against.
    pub yardstick: Option<Arc<Yardstick>>,
}

/// Words that [`warm`] has understood: some sentences, which is enough to make an item of.
const FIRST_WORDS: usize = 60;

/// What all answers share.
#[derive(Debug)]
pub(crate) struct Shared {
    pub(crate) dir: PathBuf,
    /// The one `Host` that is answered, `127.0.0.1:PORT`.
    pub(crate) host: String,
    pub(crate) secret: String,
    pub(crate) cookie: String,
    pub(crate) cookie_name: String,
    pub(crate) clock: fn() -> String,
    seat: Mutex<Seat>,
    /// The id of the last event in the job, whoever wrote it.
    pub(crate) latest: watch::Sender<i64>,
    pub(crate) outlines: Outlines,
    pub(crate) sounds: Sounds,
    /// One picture at a time is made smaller: a large one takes a hundred megabytes meanwhile.
    pub(crate) pictures: Semaphore,
}

impl Shared {
    /// Takes the seat; waits while another request has it.
    pub(crate) fn seat(&self) -> MutexGuard<'_, Seat> {
        // A panic while deciding leaves nothing half done: the job is written in one step.
        self.seat.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A page ready to be served.
#[derive(Debug)]
pub struct Desk {
    shared: Arc<Shared>,
    listener: std::net::TcpListener,
}

/// Opens the job and takes the port.
///
/// # Errors
/// [`DeskError`] where the job cannot be opened or the port is taken.
pub fn open(job: &Path, options: Options) -> Result<Desk, DeskError> {
    let around = Around {
        lexicon: options.lexicon,
        yardstick: options.yardstick,
        ..Around::default()
    };
    let seat = Seat::take(Job::open(job)?, options.describe, &around)?;
    let port = options.port;
    let listen = || {
        let listener = std::net::TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
        listener.set_nonblocking(true)?;
        let address = listener.local_addr()?;
        Ok((listener, address))
    };
    let (listener, address): (_, SocketAddr) =
        listen().map_err(|source| DeskError::Port { port, source })?;
    let around = Arc::clone(seat.session.around());
    let (latest, _) = watch::channel(seat.session.last_event());
    let shared = Arc::new(Shared {
        dir: job.into(),
        host: address.to_string(),
        secret: new_secret()?,
        cookie: new_secret()?,
        cookie_name: format!("callover-{}", address.port()),
        clock: options.clock,
        outlines: Outlines::default(),
        sounds: Sounds::of(&seat.job)?,
        seat: Mutex::new(seat),
        latest,
        pictures: Semaphore::new(1),
    });
    let background = Arc::clone(&shared);
    thread::spawn(move || {
        warm(&around, options.describe);
        super::sound::prepare(&background);
    });
    let background = Arc::clone(&shared);
    thread::spawn(move || watch_job(&background));
    Ok(Desk { shared, listener })
}

impl Desk {
    /// Returns the address to open, with the secret behind its `#`.
    pub fn address(&self) -> String {
        format!("http://{}/#{}", self.shared.host, self.shared.secret)
    }

    /// Answers until the program ends.
    ///
    /// # Errors
    /// Where the system takes the port away.
    pub fn serve(self) -> Result<(), DeskError> {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .map_err(DeskError::Stopped)?;
        runtime
            .block_on(async move {
                let listener = tokio::net::TcpListener::from_std(self.listener)?;
                axum::serve(listener, router(self.shared)).await
            })
            .map_err(DeskError::Stopped)
    }
}

/// Has the vocabulary's tables made, so that the first change does not wait for them.
fn warm(around: &Around, describe: Describe) {
    let some = around.words.get(..FIRST_WORDS).unwrap_or(&around.words);
    if let Some(item) = around.understood(some) {
        around.caution_instead(&item);
        describe(&item);
    }
}

/// Tells waiting pages about events that other programs write. While another program holds the file
/// for itself the question fails, and is asked again.
fn watch_job(shared: &Shared) {
    let Ok(job) = Job::open_to_read(&shared.dir) else {
        return;
    };
    loop {
        thread::sleep(LOOK_EVERY);
        if let Ok(last) = job.last_event() {
            shared.latest.send_if_modified(|known| {
                let newer = last > *known;
                *known = last.max(*known);
                newer
            });
        }
    }
}
