"""Reads an exported file with a Python package and says what it found, one fact a line.

    python3 tests/cli/readers.py KIND FILE...

KIND is csv (the standard library), xlsx (openpyxl), ics (icalendar), bcf (bcf-client) or vtt
(webvtt-py). Leaves with 3 where the package is missing.
"""

import sys


def csv(path):
    import csv

    with open(path, encoding="utf-8-sig", newline="") as file:
        rows = list(csv.reader(file, strict=True))
    header, *items = rows
    assert all(len(row) == len(header) for row in items), "a row has another length"
    for item in items:
        cells = dict(zip(header, item))
        print("|".join(cells[key] for key in ("number", "place", "description", "standing", "due")))


def xlsx(path):
    import openpyxl

    book = openpyxl.load_workbook(path)
    results = openpyxl.load_workbook(path, data_only=True)
    print("sheets:", ", ".join(book.sheetnames))
    items = book["Items"]
    print("filter:", items.auto_filter.ref, "frozen:", items.freeze_panes)
    print("prints:", items.page_setup.orientation, items.print_title_rows, items.print_area)
    for rule in items.data_validations.dataValidation:
        print("choice:", rule.sqref, rule.formula1)
    kinds = {cell.data_type for row in items.iter_rows() for cell in row}
    print("kinds of cells:", " ".join(sorted(kinds)))
    print("charts:", len(book["Summary"]._charts))
    print("author:", book.properties.creator, "made:", book.properties.created)
    for row in items.iter_rows(min_row=2, values_only=True):
        print("|".join(str(row[at]) for at in (0, 1, 3, 8, 12, 13)))
    for row in results["Summary"].iter_rows(values_only=True):
        if isinstance(row[1], (int, float)) and row[1]:
            print("count:", row[0], row[1], row[2])


def ics(path):
    import icalendar

    with open(path, "rb") as file:
        calendar = icalendar.Calendar.from_ical(file.read())
    for task in calendar.walk("VTODO"):
        assert not task.errors, task.errors
        due = task.decoded("due") if "due" in task else None
        print("|".join(str(part) for part in (
            task["summary"], due, task["status"], task["percent-complete"], task["priority"])))
        print("  uid", task["uid"], "stamp", task.decoded("dtstamp").isoformat())
        for line in task["description"].split("\n"):
            print("  " + line)


def bcf(path):
    from pathlib import Path

    import bcf.bcfxml

    with bcf.bcfxml.load(Path(path)) as file:
        print("version", file.version.version_id)
        for guid, handler in sorted(
            file.topics.items(), key=lambda entry: entry[1].topic.index
        ):
            topic = handler.topic
            labels = topic.labels
            labels = labels if isinstance(labels, list) else labels.label
            snapshots = [len(view.snapshot or b"") > 0 for view in handler.viewpoints.values()]
            print("|".join(str(part) for part in (
                topic.title, topic.topic_status, topic.assigned_to, topic.due_date,
                ",".join(labels), "comments", len(handler.comments), "snapshots", snapshots)))


def vtt(path):
    import webvtt

    for cue in webvtt.read(path):
        print("|".join((cue.identifier, cue.start, cue.end, cue.text.replace("\n", " / "))))


try:
    for path in sys.argv[2:]:
        {"csv": csv, "xlsx": xlsx, "ics": ics, "bcf": bcf, "vtt": vtt}[sys.argv[1]](path)
except ModuleNotFoundError as error:
    print(error.name)
    sys.exit(3)
