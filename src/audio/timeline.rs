//! Keeps decoded sound at its true place in time: compares the time stamp of each packet with
//! the sound given out so far and says how much silence is missing.

/// A jump longer than this is taken for a damaged time stamp, not for a pause: recorders that
/// pause write no gap into a file, and ten minutes of invented silence would hide the damage.
const LONGEST_GAP_S: u64 = 600;

/// What to do before the next packet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Placement {
    /// The packet follows on.
    Follows,
    /// This many frames of silence come first.
    Gap(u64),
    /// The clock jumped by this many frames; it was set anew and the packet follows on.
    Jump(u64),
}

/// Time stamps of one track against frames given out.
pub(crate) struct Timeline {
    /// Ticks of the track's clock per second, as a fraction.
    ticks: (u32, u32),
    rate: u32,
    /// Deficits up to this many frames are left alone.
    tolerance: u64,
    /// Time stamp that belongs to frame 0.
    origin: Option<i64>,
    written: u64,
}

impl Timeline {
    /// Returns the timeline of a track whose clock ticks `numerator / denominator` of a second,
    /// for frames at `rate` Hz; deficits up to `tolerance_ms` are left alone.
    pub(crate) fn new(numerator: u32, denominator: u32, rate: u32, tolerance_ms: u32) -> Self {
        let tolerance = u64::from(rate) * u64::from(tolerance_ms) / 1000;
        Timeline { ticks: (numerator, denominator), rate, tolerance, origin: None, written: 0 }
    }

    /// Returns how many frames `ticks` of the clock are.
    pub(crate) fn frames(&self, ticks: u64) -> u64 {
        let (numerator, denominator) = self.ticks;
        let frames = u128::from(ticks) * u128::from(numerator) * u128::from(self.rate)
            / u128::from(denominator.max(1));
        u64::try_from(frames).unwrap_or(u64::MAX)
    }

    /// Says how the packet whose first frame has time stamp `start` is placed.
    pub(crate) fn place(&mut self, start: i64) -> Placement {
        let Some(origin) = self.origin else {
            self.origin = Some(start);
            return Placement::Follows;
        };
        let Ok(since) = u64::try_from(i128::from(start) - i128::from(origin)) else {
            return Placement::Follows;
        };
        let missing = self.frames(since).saturating_sub(self.written);
        if missing <= self.tolerance {
            Placement::Follows
        } else if missing > LONGEST_GAP_S * u64::from(self.rate) {
            // From now on the stamp belongs to the frame that comes next.
            self.origin = Some(start.saturating_sub(self.ticks_of(self.written)));
            Placement::Jump(missing)
        } else {
            Placement::Gap(missing)
        }
    }

    /// Counts frames given out, sound or silence.
    pub(crate) fn wrote(&mut self, frames: u64) {
        self.written += frames;
    }

    fn ticks_of(&self, frames: u64) -> i64 {
        let (numerator, denominator) = self.ticks;
        let per_tick = u128::from(numerator.max(1)) * u128::from(self.rate.max(1));
        i64::try_from(u128::from(frames) * u128::from(denominator) / per_tick).unwrap_or(i64::MAX)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn packets_are_placed_by_their_time_stamps() {
        // Clock in milliseconds, sound at 16 kHz, packets of 20 ms, tolerance 5 ms.
        let mut timeline = Timeline::new(1, 1000, 16_000, 5);
        let cases = [
            (5_000, Placement::Follows, "a stream may start at any time"),
            (5_020, Placement::Follows, "follows on"),
            (5_043, Placement::Follows, "3 ms late is jitter"),
            (5_160, Placement::Gap(1600), "100 ms missing"),
            (5_100, Placement::Follows, "going back changes nothing"),
            (9_000_000, Placement::Jump(143_916_800), "two and a half hours are damage"),
            (9_000_020, Placement::Follows, "and the clock goes on from there"),
        ];
        for (stamp, want, why) in cases {
            let got = timeline.place(stamp);
            assert_eq!(got, want, "{why}");
            if let Placement::Gap(frames) = got {
                timeline.wrote(frames);
            }
            timeline.wrote(320);
        }
    }
}
