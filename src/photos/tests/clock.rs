//! Photos placed in recordings, by whatever is known of the clocks.

use crate::job::Moment;
use crate::photos::{ByHand, Clock, Shot, Started, Taken, Tape, place};
use crate::time::Millis;
use std::fmt::Write;

/// 2 March 2026, 10:00 UTC, in milliseconds since 1970.
const TEN: i64 = 1_772_445_600_000;

fn tape(recording: u32, minutes: u64, started: Option<Started>) -> Tape {
    Tape {
        recording,
        length: Millis(minutes * 60_000),
        started,
    }
}

/// A shot so many seconds after 10:00 by a camera's clock.
fn shot(name: &str, seconds: i64, zone: Option<i16>) -> Shot {
    Shot {
        name: name.into(),
        camera: name.split('-').next().unwrap_or_default().into(),
        taken: Taken {
            local_ms: TEN + seconds * 1000,
            zone_minutes: zone,
        },
    }
}

fn shots(camera: &str, seconds: &[i64], zone: Option<i16>) -> Vec<Shot> {
    seconds
        .iter()
        .zip(1..)
        .map(|(&second, n)| shot(&format!("{camera}-{n}"), second, zone))
        .collect()
}

fn cues(recording: u32, seconds: &[u64]) -> Vec<Moment> {
    let at = |second: &u64| Moment {
        recording,
        at: Millis(second * 1000),
    };
    seconds.iter().map(at).collect()
}

/// One line a clock, then one a shot that has a place.
fn told(shots: &[Shot], tapes: &[Tape], cues: &[Moment], by_hand: &ByHand) -> String {
    let (placed, clocks) = place(shots, tapes, cues, by_hand);
    let mut text = String::new();
    for Clock {
        camera,
        recordings,
        ground,
        ..
    } in clocks
    {
        for (recording, began) in recordings {
            let began = began.map_or("?".into(), |began| began.to_string());
            writeln!(text, "{camera}: {recording} began {began} {ground:?}").unwrap();
        }
    }
    for (name, place) in placed {
        let Moment { recording, at } = place.moment;
        let cue = place
            .cue
            .map_or(String::new(), |cue| format!(" cue {}", cue.at));
        writeln!(text, "{name} {recording}/{at}{cue} {:?}", place.ground).unwrap();
    }
    text
}

#[test]
fn cues_place_photos_in_a_recording_that_tells_nothing() {
    let cues = cues(1, &[31, 95, 260, 410, 505, 770]);
    let shots = shots("phone", &[3636, 3698, 3864, 4013, 4109, 4376, 3720], None);
    insta::assert_snapshot!(told(&shots, &[tape(1, 15, None)], &cues, &ByHand::default()), @r#"
    phone: 1 began 2026-03-02T11:00:00 Some(Cues)
    phone-1 1/0:36 cue 0:31 Cues
    phone-2 1/1:38 cue 1:35 Cues
    phone-3 1/4:24 cue 4:20 Cues
    phone-4 1/6:53 cue 6:50 Cues
    phone-5 1/8:29 cue 8:25 Cues
    phone-6 1/12:56 cue 12:50 Cues
    phone-7 1/2:00 Cues
    "#);
}

#[test]
fn clocks_that_agree_are_enough_without_cues() {
    let tapes = [tape(1, 15, Some(Started::Utc(TEN)))];
    let shots = shots("phone", &[3600 + 60, 3600 + 600, 9000], Some(60));
    insta::assert_snapshot!(told(&shots, &tapes, &[], &ByHand::default()), @r#"
    phone: 1 began 2026-03-02T11:00:00+01:00 Some(Clocks)
    phone-1 1/1:00 Clocks
    phone-2 1/10:00 Clocks
    "#);
}

#[test]
fn a_start_that_is_really_the_end_is_seen_by_where_the_photos_are() {
    let tapes = [tape(1, 15, Some(Started::Utc(TEN + 900_000)))];
    let shots = shots("phone", &[60, 600, 880], Some(0));
    insta::assert_snapshot!(told(&shots, &tapes, &[], &ByHand::default()), @r#"
    phone: 1 began 2026-03-02T10:00:00+00:00 Some(Clocks)
    phone-1 1/1:00 Clocks
    phone-2 1/10:00 Clocks
    phone-3 1/14:40 Clocks
    "#);
}

#[test]
fn a_zone_that_no_photo_tells_is_the_one_that_puts_them_into_the_walk() {
    let tapes = [tape(1, 15, Some(Started::Utc(TEN)))];
    let shots = shots("phone", &[7200 + 60, 7200 + 600, 7200 + 880], None);
    insta::assert_snapshot!(told(&shots, &tapes, &[], &ByHand::default()), @r#"
    phone: 1 began 2026-03-02T12:00:00 Some(Clocks)
    phone-1 1/1:00 Clocks
    phone-2 1/10:00 Clocks
    phone-3 1/14:40 Clocks
    "#);
}

#[test]
fn what_is_not_clear_is_left_open() {
    let told = |shots: &[Shot], tapes: &[Tape]| told(shots, tapes, &[], &ByHand::default());
    // No cue, and nothing told.
    insta::assert_snapshot!(told(&shots("phone", &[60], None), &[tape(1, 15, None)]), @"phone: 1 began ? None");
    // The clocks tell of another day.
    let tapes = [tape(1, 15, Some(Started::Utc(TEN)))];
    insta::assert_snapshot!(told(&shots("phone", &[86_400 * 3], Some(0)), &tapes), @"phone: 1 began ? None");
    // A recording of three hours: photos of its middle fit into several zones.
    let tapes = [tape(1, 180, Some(Started::Utc(TEN)))];
    insta::assert_snapshot!(told(&shots("phone", &[5000, 5600], None), &tapes), @"phone: 1 began ? None");
}

#[test]
fn two_cameras_have_two_clocks() {
    let cues = cues(1, &[31, 95, 260, 410, 505, 770]);
    let mut both = shots("phone", &[36, 98, 264, 413, 509, 776], None);
    both.extend(shots(
        "thermal",
        &[-86_364, -86_301, -86_136, -85_987, -85_890, -85_625],
        None,
    ));
    insta::assert_snapshot!(told(&both, &[tape(1, 15, None)], &cues, &ByHand::default()), @r#"
    phone: 1 began 2026-03-02T10:00:00 Some(Cues)
    thermal: 1 began 2026-03-01T10:00:01 Some(Cues)
    phone-1 1/0:36 cue 0:31 Cues
    phone-2 1/1:38 cue 1:35 Cues
    phone-3 1/4:24 cue 4:20 Cues
    phone-4 1/6:53 cue 6:50 Cues
    phone-5 1/8:29 cue 8:25 Cues
    phone-6 1/12:56 cue 12:50 Cues
    thermal-1 1/0:35 cue 0:31 Cues
    thermal-2 1/1:38 cue 1:35 Cues
    thermal-3 1/4:23 cue 4:20 Cues
    thermal-4 1/6:52 cue 6:50 Cues
    thermal-5 1/8:29 cue 8:25 Cues
    thermal-6 1/12:54 cue 12:50 Cues
    "#);
}

#[test]
fn recordings_of_one_recorder_share_a_clock() {
    let utc = |seconds: i64| Some(Started::Utc(TEN + seconds * 1000));
    let tapes = [tape(1, 5, utc(0)), tape(2, 5, utc(600))];
    let mut spoken = cues(1, &[31, 95, 260]);
    spoken.extend(cues(2, &[44, 170, 281]));
    let shots = shots(
        "phone",
        &[35 + 77, 99 + 77, 264 + 77, 648 + 77, 774 + 77, 885 + 77],
        Some(0),
    );
    insta::assert_snapshot!(told(&shots, &tapes, &spoken, &ByHand::default()), @r#"
    phone: 1 began 2026-03-02T10:01:17+00:00 Some(Cues)
    phone: 2 began 2026-03-02T10:11:17+00:00 Some(Cues)
    phone-1 1/0:35 cue 0:31 Cues
    phone-2 1/1:39 cue 1:35 Cues
    phone-3 1/4:24 cue 4:20 Cues
    phone-4 2/0:48 cue 0:44 Cues
    phone-5 2/2:54 cue 2:50 Cues
    phone-6 2/4:45 cue 4:41 Cues
    "#);
}

#[test]
fn what_is_given_by_hand_counts_above_all() {
    let cues = cues(1, &[31, 95, 260, 410, 505, 770]);
    let phone = shots("phone", &[36, 98, 264, 413, 509, 776], None);
    let moment = Moment {
        recording: 1,
        at: Millis(100_000),
    };
    let by_hand = ByHand {
        taken_at: Some(("phone-1".into(), moment)),
        ..ByHand::default()
    };
    insta::assert_snapshot!(told(&phone, &[tape(1, 15, None)], &cues, &by_hand), @r#"
    phone: 1 began 2026-03-02T09:58:56 Some(Hand)
    phone-1 1/1:40 cue 1:35 Hand
    phone-2 1/2:42 Hand
    phone-3 1/5:28 Hand
    phone-4 1/7:57 Hand
    phone-5 1/9:33 Hand
    phone-6 1/14:00 Hand
    "#);
    let by_hand = ByHand {
        offset_ms: Some(-30_000),
        ..ByHand::default()
    };
    let tapes = [tape(1, 15, Some(Started::Local(TEN)))];
    insta::assert_snapshot!(told(&phone[..1], &tapes, &[], &by_hand), @r#"
    phone: 1 began 2026-03-02T09:59:30 Some(Hand)
    phone-1 1/1:06 Hand
    "#);
}

#[test]
fn a_file_that_was_last_changed_at_the_end_gives_a_guess() {
    let tapes = [tape(1, 15, Some(Started::Changed(TEN + 900_000)))];
    let shots = shots("phone", &[60, 600, 880], Some(0));
    insta::assert_snapshot!(told(&shots, &tapes, &[], &ByHand::default()), @r#"
    phone: 1 began 2026-03-02T10:00:00+00:00 Some(Changed)
    phone-1 1/1:00 Changed
    phone-2 1/10:00 Changed
    phone-3 1/14:40 Changed
    "#);
}

/// One moment was given once, for the first photo; the second came later.
#[test]
fn a_clock_given_once_holds_for_photos_that_come_later() {
    let shots = shots("phone", &[36, 98], None);
    let other = shot("camera-1", 50, None);
    let all: Vec<Shot> = shots.into_iter().chain([other]).collect();
    let moment = Moment {
        recording: 1,
        at: Millis(100_000),
    };
    let before = ByHand {
        before: [("phone-1".to_owned(), moment)].into(),
        ..ByHand::default()
    };
    insta::assert_snapshot!(told(&all, &[tape(1, 15, None)], &[], &before), @r#"
    camera: 1 began ? None
    phone: 1 began 2026-03-02T09:58:56 Some(Before)
    phone-1 1/1:40 Before
    phone-2 1/2:42 Before
    "#);
    // Neither what the files tell nor shots at cues move what has its place.
    let tapes = [tape(1, 15, Some(Started::Local(TEN)))];
    let cues = cues(1, &[31, 95]);
    insta::assert_snapshot!(told(&all[..2], &tapes, &cues, &before), @r#"
    phone: 1 began 2026-03-02T09:58:56 Some(Before)
    phone-1 1/1:40 cue 1:35 Before
    phone-2 1/2:42 Before
    "#);
    // What is given anew does.
    let anew = ByHand {
        offset_ms: Some(0),
        ..before
    };
    insta::assert_snapshot!(told(&all[..2], &tapes, &[], &anew), @r#"
    phone: 1 began 2026-03-02T10:00:00 Some(Hand)
    phone-1 1/0:36 Hand
    phone-2 1/1:38 Hand
    "#);
}
