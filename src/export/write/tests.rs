//! Writing whole files, and finding problems early.

use super::*;

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

fn file(path: PathBuf) -> Target {
    Target {
        format: Format::Json,
        place: Destination::File(path),
    }
}

/// Returns the problems with the folder's path shown as `FOLDER`.
fn problems(folder: &Path, paths: &[PathBuf]) -> String {
    let text = prepare(paths).unwrap_err().to_string();
    text.replace(
        &folder.canonicalize().unwrap().display().to_string(),
        "FOLDER",
    )
}

#[test]
fn makes_and_replaces_a_file_and_leaves_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("list.json");
    for content in ["first, and longer", "second"] {
        write(&file(path.clone()), content.as_bytes()).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), content);
    }
    assert_eq!(names(folder.path()), ["list.json"]);
}

#[test]
fn reports_every_problem_before_any_work() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().canonicalize().unwrap().join(name);
    fs::create_dir(at("folder.json")).unwrap();
    fs::write(at("file"), "").unwrap();
    fs::write(at("kept.csv"), "kept").unwrap();
    let mut rights = fs::metadata(at("kept.csv")).unwrap().permissions();
    rights.set_readonly(true);
    fs::set_permissions(at("kept.csv"), rights).unwrap();
    let paths = [
        at("good.json"),
        at("bad.xyz"),
        at("nowhere/list.md"),
        at("file/list.md"),
        at("folder.json"),
        at("kept.csv"),
        at("./good.json"),
    ];
    insta::assert_snapshot!(problems(folder.path(), &paths), @"
    FOLDER/bad.xyz: the ending names no known format; use one of .json, .csv, .md, .html, .xlsx, .bcf, .ics, .vtt, .srt, .pdf
    FOLDER/nowhere/list.md: there is no folder FOLDER/nowhere; make it first
    FOLDER/file/list.md: there is no folder FOLDER/file; make it first
    FOLDER/folder.json: not a file; expected the name of a file to make or replace
    FOLDER/kept.csv: the file is read-only; choose another name or allow changes
    FOLDER/./good.json: asked for twice; name each file once
    ");
    assert_eq!(names(folder.path()), ["file", "folder.json", "kept.csv"]);
}

#[test]
fn good_targets_come_back_in_order_and_leave_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let paths = ["b.html", "a.CSV"].map(|name| folder.path().join(name));
    let targets = prepare(&paths).unwrap();
    assert_eq!(
        targets[0],
        Target {
            format: Format::Html,
            ..file(paths[0].clone())
        }
    );
    assert_eq!(
        targets[1],
        Target {
            format: Format::Csv,
            ..file(paths[1].clone())
        }
    );
    assert!(names(folder.path()).is_empty());
}

#[test]
fn a_dash_is_the_standard_output() {
    for (path, format) in [
        ("-", Format::Json),
        ("-.csv", Format::Csv),
        ("-.md", Format::Markdown),
    ] {
        let targets = prepare(&[PathBuf::from(path)]).unwrap();
        assert_eq!(
            targets,
            [Target {
                format,
                place: Destination::Stdout
            }]
        );
    }
    assert!(prepare(&[PathBuf::from("-.xyz")]).is_err());
    let twice = prepare(&[PathBuf::from("-"), PathBuf::from("-.md")]).unwrap_err();
    assert_eq!(
        twice.to_string(),
        "-.md: asked for twice; name each file once"
    );
}

#[cfg(unix)]
#[test]
fn a_link_stays_and_what_it_points_to_is_replaced_with_its_rights() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    fs::write(at("real.json"), "old").unwrap();
    fs::set_permissions(at("real.json"), fs::Permissions::from_mode(0o640)).unwrap();
    symlink("real.json", at("link.json")).unwrap();
    write(&file(at("link.json")), b"new").unwrap();
    assert!(fs::symlink_metadata(at("link.json")).unwrap().is_symlink());
    assert_eq!(fs::read_to_string(at("real.json")).unwrap(), "new");
    assert_eq!(
        fs::metadata(at("real.json")).unwrap().permissions().mode() & 0o777,
        0o640
    );
    let problems = problems(folder.path(), &[at("real.json"), at("link.json")]);
    assert!(problems.ends_with("link.json: asked for twice; name each file once"));
}

/// A write that is refused leaves the old file whole and no part beside it.
#[cfg(unix)]
#[test]
fn a_refused_write_keeps_the_old_file() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("list.json");
    fs::write(&path, "old").unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
    let error = write(&file(path.clone()), b"new").unwrap_err().to_string();
    assert!(
        error.contains("list.json: the file is read-only"),
        "{error}"
    );
    assert_eq!(fs::read_to_string(&path).unwrap(), "old");
    assert_eq!(names(folder.path()), ["list.json"]);
}
