//! Who is answered and who is not, request by request.

use crate::running::Running;
use crate::sample::{SMALL, make};
use callover::items::{Item, Seen, Standing};
use callover::job::{Decision, Job, Visited};
use callover::recheck::{Finding, LaterVisit};
use callover::time::{Millis, Span};
use serde_json::json;
use std::fs;
use tempfile::TempDir;

fn desk() -> (TempDir, Running) {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("plot.job");
    make(&job, SMALL);
    let running = Running::start(&job);
    (folder, running)
}

/// The first six rows are those that were measured on a server with and without the Host check; what
/// each guard is for stands in `desk/guard.rs`. Cross-site rules: Fetch Metadata (W3C) and the `Origin`
/// header (RFC 6454).
#[test]
fn requests_from_elsewhere_are_refused_and_own_ones_answered() {
    let (_folder, desk) = desk();
    let host = desk.host.clone();
    let cookie = desk.cookie();
    let body = json!({"after": 0, "change": {"do": "undo"}}).to_string();
    let post = |head: &str| {
        let length = body.len();
        let head = format!(
            "POST /act HTTP/1.1\n{head}\nContent-Type: application/json\nContent-Length: {length}"
        );
        desk.raw(&head, body.as_bytes()).status
    };
    let own = format!("Host: {host}\nCookie: {cookie}");
    // 409: let in, and told that its list is an old one, which is true of event 0.
    for (name, head, status) in [
        (
            "same origin",
            format!("{own}\nOrigin: http://{host}\nSec-Fetch-Site: same-origin"),
            409,
        ),
        (
            "cross-site",
            format!("{own}\nOrigin: http://evil.example\nSec-Fetch-Site: cross-site"),
            403,
        ),
        (
            "rebound name",
            format!("Host: evil.example\nCookie: {cookie}\nOrigin: http://evil.example"),
            421,
        ),
        ("without Origin", own.clone(), 409),
        (
            "another port of this machine",
            format!("{own}\nOrigin: http://127.0.0.1:1\nSec-Fetch-Site: same-site"),
            403,
        ),
        (
            "cross-site without fetch metadata",
            format!("{own}\nOrigin: http://evil.example"),
            403,
        ),
        ("sandboxed page", format!("{own}\nOrigin: null"), 403),
        ("no cookie", format!("Host: {host}"), 401),
        (
            "wrong cookie",
            format!("Host: {host}\nCookie: {}0", cookie),
            401,
        ),
        (
            "cookie of another port",
            format!(
                "Host: {host}\nCookie: callover-1={}",
                cookie.split_once('=').unwrap().1
            ),
            401,
        ),
        (
            "the secret as cookie",
            format!(
                "Host: {host}\nCookie: {}={}",
                cookie.split_once('=').unwrap().0,
                desk.secret
            ),
            401,
        ),
        (
            "name for the address",
            format!(
                "Host: localhost:{}\nCookie: {cookie}",
                host.split_once(':').unwrap().1
            ),
            421,
        ),
        ("no port", format!("Host: 127.0.0.1\nCookie: {cookie}"), 421),
        (
            "two hosts",
            format!("Host: {host}\nHost: evil.example\nCookie: {cookie}"),
            400,
        ),
    ] {
        let got = post(&head);
        let fits = got == status || (status == 400 && got == 421);
        assert!(fits, "{name}: {got}, not {status}");
    }
}

#[test]
fn ranges_of_the_recording_are_answered_as_rfc_9110_has_it() {
    let (folder, desk) = desk();
    let file = fs::read(folder.path().join("plot.job/recordings/walk.wav")).unwrap();
    let length = file.len();
    for (range, status, content) in [
        ("bytes=0-99", 206, format!("bytes 0-99/{length}")),
        (
            "bytes=1000-",
            206,
            format!("bytes 1000-{}/{length}", length - 1),
        ),
        (
            "bytes=-10",
            206,
            format!("bytes {}-{}/{length}", length - 10, length - 1),
        ),
        ("bytes=0-9,20-29", 416, String::new()),
        (
            &format!("bytes={length}-"),
            416,
            format!("bytes */{length}"),
        ),
    ] {
        let ask = || desk.ask("GET", "/sound/1", &format!("Range: {range}"), b"");
        // The desk may still be preparing the recording.
        let answer = std::iter::repeat_with(ask)
            .find(|answer| answer.status != 503)
            .unwrap();
        assert_eq!(answer.status, status, "{range}");
        if !content.is_empty() {
            assert_eq!(answer.header("content-range"), content, "{range}");
        }
        if range == "bytes=0-99" {
            assert_eq!(answer.body, file[..100]);
        }
    }
    assert_eq!(desk.get("/sound/1").header("content-type"), "audio/wav");
    let head = desk.ask("HEAD", "/sound/1", "", b"");
    assert_eq!((head.status, head.body.len()), (200, 0));
    assert_eq!(head.header("content-length"), length.to_string());
}

#[test]
fn nothing_beside_the_job_can_be_reached() {
    let (folder, desk) = desk();
    fs::write(folder.path().join("secret.txt"), "kept apart").unwrap();
    for path in [
        "/sound/../../secret.txt",
        "/sound/..%2f..%2fsecret.txt",
        "/sound/%2e%2e/%2e%2e/secret.txt",
        "/photo/..%2f..%2fsecret.txt",
        "/photo/photo-001.jpg",
        "/small/..%2fjob.db",
        "/assets/..%2f..%2fCargo.toml",
        "/assets//etc/hostname",
        "/job.db",
        "/recordings/walk.wav",
        "/cache",
        "//etc/hostname",
        "/sound/2",
        "/sound/99999999999999999999",
        "/photo/0000000000000000",
        "/unheard-of",
    ] {
        let answer = desk.get(path);
        assert!(
            (400..500).contains(&answer.status),
            "{path}: {}",
            answer.status
        );
        assert!(!answer.text().contains("kept apart"), "{path}");
        assert!(!answer.body.starts_with(b"SQLite format 3"), "{path}");
    }
    for (method, path, status) in [
        ("POST", "/list", 405),
        ("DELETE", "/list", 405),
        ("GET", "/act", 405),
        ("OPTIONS", "/act", 405),
        ("HEAD", "/list", 200),
        ("HEAD", "/", 200),
    ] {
        assert_eq!(
            desk.ask(method, path, "", b"").status,
            status,
            "{method} {path}"
        );
    }
}

/// The headers are those of the OWASP Secure Headers Project that mean something without TLS.
#[test]
fn every_answer_carries_the_guarding_headers_and_none_opens_it_to_others() {
    let (_folder, desk) = desk();
    for path in [
        "/",
        "/assets/main.js",
        "/list",
        "/sound/1",
        "/unheard-of",
        "/photos",
    ] {
        let answer = desk.get(path);
        let policy = answer.header("content-security-policy");
        assert!(policy.contains("default-src 'self'"), "{path}: {policy}");
        assert!(!policy.contains("unsafe"), "{path}: {policy}");
        assert_eq!(answer.header("x-content-type-options"), "nosniff", "{path}");
        assert_eq!(answer.header("cross-origin-resource-policy"), "same-origin");
        assert_eq!(answer.header("referrer-policy"), "no-referrer");
        assert!(!answer.head.contains("access-control-"), "{path}");
        assert!(!answer.header("cache-control").is_empty(), "{path}");
    }
}

#[test]
fn the_cookie_is_strict_and_given_for_the_secret_only() {
    let (_folder, desk) = desk();
    let host = desk.host.clone();
    let enter = |key: &str| {
        let body = json!({ "key": key }).to_string();
        let length = body.len();
        desk.raw(
            &format!(
                "POST /enter HTTP/1.1\nHost: {host}\nContent-Type: application/json\n\
                 Content-Length: {length}"
            ),
            body.as_bytes(),
        )
    };
    for key in ["", "0", &desk.secret[1..], &format!("{}0", desk.secret)] {
        let answer = enter(key);
        assert_eq!(answer.status, 403, "{key}");
        assert_eq!(answer.header("set-cookie"), "");
    }
    let given = enter(&desk.secret);
    let cookie = given.header("set-cookie");
    for part in ["httponly", "samesite=strict", "path=/"] {
        assert!(cookie.contains(part), "{cookie}");
    }
    assert!(
        !cookie.contains(&desk.secret),
        "the secret itself is no cookie"
    );
}

#[test]
fn without_the_cookie_nothing_of_the_job_is_told() {
    let (_folder, desk) = desk();
    let host = desk.host.clone();
    for path in [
        "/list",
        "/changes?after=0",
        "/words/1",
        "/outline/1",
        "/sound/1",
        "/photos",
        "/recordings",
        "/complete?field=place&typed=h",
        "/small/0",
    ] {
        let answer = desk.raw(&format!("GET {path} HTTP/1.1\nHost: {host}"), b"");
        assert_eq!(answer.status, 401, "{path}");
    }
    let page = desk.raw(&format!("GET / HTTP/1.1\nHost: {host}"), b"");
    assert_eq!(page.status, 200);
    assert!(!page.text().contains("Plot seven"));
}

#[test]
fn uploads_are_limited_and_only_pictures_get_in() {
    let (folder, desk) = desk();
    let photos = folder.path().join("plot.job/photos");
    let before = fs::read_dir(&photos).unwrap().count();
    for (name, bytes, status) in [
        ("page.jpg", b"<html><script>alert(1)</script>".to_vec(), 415),
        (
            "a.svg",
            b"<svg xmlns='http://www.w3.org/2000/svg'/>".to_vec(),
            415,
        ),
        (
            "cut.jpg",
            fs::read(photos.join("photo-001.jpg")).unwrap()[..200].to_vec(),
            415,
        ),
        ("none.jpg", Vec::new(), 415),
        ("huge.jpg", vec![0xff; 41 * 1024 * 1024], 413),
    ] {
        let answer = desk.ask("POST", &format!("/photos?name={name}"), "", &bytes);
        assert_eq!(answer.status, status, "{name}: {}", answer.text());
    }
    assert_eq!(fs::read_dir(&photos).unwrap().count(), before);
    let picture = fs::read(photos.join("photo-001.jpg")).unwrap();
    let answer = desk.ask("POST", "/photos?name=..%2F..%2Fevil.jpg", "", &picture);
    assert_eq!(answer.status, 201, "{}", answer.text());
    assert!(photos.join("evil.jpg").is_file());
    assert!(!folder.path().join("evil.jpg").exists());
}

#[test]
fn requests_that_make_no_sense_are_told_so() {
    let (_folder, desk) = desk();
    let event = desk.json("/list")["list"]["event"].as_i64().unwrap();
    for (change, status, says) in [
        (
            json!({"do": "accept", "number": 999}),
            422,
            "there is no item 999",
        ),
        (
            json!({"do": "edit", "number": 1, "field": "colour", "text": "x"}),
            422,
            "unknown variant `colour`",
        ),
        (
            json!({"do": "edit", "number": 1, "field": "place", "text": ""}),
            422,
            "cannot be empty",
        ),
        (
            json!({"do": "edit", "number": 1, "field": "remark", "text": "x".repeat(5000)}),
            422,
            "at most 4000",
        ),
        (json!({"do": "explode"}), 422, ""),
        (json!({"do": "undo", "more": 1}), 422, ""),
    ] {
        let answer = desk.act(&json!({"after": event, "change": change}));
        assert_eq!(answer.status, status, "{change}");
        assert!(answer.text().contains(says), "{change}: {}", answer.text());
    }
    let long = json!({"after": event, "change": {"do": "reject", "number": 1, "reason": "x".repeat(100_000)}});
    assert_eq!(desk.act(&long).status, 413);
    assert_eq!(desk.ask("POST", "/act", "", b"{}").status, 415);
}

#[test]
fn what_a_later_visit_found_is_kept_changed_or_dismissed() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("plot.job");
    make(&dir, SMALL);
    let mut job = Job::open(&dir).unwrap();
    let items = job.list().unwrap().items;
    let accepted: Vec<Decision> = items[..3]
        .iter()
        .map(|item| Decision::Accept {
            item: item.id.clone(),
            above: None,
        })
        .collect();
    job.append(job.last_event().unwrap(), &accepted, "2026-03-02T18:00:00Z")
        .unwrap();
    let finding = |item: &Item| Finding {
        item: item.id.clone(),
        seen: Seen {
            visit: 2,
            date: "2026-04-01".into(),
            standing: Standing::PutRight,
            note: String::new(),
            recording: Some(1),
            span: Some(Span::new(Millis(1_000), Millis(2_000))),
            quote: "that is done".into(),
        },
        confidence: 0.6,
        reasons: vec!["said in passing".into()],
    };
    let visited = Visited {
        visit: LaterVisit {
            number: 2,
            date: "2026-04-01".into(),
        },
        findings: items[..3].iter().map(finding).collect(),
    };
    job.visited(visited, "2026-04-01T18:00:00Z").unwrap();
    drop(job);
    let desk = Running::start(&dir);
    let list = desk.json("/list")["list"].clone();
    let found = &list["items"][0]["finding"];
    assert_eq!(found["seen"]["standing"], "put-right");
    assert_eq!(
        (&found["unsure"], &list["progress"]["visit"]),
        (&json!(true), &json!(2))
    );
    assert_eq!(list["progress"]["findings"], 3);
    let mut event = list["event"].clone();
    for (change, standing, note, left) in [
        (
            json!({"do": "accept", "number": 1}),
            json!("put-right"),
            json!(""),
            2,
        ),
        (
            json!({"do": "stand", "number": 2, "standing": "changed", "note": "the paint is patchy"}),
            json!("changed"),
            json!("the paint is patchy"),
            1,
        ),
        (
            json!({"do": "dismiss", "number": 3}),
            json!(null),
            json!(null),
            0,
        ),
    ] {
        let answer = desk.act(&json!({"after": event, "change": change}));
        assert_eq!(answer.status, 200, "{change}: {}", answer.text());
        let update: serde_json::Value = serde_json::from_slice(&answer.body).unwrap();
        let item = &update["items"][0];
        assert_eq!(item["standing"], standing, "{change}");
        assert_eq!(item["seen"][0]["note"], note, "{change}");
        assert_eq!(item["finding"], json!(null), "{change}");
        assert_eq!(update["progress"]["findings"], left, "{change}");
        event = update["event"].clone();
    }
    let unconfirmed = json!({"do": "stand", "number": 9, "standing": "closed", "note": ""});
    let answer = desk.act(&json!({"after": event, "change": unconfirmed}));
    assert_eq!(answer.status, 422, "{}", answer.text());
}

#[test]
fn a_write_that_rests_on_an_old_list_is_refused_with_what_changed() {
    let (folder, desk) = desk();
    let event = desk.json("/list")["list"]["event"].as_i64().unwrap();
    let first = desk.act(&json!({"after": event, "change": {"do": "accept", "number": 1}}));
    assert_eq!(first.status, 200);
    let stale =
        desk.act(&json!({"after": event, "change": {"do": "reject", "number": 1, "reason": "x"}}));
    assert_eq!(stale.status, 409);
    let update: serde_json::Value = serde_json::from_slice(&stale.body).unwrap();
    assert_eq!(update["items"][0]["status"], "confirmed");
    assert_eq!(update["items"].as_array().unwrap().len(), 1);
    assert!(
        update["told"]
            .as_str()
            .unwrap()
            .contains("item 1 confirmed")
    );

    // Another program decides: the waiting page hears of it, and so does the next write.
    let now = update["event"].as_i64().unwrap();
    let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_callover"))
        .args(["confirm", "--plain"])
        .arg(folder.path().join("plot.job"))
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::null())
        .stderr(std::process::Stdio::null())
        .spawn()
        .unwrap();
    std::io::Write::write_all(&mut child.stdin.take().unwrap(), b"g 2\na\nq\n").unwrap();
    let heard = desk.json(&format!("/changes?after={now}"));
    assert_eq!(heard["items"][0]["number"], 2);
    assert!(child.wait().unwrap().success());
    let stale = desk.act(&json!({"after": now, "change": {"do": "undo"}}));
    assert_eq!(stale.status, 409);
}

#[test]
fn what_is_kept_by_the_desk_is_in_the_job_when_it_is_answered() {
    let (folder, mut desk) = desk();
    let job = folder.path().join("plot.job");
    for number in 1..=3 {
        let event = desk.json("/list")["list"]["event"].clone();
        let answer =
            desk.act(&json!({"after": event, "change": {"do": "accept", "number": number}}));
        assert_eq!(answer.status, 200);
        // Dropping kills it at once.
        drop(desk);
        let list = callover::job::Job::open(&job).unwrap().list().unwrap();
        let confirmed = list
            .items
            .iter()
            .filter(|item| item.status == callover::items::Status::Confirmed);
        assert_eq!(confirmed.count(), number);
        desk = Running::start(&job);
    }
}
