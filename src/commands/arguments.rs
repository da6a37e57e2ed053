//! The command line as it is typed; no input or output happens here.

use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Turn a spoken walk-round of a newly built home into a confirmed, numbered defect list
///
/// Callover listens to the recording that an inspector made while walking through a home, proposes
/// one item for each defect named, lets the inspector confirm every item, and writes the list in
/// the forms that builders and buyers use. Everything happens on this machine; nothing is sent.
///
/// The tool proposes; the inspector decides. An unconfirmed list is marked as such.
#[derive(Debug, Parser)]
#[command(name = "callover", version, max_term_width = 100, after_help = EXIT_CODES)]
pub struct Arguments {
    /// What to do
    #[command(subcommand)]
    pub command: Command,
}

const EXIT_CODES: &str = "Exit codes:
  0    done
  1    something given could not be used; nothing was changed by that part
  2    the command line was not understood
  3    some of the files failed; what could be done was done
  130  interrupted; running the same command again goes on where it stopped";

/// The subcommands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Transcribe recordings, understand them and propose the list
    Take(Box<Take>),
    /// Go through the items: accept, edit, reject
    Confirm(Confirm),
    /// Go through the items in a page of the browser, with sound and photos
    Desk(Desk),
    /// Put photos to the items that were being spoken about when they were taken
    Photos(Photos),
    /// Listen to a later visit: what was put right, what was not, what is new
    Recheck(Recheck),
    /// Show or set what holds for the whole job: address, date, periods
    Details(Details),
    /// Write the list as documents: pages, spreadsheets, tasks, data
    Export(Export),
    /// Turn what you corrected into vocabulary, each lesson with its evidence
    Learn(Learn),
    /// Tell how right proposals are on your own confirmed jobs, with and without what was learnt
    Score(Score),
    /// Look into the vocabulary and check it
    Lexicon(LexiconArguments),
    /// Show versions, the model and what the processor offers, and run a self-test; or check a job
    Doctor(Doctor),
}

/// Arguments of `take`
#[derive(Debug, Args)]
pub struct Take {
    /// Recordings or transcripts of one walk-round, in the order they were made
    ///
    /// Recordings: WAV, M4A/MP4 (AAC-LC, ALAC), MP3, FLAC, Ogg Vorbis, Opus, AIFF, CAF.
    /// Transcripts: .vtt, .srt, .txt with or without `[m:ss]` stamps, and .json as --transcript-out
    /// writes it.
    #[arg(required_unless_present = "retake", value_name = "AUDIO")]
    pub files: Vec<PathBuf>,
    /// Read the stored words of this job with today's vocabulary and show what would change
    ///
    /// Nothing is recognised anew, and items that were decided on stay as they are.
    #[arg(long, value_name = "JOB", conflicts_with_all = ["files", "job", "out", "transcript_out"])]
    pub retake: Option<PathBuf>,
    /// Make the change that --retake shows
    #[arg(long, requires = "retake")]
    pub apply: bool,
    /// Keep the job in this folder
    ///
    /// By default the folder is named after the first file, with the ending .job, in the current
    /// folder. Taking the same files again changes nothing that was decided.
    #[arg(long, value_name = "DIR")]
    pub job: Option<PathBuf>,
    /// Also write the proposed list; the ending chooses the format, as for `export` (can be repeated)
    ///
    /// `-` is standard output, as JSON; `--out=-.csv`, `--out=-.md` and `--out=-.html` choose another
    /// format for it. The list is then not printed as text.
    #[arg(long, value_name = "FILE")]
    pub out: Vec<PathBuf>,
    /// Also write what was heard, as .vtt, .srt, .txt or .json (can be repeated)
    ///
    /// JSON holds all recordings of the job; of the others there is one file for each recording,
    /// numbered where there are several: walk-1.vtt, walk-2.vtt.
    #[arg(long, value_name = "FILE")]
    pub transcript_out: Vec<PathBuf>,
    /// Recognise speech with this ggml Whisper model instead of the built-in one
    #[arg(long, value_name = "FILE")]
    pub model: Option<PathBuf>,
    /// Add vocabulary from this TOML file (can be repeated)
    ///
    /// Files in the folder callover/lexicon of the user's configuration folder are always added.
    #[arg(long, value_name = "FILE")]
    pub lexicon: Vec<PathBuf>,
    /// Compare measurements with the published limits of these countries, such as england,us
    ///
    /// England where nothing is given; a nation's choice takes in the whole kingdom's rows. Words for
    /// rows that are otherwise off: superseded, memory, unattributed, warranty, or all; none compares
    /// with nothing. The job remembers the choice.
    #[arg(long, value_name = "COUNTRIES")]
    pub limits: Option<String>,
    /// Compare with the limits in this TOML file too: a contract's, or a warranty's
    ///
    /// The form is that of lexicon/limits.toml; the job remembers the limits.
    #[arg(long, value_name = "FILE")]
    pub limits_file: Option<PathBuf>,
    /// The places to be visited, one name a line; the report at the end tells which were not
    ///
    /// Names that the vocabulary does not know are understood as places. The job remembers them.
    #[arg(long, value_name = "FILE")]
    pub places: Option<PathBuf>,
    /// Print neither the proposed list nor what was not reached
    #[arg(long)]
    pub quiet: bool,
    /// What holds for the whole job; the title is by default the first file's name
    #[command(flatten)]
    pub details: DetailOptions,
}

/// Details of a job, as `take` and `details` set them
#[derive(Debug, Args)]
#[command(next_help_heading = "Details of the job (an empty text takes one out)")]
pub struct DetailOptions {
    /// What the list is about, such as the plot
    #[arg(long, value_name = "TEXT")]
    pub title: Option<String>,
    /// Where the home is
    #[arg(long, value_name = "TEXT")]
    pub address: Option<String>,
    /// The plot
    #[arg(long, value_name = "TEXT")]
    pub plot: Option<String>,
    /// For whom the list is made
    #[arg(long, value_name = "TEXT")]
    pub client: Option<String>,
    /// Who inspected
    #[arg(long, value_name = "TEXT")]
    pub inspector: Option<String>,
    /// The date of the first visit, as YYYY-MM-DD; by default the day the list was made
    #[arg(long, value_name = "DATE")]
    pub date: Option<String>,
    /// The weather on the visit
    #[arg(long, value_name = "TEXT")]
    pub weather: Option<String>,
    /// The stage of the work, such as before handover
    #[arg(long, value_name = "TEXT")]
    pub stage: Option<String>,
    /// Your own reference
    #[arg(long, value_name = "TEXT")]
    pub reference: Option<String>,
    /// The region whose limits and usual practice apply
    #[arg(long, value_name = "TEXT")]
    pub region: Option<String>,
    /// Until when items are to be put right, counted from the visit that found them (can be repeated)
    ///
    /// `30 days`, `10 working days` (Monday to Friday; holidays are not known), `2 weeks`, `1 month`;
    /// `safety=1 day` for one severity. No period is assumed.
    #[arg(long, value_name = "PERIOD")]
    pub within: Vec<String>,
    /// Until when the builder is to answer, counted from the first visit
    #[arg(long, value_name = "PERIOD")]
    pub respond_within: Option<String>,
}

/// Arguments of `recheck`
#[derive(Debug, Args)]
pub struct Recheck {
    /// The job's folder
    pub job: PathBuf,
    /// Recordings or transcripts of one later visit, in the order they were made
    ///
    /// Say items by number ("twelve done, thirteen still outstanding"), by place ("all the kitchen
    /// ones are done bar the worktop") or by name ("hallway, the newel post's been fixed"). What is
    /// on no list and named with a defect is proposed as new. Only confirmed items are looked for.
    #[arg(required = true, value_name = "AUDIO")]
    pub files: Vec<PathBuf>,
    /// The date of this visit, as YYYY-MM-DD; by default today
    ///
    /// Recordings of the same date belong to one visit. Giving files again changes nothing that was
    /// decided.
    #[arg(long, value_name = "DATE", value_parser = super::recheck::date)]
    pub date: Option<String>,
    /// Recognise speech with this ggml Whisper model instead of the built-in one
    #[arg(long, value_name = "FILE")]
    pub model: Option<PathBuf>,
    /// Add vocabulary from this TOML file (can be repeated)
    #[arg(long, value_name = "FILE")]
    pub lexicon: Vec<PathBuf>,
    /// Do not print what was found
    #[arg(long)]
    pub quiet: bool,
}

/// Arguments of `details`
#[derive(Debug, Args)]
pub struct Details {
    /// The job's folder; without any option its details are printed
    pub job: PathBuf,
    /// The details to set
    #[command(flatten)]
    pub options: DetailOptions,
}

/// Arguments of `confirm`
#[derive(Debug, Args)]
pub struct Confirm {
    /// The job's folder
    pub job: PathBuf,
    /// Accept all undecided items with at least this confidence, then go on with the rest
    #[arg(long, value_name = "CONFIDENCE", value_parser = confidence)]
    pub accept_above: Option<f64>,
    /// Ask line by line instead of drawing a screen; for screen readers and scripts
    ///
    /// This is also what happens where standard input or output is not a terminal.
    #[arg(long)]
    pub plain: bool,
}

/// Arguments of `desk`
#[derive(Debug, Args)]
pub struct Desk {
    /// The job's folder
    pub job: PathBuf,
    /// Listen on this port of 127.0.0.1; by default the system chooses a free one
    ///
    /// The page's address is printed. It holds a secret, so that only who has it can open the page;
    /// it is good until the command ends (Ctrl-C). Nothing beyond this machine can connect.
    #[arg(long, value_name = "N", default_value_t = 0, hide_default_value = true)]
    pub port: u16,
}

/// Arguments of `photos`
#[derive(Debug, Args)]
pub struct Photos {
    /// The job's folder
    pub job: PathBuf,
    /// Folder with photos (JPEG, PNG, WebP, HEIC), looked through with its subfolders; or one photo
    ///
    /// Each is copied into the job as it is. Documents embed a smaller picture, upright and without
    /// the data on where and with what it was taken. HEIC is kept and put to its item, but cannot be
    /// shown: save such photos as JPEG for documents.
    pub folder: PathBuf,
    /// How far the cameras' clock is ahead of the recorder's, such as +2:30, -45 or +1:00:00 for an
    /// hour
    ///
    /// Without it, and without --taken-at, the difference is found from the moments at which a photo
    /// was spoken of, or from the times that the files tell; where that is not clear, it is asked for.
    #[arg(long, value_name = "[+-][H:]M:SS", allow_hyphen_values = true, value_parser = difference,
          conflicts_with = "taken_at")]
    pub offset: Option<i64>,
    /// One photo and when in the recording it was taken, such as IMG_0012.jpg=12:35; its camera's
    /// clock is set by it
    ///
    /// Where the job has several recordings, the number of the recording stands before the time:
    /// IMG_0012.jpg=2/12:35.
    #[arg(long, value_name = "PHOTO=[N/][H:]M:SS", value_parser = taken_at)]
    pub taken_at: Option<TakenAt>,
}

/// A photo and the moment at which it was taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakenAt {
    /// The photo's file name.
    pub photo: String,
    /// Number of the recording; `None` where it was not given.
    pub recording: Option<u32>,
    /// Milliseconds since the start of the recording.
    pub at_ms: u64,
}

/// Arguments of `export`
#[derive(Debug, Args)]
pub struct Export {
    /// The job's folder
    pub job: PathBuf,
    /// Where to write; the ending chooses the format (can be repeated)
    ///
    /// .pdf, .html, .md: to read. .xlsx, .csv: for spreadsheets. .bcf: issues on a building. .ics: a task
    /// for each trade. .vtt, .srt: the items as subtitles of the recording, one file for each
    /// recording, numbered where there are several. .json: for other programs.
    ///
    /// `-` is standard output, as JSON; `--out=-.csv`, `--out=-.md` and `--out=-.html` choose another
    /// format for it.
    #[arg(long, value_name = "FILE", required = true, num_args = 1..)]
    pub out: Vec<PathBuf>,
    /// How the list is divided; a PDF by trade is a sheet to tick for each trade, without anything
    /// about the client but the plot
    #[arg(long, value_enum, default_value_t = By::Place)]
    pub by: By,
    /// Show rejected items in every format (JSON always has them, with their status)
    #[arg(long)]
    pub with_rejected: bool,
    /// Use the logo, colours, fonts, order of sections and texts of this TOML file for PDF
    ///
    /// docs/template.md tells what it may hold. Files that it names are looked for beside it.
    #[arg(long, value_name = "FILE")]
    pub template: Option<PathBuf>,
    /// Tell overdue items and open days for this date (YYYY-MM-DD, or `today`)
    ///
    /// By default the date of the last visit, so that the same job gives the same document on every
    /// day.
    #[arg(long, value_name = "DATE", value_parser = as_of)]
    pub as_of: Option<String>,
    /// Show only confirmed items that are neither put right nor closed by agreement
    #[arg(long, conflicts_with = "with_rejected")]
    pub outstanding: bool,
    /// Which version of BCF to write
    #[arg(long, value_enum, value_name = "VERSION", default_value_t = Bcf::V2_1)]
    pub bcf: Bcf,
    /// Put the words behind each item into the HTML page, to listen to
    ///
    /// A clip of up to 20 seconds for each item, as Opus: some 20 kB, told before the page is written.
    #[arg(long)]
    pub with_sound: bool,
}

/// A date, or `today`.
fn as_of(text: &str) -> Result<String, String> {
    match text {
        "today" => Ok(text.into()),
        date => super::recheck::date(date),
    }
}

/// A version of BCF.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Bcf {
    /// What most programs read
    #[value(name = "2.1")]
    V2_1,
    /// The newer one
    #[value(name = "3.0")]
    V3_0,
}

/// How a list is divided.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum By {
    /// In walking order
    Place,
    /// One part for each trade
    Trade,
    /// Most urgent first
    Severity,
}

/// Arguments of `learn`
#[derive(Debug, Args)]
pub struct Learn {
    /// Folders of confirmed jobs
    ///
    /// A lesson is tried on all of them: it passes where it mends an item and breaks none that was
    /// confirmed. The more jobs are given, the safer the lessons.
    #[arg(required_unless_present_any = ["undo", "read_aloud"], value_name = "JOB")]
    pub jobs: Vec<PathBuf>,
    /// Print a page to read aloud once, so that your voice is known before the first job; or, with
    /// FILE, learn from how it was heard
    ///
    /// FILE is a recording or a transcript of the page alone, or the job folder made of it: NAME.job in
    /// the current folder. That folder counts as a job of yours from then on.
    #[arg(long, value_name = "FILE", conflicts_with = "undo")]
    pub read_aloud: Option<Option<PathBuf>>,
    /// Fit the recogniser to your voice, by the recordings of these jobs and of the page read aloud; takes
    /// minutes
    ///
    /// What is learnt is kept where words that were left out of the learning became likelier, and where
    /// the last of several jobs, heard anew, gives no fewer of its confirmed items.
    #[arg(long, group = "insisted", conflicts_with_all = ["all", "refuse", "edit", "from", "undo"])]
    pub voice: bool,
    /// Accept the lessons of these numbers, such as 1,3
    #[arg(
        long,
        value_name = "NUMBERS",
        value_delimiter = ',',
        group = "insisted"
    )]
    pub accept: Vec<usize>,
    /// Accept all lessons that pass
    #[arg(long, conflicts_with = "accept")]
    pub all: bool,
    /// Do not offer the lessons of these numbers again
    #[arg(long, value_name = "NUMBERS", value_delimiter = ',')]
    pub refuse: Vec<usize>,
    /// Change a lesson before it is tried, such as "3 near=door, any defect" or "2 term=skirting board";
    /// may be given several times
    ///
    /// The keys are those of the entry that it becomes: heard, term, near; name, also; and so on. An
    /// empty text takes a key out. The number stays; add --accept to have it so.
    #[arg(long, value_name = "N KEY=TEXT", conflicts_with = "undo")]
    pub edit: Vec<String>,
    /// Accept the numbers given, or the voice, although they do not pass
    #[arg(long, requires = "insisted")]
    pub insist: bool,
    /// Take out the active lesson that has this text in it, or put a withdrawn one back
    #[arg(long, value_name = "TEXT", conflicts_with_all = ["jobs", "accept", "all", "refuse"])]
    pub undo: Option<String>,
    /// Consider the lessons of this overlay, such as a colleague's, in place of your own corrections
    ///
    /// Where it contradicts your own overlay, both are shown and yours stays.
    #[arg(long, value_name = "FILE")]
    pub from: Option<PathBuf>,
}

/// Arguments of `score`
#[derive(Debug, Args)]
pub struct Score {
    /// Folders of confirmed jobs, in the order they were made
    ///
    /// Each is proposed anew from its stored words: with the vocabulary as it comes, and with yours
    /// without what only this job taught. Nothing is changed.
    #[arg(required = true, value_name = "JOB")]
    pub jobs: Vec<PathBuf>,
    /// Print the figures as JSON
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `lexicon`
#[derive(Debug, Args)]
pub struct LexiconArguments {
    /// What to do with the vocabulary
    #[command(subcommand)]
    pub command: LexiconCommand,
}

/// What can be done with the vocabulary.
#[derive(Debug, Subcommand)]
pub enum LexiconCommand {
    /// Report every problem of the vocabulary at once, with file and line
    Check {
        /// Own vocabulary files to check together with the built-in vocabulary
        files: Vec<PathBuf>,
    },
    /// Show what words are found in a sentence, and as what
    Find {
        /// The sentence
        #[arg(required = true)]
        words: Vec<String>,
    },
    /// Tell when and why lessons were accepted, refused, undone or withdrawn
    History {
        /// Only lessons with these words in them
        words: Vec<String>,
    },
    /// Show an entry by its name or by any of its wordings
    Show {
        /// The name
        #[arg(required = true)]
        name: Vec<String>,
    },
}

/// Arguments of `doctor`
#[derive(Debug, Args)]
pub struct Doctor {
    /// A job's folder: check it in place of the program
    ///
    /// Checked are the job file, the decisions in it, and whether every recording and photo is there
    /// as it was taken. Nothing is changed without --repair.
    pub job: Option<PathBuf>,
    /// Mend what can be mended
    ///
    /// A damaged job file is saved row by row into a new one, with a list of what was lost; the
    /// damaged one is kept beside it. Recordings and photos that are missing are copied from where
    /// they were, or from the folder given with --recordings, wherever their content is the same.
    #[arg(long, requires = "job")]
    pub repair: bool,
    /// Look for missing recordings and photos in this folder and its subfolders
    #[arg(long, value_name = "DIR", requires = "repair")]
    pub recordings: Option<PathBuf>,
    /// Try this ggml Whisper model instead of the built-in one
    #[arg(long, value_name = "FILE", conflicts_with = "job")]
    pub model: Option<PathBuf>,
}

fn confidence(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(value) if (0.0..=1.0).contains(&value) => Ok(value),
        _ => Err("expected a number from 0 to 1, such as 0.95".into()),
    }
}

/// Returns the milliseconds of `1:02:03`, `2:03.5` or `123`.
fn clock_ms(text: &str) -> Option<u64> {
    let mut parts = text.rsplit(':');
    let seconds: f64 = parts.next().filter(|part| is_plain(part))?.parse().ok()?;
    let mut ms = (seconds * 1000.0).round() as u64;
    for (unit, part) in [60_000u64, 3_600_000].into_iter().zip(parts.by_ref()) {
        let whole: u64 = part.parse().ok()?;
        ms = ms.checked_add(whole.checked_mul(unit)?)?;
    }
    // Ten years: beyond that it is a slip of the finger.
    parts
        .next()
        .is_none()
        .then_some(ms)
        .filter(|&ms| ms < 10 * 366 * 86_400_000)
}

/// Digits and a point only: no signs, no exponents.
fn is_plain(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || c == '.')
}

fn difference(text: &str) -> Result<i64, String> {
    let (sign, rest) = match text.strip_prefix('-') {
        Some(rest) => (-1, rest),
        None => (1, text.strip_prefix('+').unwrap_or(text)),
    };
    clock_ms(rest)
        .and_then(|ms| i64::try_from(ms).ok())
        .map(|ms| sign * ms)
        .ok_or_else(|| "expected a time, such as +2:30, -45 or +1:00:00".into())
}

fn taken_at(text: &str) -> Result<TakenAt, String> {
    let parse = || {
        let (photo, moment) = text.rsplit_once('=')?;
        let (recording, at) = match moment.split_once('/') {
            Some((number, at)) => (Some(number.parse().ok()?), at),
            None => (None, moment),
        };
        let at_ms = clock_ms(at)?;
        let photo = photo.to_owned();
        (!photo.is_empty()).then_some(TakenAt {
            photo,
            recording,
            at_ms,
        })
    };
    parse().ok_or_else(|| {
        "expected a photo and a time in the recording, such as IMG_0012.jpg=12:35".into()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_consistent() {
        Arguments::command().debug_assert();
    }

    #[test]
    fn differences_of_clocks_are_read() {
        for (text, want) in [
            ("+2:30", Some(150_000)),
            ("-45", Some(-45_000)),
            ("1:00:00", Some(3_600_000)),
            ("-0:00.5", Some(-500)),
            ("+26:00:00", Some(93_600_000)),
            ("", None),
            ("+", None),
            ("2h", None),
            ("--5", None),
            ("1:2:3:4", None),
            ("1e3", None),
            ("nan", None),
        ] {
            assert_eq!(difference(text).ok(), want, "{text}");
        }
    }

    #[test]
    fn a_photo_and_its_moment_are_read() {
        let at = |photo: &str, recording, at_ms| {
            Some(TakenAt {
                photo: photo.into(),
                recording,
                at_ms,
            })
        };
        for (text, want) in [
            ("IMG_0012.jpg=12:35", at("IMG_0012.jpg", None, 755_000)),
            ("a=b.jpg=2/0:05", at("a=b.jpg", Some(2), 5_000)),
            ("IMG.jpg", None),
            ("=12:35", None),
            ("IMG.jpg=x/1:00", None),
            ("IMG.jpg=-1", None),
        ] {
            assert_eq!(taken_at(text).ok(), want, "{text}");
        }
    }
}
