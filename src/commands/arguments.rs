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
    Take(Take),
    /// Go through the items: accept, edit, reject
    Confirm(Confirm),
    /// Write the list as JSON, CSV, Markdown, HTML or PDF
    Export(Export),
    /// Look into the vocabulary and check it
    Lexicon(LexiconArguments),
    /// Show versions, the model and what the processor offers, and run a self-test
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
    #[arg(required = true, value_name = "AUDIO")]
    pub files: Vec<PathBuf>,
    /// Keep the job in this folder
    ///
    /// By default the folder is named after the first file, with the ending .job, in the current
    /// folder. Taking the same files again changes nothing that was decided.
    #[arg(long, value_name = "DIR")]
    pub job: Option<PathBuf>,
    /// Also write the proposed list; the ending (.json, .csv, .md, .html, .pdf) chooses the format
    /// (can be repeated)
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
    /// What the list is about, such as the plot; by default the first file's name
    #[arg(long, value_name = "TEXT")]
    pub title: Option<String>,
    /// Recognise speech with this ggml Whisper model instead of the built-in one
    #[arg(long, value_name = "FILE")]
    pub model: Option<PathBuf>,
    /// Add vocabulary from this TOML file (can be repeated)
    ///
    /// Files in the folder callover/lexicon of the user's configuration folder are always added.
    #[arg(long, value_name = "FILE")]
    pub lexicon: Vec<PathBuf>,
    /// Do not print the proposed list
    #[arg(long)]
    pub quiet: bool,
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

/// Arguments of `export`
#[derive(Debug, Args)]
pub struct Export {
    /// The job's folder
    pub job: PathBuf,
    /// Where to write; the ending (.json, .csv, .md, .html, .pdf) chooses the format (can be repeated)
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
    /// Try this ggml Whisper model instead of the built-in one
    #[arg(long, value_name = "FILE")]
    pub model: Option<PathBuf>,
}

fn confidence(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(value) if (0.0..=1.0).contains(&value) => Ok(value),
        _ => Err("expected a number from 0 to 1, such as 0.95".into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_consistent() {
        Arguments::command().debug_assert();
    }
}
