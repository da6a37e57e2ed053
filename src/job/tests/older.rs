//! Job files of every format that was ever released can be opened, and lose nothing.

use crate::items::{Severity, Status};
use crate::job::schema::{APPLICATION_ID, MIGRATIONS};
use crate::job::{Field, Job, JobError, salvage};
use rusqlite::Connection;
use std::path::Path;

/// Rows as the first format had them, word for word as it wrote them. Never change them.
const FIRST_FORMAT: &str = r#"
    INSERT INTO details VALUES ('title', 'Plot seven'), ('created', '2026-03-02T17:05:00Z');
    INSERT INTO recordings VALUES (1, 'aa', 'memo.m4a', '/recorder/memo.m4a', 61.5, 40.25,
        '[{"text":"Hallway.","recording":1,"span":{"start":100,"end":500},"probability":0.5,"line_end":false}]');
    INSERT INTO windows VALUES ('aa', 0, 'mm', 'en greedy', '[]');
    INSERT INTO places VALUES (1,
        '{"name":"hallway","kind":"room","visits":[{"recording":1,"span":{"start":100,"end":500}}]}');
    INSERT INTO unplaced VALUES (1,
        '{"recording":1,"span":null,"quote":"all fine here","why":"said to be in order"}');
    INSERT INTO items VALUES (1, '0000000000000001', 1,
        '{"number":1,"id":"0000000000000001","place":"hallway","position":null,"element":"skirting","defect":"loose","description":"The skirting is loose.","count":1,"measurements":[],"limits":[],"remedy":null,"remedy_source":null,"trade":null,"severity":"repair","caution":null,"remarks":[],"hedged":false,"photo_wanted":true,"evidence":{"recording":1,"span":{"start":10000,"end":14000},"quote":"the skirting is loose","words":[0,1],"terms":[],"reasons":[]},"confidence":0.9,"status":"proposed","photos":[]}');
    INSERT INTO events (at, kind, payload) VALUES
        ('2026-03-02T17:05:00Z', 'proposed', '{"items":1,"highest":1}'),
        ('2026-03-02T17:06:00Z', 'edit', '{"item":"0000000000000001","field":"trade","from":"","to":"joiner","description":null}'),
        ('2026-03-02T17:06:10Z', 'accept', '{"item":"0000000000000001","above":null}'),
        ('2026-03-02T17:06:20Z', 'undo', '{"events":[3]}'),
        ('2026-03-02T17:06:30Z', 'redo', '{"events":[3]}');
"#;

/// A photo as the second format had it.
const SECOND_FORMAT: &str = "
    INSERT INTO photos VALUES ('a.jpg', 'pp', 'jpeg', '/camera/a.jpg', '2026-03-02T10:15:03', 1, 46250, 'likely', NULL);
";

/// Writes a job file of a format: its first steps, with rows in it.
fn write_format(path: &Path, version: usize) {
    let connection = Connection::open(path).unwrap();
    for (step, number) in MIGRATIONS[..version].iter().zip(1..) {
        connection.execute_batch(step).unwrap();
        match number {
            1 => connection.execute_batch(FIRST_FORMAT).unwrap(),
            2 => connection.execute_batch(SECOND_FORMAT).unwrap(),
            _ => {}
        }
    }
    connection
        .pragma_update(None, "application_id", APPLICATION_ID)
        .unwrap();
    connection
        .pragma_update(None, "user_version", version as i64)
        .unwrap();
}

#[test]
fn every_older_format_opens_with_all_that_was_in_it() {
    for version in 1..=MIGRATIONS.len() {
        let home = tempfile::tempdir().unwrap();
        write_format(&home.path().join("job.db"), version);
        if version < MIGRATIONS.len() {
            let unchanged = Job::open_to_read(home.path());
            assert!(
                matches!(unchanged, Err(JobError::ReadOnly { .. })),
                "format {version}"
            );
        }
        // Reading alone brings it up to date as well.
        let job = match version % 2 {
            0 => Job::open(home.path()).unwrap(),
            _ => Job::open_current(home.path()).unwrap(),
        };
        let list = job.list().unwrap();
        assert_eq!(list.problems, [""; 0], "format {version}");
        let item = &list.items[0];
        assert_eq!(
            (item.status, item.severity),
            (Status::Confirmed, Severity::Repair)
        );
        assert_eq!(Field::Trade.read(item), "joiner");
        assert_eq!(job.events().unwrap().len(), 5);
        assert_eq!(job.detail("title").unwrap().as_deref(), Some("Plot seven"));
        assert_eq!(job.transcript().unwrap().words.len(), 1);
        assert_eq!(job.proposal().unwrap().unplaced.len(), 1);
        assert_eq!(
            job.windows::<Vec<u8>>("aa", "mm", "en greedy")
                .unwrap()
                .len(),
            1
        );
        let photos = job.photos().unwrap();
        let kept = photos
            .iter()
            .map(|photo| (photo.name.as_str(), photo.camera.as_deref()));
        let second = (version >= 2).then_some(("a.jpg", None));
        assert_eq!(
            kept.collect::<Vec<_>>(),
            Vec::from_iter(second),
            "format {version}"
        );
        let copy = home.path().join(format!("job-format-{version}.db"));
        assert_eq!(
            copy.exists(),
            version < MIGRATIONS.len(),
            "format {version}"
        );
    }
}

#[test]
fn a_file_of_every_format_can_be_saved_row_by_row() {
    for version in 1..=MIGRATIONS.len() {
        let home = tempfile::tempdir().unwrap();
        write_format(&home.path().join("job.db"), version);
        if version == MIGRATIONS.len() {
            let connection = Connection::open(home.path().join("job.db")).unwrap();
            connection
                .execute_batch("UPDATE photos SET camera = 'Invented One'")
                .unwrap();
        }
        let salvaged = salvage(home.path()).unwrap();
        assert_eq!(salvaged.lost, [""; 0], "format {version}");
        let job = Job::open(home.path()).unwrap();
        assert_eq!(job.list().unwrap().items[0].status, Status::Confirmed);
        assert_eq!(job.transcript().unwrap().words.len(), 1);
        let photos = job.photos().unwrap();
        let cameras: Vec<Option<&str>> = photos.iter().map(|p| p.camera.as_deref()).collect();
        let want: &[Option<&str>] = match version {
            1 => &[],
            4.. => &[Some("Invented One")],
            _ => &[None],
        };
        assert_eq!(cameras, want, "format {version}");
    }
}
