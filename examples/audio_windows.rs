//! Shows what the recogniser would be given of a recording, and how long finding it took:
//! `cargo run --release --example audio_windows -- [--spans] FILE...`; `--spans` also prints start and
//! end of every stretch of speech in seconds, for comparing detectors.

#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "an example shows its results"
)]

use callover::audio::{WindowSettings, windows};
use std::ops::ControlFlow;
use std::path::Path;
use std::time::Instant;

fn main() {
    let spans = std::env::args().any(|a| a == "--spans");
    for file in std::env::args().skip(1).filter(|a| a != "--spans") {
        let begin = Instant::now();
        let mut packed = 0.0;
        let on_window = |window: callover::audio::Window| {
            packed += window.samples.len() as f64 / 16_000.0;
            ControlFlow::Continue(())
        };
        match windows(
            Path::new(&file),
            WindowSettings::default(),
            on_window,
            |_| {},
        ) {
            Ok(summary) => {
                let length = summary.duration.seconds();
                let (took, speech) = (begin.elapsed().as_secs_f64(), summary.speech_seconds());
                println!(
                    "{file}: {length:.1} s, speech {speech:.1} s ({:.0} %) in {} stretches, \
                     {} windows of {packed:.1} s; took {took:.2} s, {:.4} of real time",
                    100.0 * speech / length,
                    summary.speech.len(),
                    summary.windows,
                    took / length,
                );
                for span in summary.speech.iter().filter(|_| spans) {
                    println!("  {:.3} {:.3}", span.start.seconds(), span.end.seconds());
                }
                for warning in summary.warnings {
                    println!("  warning: {warning}");
                }
            }
            Err(error) => eprintln!("error: {error}"),
        }
    }
}
