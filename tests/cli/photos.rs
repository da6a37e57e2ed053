//! Photos find their items by the time they were taken; what was decided stands.

use crate::photo_samples::{Told, heic, jpeg, png, quarters};
use crate::sandbox::{Sandbox, valid};
use std::fs;

/// Five things of which a photo is spoken, and two of which none is.
const WALK: &str = "\
[0:02] Hallway. The skirting board is loose. Take a photo of that.
[1:10] The ceiling is cracked.
[2:31] Bathroom. Two of the wall tiles are cracked. Photo of that.
[4:12] The basin waste is leaking. I'll get a picture of that.
[6:20] Kitchen. The worktop is scratched. Photo of that one.
[8:35] The sink is chipped.
[10:23] Lounge. The radiator is loose. Let me take a photo.
[14:40] That's everything in here.
";

/// A photo taken so many seconds into the walk, by a clock that is an hour and ten minutes fast.
fn told(taken: &str) -> Told<'_> {
    Told {
        taken: Some(taken),
        model: Some("Invented 7"),
        place: true,
        ..Told::default()
    }
}

fn sandbox() -> Sandbox {
    let sandbox = Sandbox::new();
    sandbox.write("walk.txt", WALK);
    sandbox.run(&["take", "walk.txt", "--quiet"]).fine();
    let image = quarters(64, 48);
    for (name, taken) in [
        ("IMG_0001.jpg", "2026:03:02 11:10:09"),
        ("IMG_0002.jpg", "2026:03:02 11:11:16"),
        ("IMG_0003.jpg", "2026:03:02 11:12:40"),
        ("IMG_0004.jpg", "2026:03:02 11:14:19"),
        ("IMG_0005.jpg", "2026:03:02 11:16:29"),
        ("IMG_0006.jpg", "2026:03:02 11:20:30"),
        ("IMG_0009.jpg", "2026:03:02 11:19:40"),
        ("IMG_0007.jpg", "2026:03:02 11:40:00"),
    ] {
        sandbox.write(&format!("camera/DCIM/{name}"), jpeg(&image, &told(taken)));
    }
    sandbox.write("camera/plan.png", png(&image, &Told::default()));
    sandbox.write("camera/IMG_0008.HEIC", heic(&told("2026:03:02 11:18:40")));
    sandbox.write("camera/notes.txt", "no photo");
    sandbox
}

#[test]
fn photos_go_to_what_was_spoken_about_and_running_again_changes_nothing() {
    let sandbox = sandbox();
    let run = sandbox.run(&["photos", "walk.job", "camera"]);
    insta::assert_snapshot!(run.shown(), @r#"
    walk.txt began at 2026-03-02T11:09:57 by the clock of the Invented 7: 5 of the 5 times that a photo was spoken of, one was taken
    attached  IMG_0001.jpg      0:11  sure    item 1, hallway: skirting board, loose
    attached  IMG_0002.jpg      1:18  likely  item 2, hallway: ceiling, cracked
    attached  IMG_0003.jpg      2:42  sure    item 3, bathroom: wall tile, cracked
    attached  IMG_0004.jpg      4:21  sure    item 4, bathroom: basin waste, leaking
    attached  IMG_0005.jpg      6:31  sure    item 5, kitchen: worktop, scratched
    attached  IMG_0008.HEIC     8:42  likely  item 6, kitchen: sink, chipped
    attached  IMG_0006.jpg     10:32  sure    item 7, lounge: radiator, loose
    loose     IMG_0009.jpg      9:42  kitchen: no item was spoken of near it
    loose     IMG_0007.jpg         -  taken 2026-03-02T11:40:00, outside the recordings as far as is known
    loose     plan.png             -  its file does not tell when it was taken
    10 photos: 7 attached (5 sure, 2 likely), 3 loose
    --- stderr
    note: 1 photo is HEIC, which documents cannot show: save as JPEG and add those too
    --- exit code 0
    "#);
    let list = |sandbox: &Sandbox| {
        sandbox
            .run(&["export", "walk.job", "--out", "list.json"])
            .fine();
        sandbox.read("list.json")
    };
    let first = list(&sandbox);
    valid(&first);
    let again = sandbox.run(&["photos", "walk.job", "camera"]);
    insta::assert_snapshot!(again.shown(), @r#"
    walk.txt began at 2026-03-02T11:09:57 by the clock of the Invented 7: 5 of the 5 times that a photo was spoken of, one was taken
    loose     IMG_0009.jpg      9:42  kitchen: no item was spoken of near it
    loose     IMG_0007.jpg         -  taken 2026-03-02T11:40:00, outside the recordings as far as is known
    loose     plan.png             -  its file does not tell when it was taken
    10 photos: 7 attached (5 sure, 2 likely), 3 loose
    --- stderr
    note: 1 photo is HEIC, which documents cannot show: save as JPEG and add those too
    --- exit code 0
    "#);
    assert_eq!(list(&sandbox), first);
    let given = fs::read(sandbox.path("camera/DCIM/IMG_0001.jpg")).unwrap();
    assert_eq!(
        fs::read(sandbox.path("walk.job/photos/IMG_0001.jpg")).unwrap(),
        given
    );
}

#[test]
fn one_undo_takes_all_attachments_back_and_they_are_not_made_again() {
    let sandbox = sandbox();
    sandbox.run(&["photos", "walk.job", "camera"]).fine();
    sandbox
        .run_with(&["confirm", "walk.job", "--plain"], "u\n")
        .fine();
    let run = sandbox.run(&["photos", "walk.job", "camera"]).fine();
    assert!(
        run.stdout.ends_with("10 photos: 0 attached, 10 loose\n"),
        "{}",
        run.stdout
    );
}

#[test]
fn documents_show_the_photos_without_place_and_device() {
    let sandbox = sandbox();
    sandbox.run(&["photos", "walk.job", "camera"]).fine();
    let export = || {
        sandbox
            .run(&["export", "walk.job", "--out", "list.html"])
            .fine();
        sandbox.read("list.html")
    };
    let page = export();
    assert!(page.contains("data:image/jpeg;base64,"));
    for name in fs::read_dir(sandbox.path("walk.job/photos/shown-1500-80")).unwrap() {
        let picture = fs::read(name.unwrap().path()).unwrap();
        for trace in [&b"Exif"[..], b"Invented"] {
            assert!(!picture.windows(trace.len()).any(|part| part == trace));
        }
    }
    assert_eq!(export(), page, "from the pictures kept");
    fs::remove_dir_all(sandbox.path("walk.job/photos/shown-1500-80")).unwrap();
    assert_eq!(export(), page, "and made anew");
}

#[test]
fn where_it_is_not_clear_when_photos_were_taken_one_moment_is_asked_for() {
    let sandbox = Sandbox::new();
    sandbox.write(
        "walk.txt",
        "[0:02] Hallway. The skirting board is loose.\n[0:40] The ceiling is cracked.\n",
    );
    sandbox.run(&["take", "walk.txt", "--quiet"]).fine();
    sandbox.write(
        "one/a.jpg",
        jpeg(&quarters(8, 8), &told("2026:03:02 11:10:42")),
    );
    let run = sandbox.run(&["photos", "walk.job", "one"]);
    insta::assert_snapshot!(run.shown(), @r#"
    loose     a.jpg        -  taken 2026-03-02T11:10:42, outside the recordings as far as is known
    1 photo: 0 attached, 1 loose
    --- stderr
    note: when walk.txt began by the camera's clock is not clear: no photo was spoken of in it, and the files do not tell
    hint: find one photo whose moment you know and give it: callover photos walk.job FOLDER --taken-at PHOTO=M:SS
    --- exit code 0
    "#);
    let run = sandbox.run(&["photos", "walk.job", "one", "--taken-at", "a.jpg=0:41"]);
    insta::assert_snapshot!(run.shown(), @r#"
    walk.txt began at 2026-03-02T11:10:01 by the clock of the Invented 7: as given; no photo was spoken of
    attached  a.jpg     0:41  likely  item 2, hallway: ceiling, cracked
    1 photo: 1 attached (1 likely), 0 loose
    --- exit code 0
    "#);
    let run = sandbox.run(&[
        "photos",
        "walk.job",
        "one/a.jpg",
        "--taken-at",
        "a.jpg=0:04",
    ]);
    insta::assert_snapshot!(run.shown(), @r#"
    walk.txt began at 2026-03-02T11:10:38 by the clock of the Invented 7: as given; no photo was spoken of
    attached  a.jpg     0:04  likely  item 1, hallway: skirting board, loose
    1 photo: 1 attached (1 likely), 0 loose
    --- exit code 0
    "#);
    // A photo that comes later needs no moment of its own.
    sandbox.write(
        "later/b.jpg",
        jpeg(&quarters(9, 8), &told("2026:03:02 11:11:19")),
    );
    let run = sandbox.run(&["photos", "walk.job", "later"]);
    insta::assert_snapshot!(run.shown(), @r#"
    walk.txt began at 2026-03-02T11:10:38 by the clock of the Invented 7: as for the earlier photos; no photo was spoken of
    attached  b.jpg     0:41  likely  item 2, hallway: ceiling, cracked
    2 photos: 2 attached (2 likely, 1 of them now), 0 loose
    --- exit code 0
    "#);
}

#[test]
fn what_cannot_be_used_is_said() {
    let sandbox = sandbox();
    sandbox.write("texts/notes.txt", "no photo");
    fs::create_dir(sandbox.path("empty")).unwrap();
    let mut all = String::new();
    for arguments in [
        &["photos", "walk.job", "missing"] as &[&str],
        &["photos", "walk.job", "empty"],
        &["photos", "walk.job", "texts"],
        &["photos", "missing.job", "camera"],
        &[
            "photos",
            "walk.job",
            "camera",
            "--taken-at",
            "nobody.jpg=0:05",
        ],
        &[
            "photos",
            "walk.job",
            "camera",
            "--taken-at",
            "plan.png=0:05",
        ],
        &[
            "photos",
            "walk.job",
            "camera",
            "--taken-at",
            "IMG_0001.jpg=9/0:05",
        ],
    ] {
        let run = sandbox.run(arguments);
        assert_eq!((run.code, run.stdout.as_str()), (1, ""), "{}", run.shown());
        all += &run.stderr;
    }
    insta::assert_snapshot!(all, @r#"
    error: cannot read the folder missing: No such file or directory (os error 2)
    error: empty: there is no photo in it, no files at all; expected JPEG, PNG, WebP or HEIC files
    error: texts: there is no photo in it, one file of another kind; expected JPEG, PNG, WebP or HEIC files
    error: missing.job is not a job folder: it has no job.db (make one with `callover take AUDIO --job missing.job`)
    error: --taken-at nobody.jpg: there is no such photo in the job or the folder
    error: --taken-at plan.png: its file tells no time; choose another photo
    error: --taken-at IMG_0001.jpg: give the number of the recording before the time, as in 2/12:35 (1 is walk.txt)
    "#);
}
