//! Photos as kept: times, places in the recording, and all or nothing.

use crate::job::samples::{proposal, three};
use crate::job::{Certainty, Decision, Job, JobError, KeptPhoto, Moment, PhotoFormat};
use crate::time::Millis;

fn photo(name: &str, taken: Option<&str>) -> KeptPhoto {
    KeptPhoto {
        name: name.into(),
        sha256: format!("sha of {name}"),
        format: PhotoFormat::Jpeg,
        original_path: format!("/camera/{name}"),
        taken: taken.map(str::to_string),
        moment: None,
        certainty: None,
        attached: None,
        camera: None,
    }
}

fn job(dir: &std::path::Path) -> Job {
    let mut job = Job::create(dir).unwrap();
    job.propose(proposal(three()), "t1").unwrap();
    job
}

#[test]
fn photos_come_back_as_they_were_in_the_order_they_were_taken() {
    let home = tempfile::tempdir().unwrap();
    let late = KeptPhoto {
        format: PhotoFormat::Heic,
        moment: Some(Moment {
            recording: 1,
            at: Millis(46_250),
        }),
        certainty: Some(Certainty::Likely),
        attached: Some(7),
        camera: Some("Invented P-1 0042".into()),
        ..photo("a.heic", Some("2026-03-02T10:15:03.250+01:00"))
    };
    let early = photo("z.jpg", Some("2026-03-02T10:15:02"));
    let never = photo("b.png", None);
    let given = [late.clone(), never.clone(), early.clone()];
    job(home.path()).keep_photos(1, &given, &[], "t2").unwrap();
    let kept = Job::open(home.path()).unwrap().photos().unwrap();
    assert_eq!(kept, [early, late, never]);
}

#[test]
fn what_is_known_of_a_photo_is_replaced_with_its_decisions_or_not_at_all() {
    let home = tempfile::tempdir().unwrap();
    let mut job = job(home.path());
    let before = photo("a.jpg", None);
    job.keep_photos(1, std::slice::from_ref(&before), &[], "t2")
        .unwrap();
    let after = KeptPhoto {
        certainty: Some(Certainty::Sure),
        ..before.clone()
    };
    let accept = Decision::Accept {
        item: format!("{:016x}", 1),
        above: None,
    };
    let stale = job.keep_photos(
        0,
        std::slice::from_ref(&after),
        std::slice::from_ref(&accept),
        "t3",
    );
    assert!(matches!(stale, Err(JobError::ChangedElsewhere { .. })));
    assert_eq!(job.photos().unwrap(), [before]);
    let events = job
        .keep_photos(1, std::slice::from_ref(&after), &[accept], "t3")
        .unwrap();
    assert_eq!(events[0].id, 2);
    assert_eq!(job.photos().unwrap(), [after]);
}

#[test]
fn a_row_that_no_edition_wrote_is_called_damage() {
    let home = tempfile::tempdir().unwrap();
    let mut job = job(home.path());
    job.keep_photos(1, &[photo("a.jpg", None)], &[], "t2")
        .unwrap();
    for change in ["format = 'film'", "certainty = 'hopeful'"] {
        job.connection
            .execute(&format!("UPDATE photos SET {change}"), [])
            .unwrap();
        assert!(
            matches!(job.photos(), Err(JobError::Damaged { .. })),
            "{change}"
        );
    }
}
