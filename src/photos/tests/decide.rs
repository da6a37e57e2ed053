//! What is decided about photos, and what is left alone.

use crate::job::samples::{proposal, three};
use crate::job::{Certainty, Decision, Job, KeptPhoto, Moment, PhotoFormat};
use crate::photos::{Ground, Placed, decide};
use crate::time::Millis;
use std::collections::BTreeMap;

fn photo(name: &str) -> KeptPhoto {
    KeptPhoto {
        name: name.into(),
        sha256: name.into(),
        format: PhotoFormat::Jpeg,
        original_path: name.into(),
        taken: Some("2026-03-02T10:15:03".into()),
        moment: None,
        certainty: None,
        attached: None,
        camera: None,
    }
}

fn placed(name: &str, seconds: u64, ground: Ground) -> BTreeMap<String, Placed> {
    let moment = Moment {
        recording: 1,
        at: Millis(seconds * 1000),
    };
    BTreeMap::from([(
        name.to_string(),
        Placed {
            moment,
            cue: None,
            ground,
        },
    )])
}

/// Items 1, 2 and 3 are spoken of from 0:10, 0:20 and 0:30, four seconds each.
fn job(dir: &std::path::Path) -> Job {
    let mut job = Job::create(dir).unwrap();
    job.propose(proposal(three()), "t1").unwrap();
    job
}

/// Decides, keeps it, and returns what was decided as text.
fn run(job: &mut Job, placed: &BTreeMap<String, Placed>, may_move: bool) -> String {
    let mut photos = job.photos().unwrap();
    if photos.is_empty() {
        photos = placed.keys().map(|name| photo(name)).collect();
    }
    let events = job.events().unwrap();
    let decided = decide(
        &photos,
        placed,
        &job.list().unwrap(),
        &[],
        &events,
        may_move,
    );
    let act: Vec<Decision> = decided.together().into_iter().collect();
    job.keep_photos(events.last().unwrap().id, &decided.photos, &act, "t2")
        .unwrap();
    let lines = decided.decisions.iter().map(|decision| match decision {
        Decision::AttachPhoto { item, photo } => {
            format!("attach {photo} to {}", item.trim_start_matches('0'))
        }
        Decision::DetachPhoto { item, photo } => {
            format!("detach {photo} from {}", item.trim_start_matches('0'))
        }
        other => format!("{other:?}"),
    });
    lines.collect::<Vec<_>>().join(", ")
}

fn by_inspector(job: &mut Job, decision: Decision) {
    let last = job.events().unwrap().last().unwrap().id;
    job.append(last, &[decision], "t3").unwrap();
}

fn owners(job: &Job) -> Vec<u32> {
    let list = job.list().unwrap();
    list.items
        .iter()
        .filter(|item| !item.photos.is_empty())
        .map(|item| item.number)
        .collect()
}

fn id(number: u32) -> String {
    format!("{number:016x}")
}

#[test]
fn running_again_decides_nothing_again() {
    let home = tempfile::tempdir().unwrap();
    let mut job = job(home.path());
    let at = placed("a.jpg", 12, Ground::Cues);
    assert_eq!(run(&mut job, &at, false), "attach a.jpg to 1");
    let before = (job.photos().unwrap(), job.events().unwrap());
    assert_eq!(before.0[0].attached, Some(2));
    for may_move in [false, true] {
        assert_eq!(run(&mut job, &at, may_move), "");
        assert_eq!((job.photos().unwrap(), job.events().unwrap()), before);
    }
}

#[test]
fn what_the_inspector_did_to_a_photo_stands() {
    let detach = Decision::DetachPhoto {
        item: id(1),
        photo: "a.jpg".into(),
    };
    let elsewhere = Decision::AttachPhoto {
        item: id(3),
        photo: "a.jpg".into(),
    };
    let undo = Decision::Undo { events: vec![2] };
    for (decisions, want) in [
        (vec![detach.clone()], vec![]),
        (vec![detach, elsewhere.clone()], vec![3]),
        (vec![elsewhere], vec![1, 3]),
        (vec![undo], vec![]),
    ] {
        let home = tempfile::tempdir().unwrap();
        let mut job = job(home.path());
        run(&mut job, &placed("a.jpg", 12, Ground::Cues), false);
        for decision in &decisions {
            by_inspector(&mut job, decision.clone());
        }
        for (seconds, may_move) in [(12, false), (12, true), (22, true)] {
            let decided = run(&mut job, &placed("a.jpg", seconds, Ground::Hand), may_move);
            assert_eq!(
                (decided.as_str(), owners(&job)),
                ("", want.clone()),
                "{decisions:?}"
            );
        }
    }
}

#[test]
fn what_was_attached_by_another_offset_moves_only_when_the_clocks_are_given_by_hand() {
    let home = tempfile::tempdir().unwrap();
    let mut job = job(home.path());
    run(&mut job, &placed("a.jpg", 12, Ground::Clocks), false);
    assert_eq!(run(&mut job, &placed("a.jpg", 22, Ground::Cues), false), "");
    assert_eq!(owners(&job), [1]);
    let moved = run(&mut job, &placed("a.jpg", 32, Ground::Hand), true);
    assert_eq!(moved, "detach a.jpg from 1, attach a.jpg to 3");
    assert_eq!(owners(&job), [3]);
    let away = run(&mut job, &placed("a.jpg", 500, Ground::Hand), true);
    assert_eq!(
        (away.as_str(), owners(&job)),
        ("detach a.jpg from 3", vec![])
    );
}

#[test]
fn an_item_with_a_photo_keeps_it_when_the_recording_is_taken_again() {
    let home = tempfile::tempdir().unwrap();
    let mut job = job(home.path());
    run(&mut job, &placed("a.jpg", 12, Ground::Cues), false);
    job.propose(proposal(vec![]), "t4").unwrap();
    assert_eq!(owners(&job), [1]);
}

#[test]
fn what_a_place_rests_on_limits_how_sure_it_is() {
    for (ground, cue, want) in [
        (Ground::Hand, false, Certainty::Likely),
        (Ground::Cues, false, Certainty::Likely),
        (Ground::Cues, true, Certainty::Sure),
        (Ground::Clocks, true, Certainty::Sure),
        (Ground::Clocks, false, Certainty::Guess),
        (Ground::Changed, true, Certainty::Guess),
    ] {
        let home = tempfile::tempdir().unwrap();
        let mut job = job(home.path());
        let mut at = placed("a.jpg", 13, ground);
        if cue {
            let place = at.get_mut("a.jpg").unwrap();
            place.cue = Some(place.moment);
        }
        run(&mut job, &at, false);
        assert_eq!(
            job.photos().unwrap()[0].certainty,
            Some(want),
            "{ground:?} {cue}"
        );
    }
}

#[test]
fn a_photo_near_nothing_stays_loose_and_keeps_its_moment() {
    let home = tempfile::tempdir().unwrap();
    let mut job = job(home.path());
    assert_eq!(
        run(&mut job, &placed("a.jpg", 600, Ground::Cues), false),
        ""
    );
    let kept = job.photos().unwrap();
    assert_eq!(
        kept[0].moment,
        Some(Moment {
            recording: 1,
            at: Millis(600_000)
        })
    );
    assert_eq!(kept[0].certainty, None);
}
