//! The JSON list against its schema, and the schema against the published standard.

use super::super::{Format, JSON_SCHEMA, sample};
use super::*;
use crate::items::{Evidence, RemedySource, Severity, Standing, Status};
use serde_json::{Value, json};
use std::collections::BTreeSet;

fn schema() -> Value {
    serde_json::from_str(JSON_SCHEMA).unwrap()
}

fn export(document: &Document, options: &Options) -> Value {
    serde_json::from_slice(&Format::Json.bytes(document, options).unwrap()).unwrap()
}

fn validator() -> jsonschema::Validator {
    let options = jsonschema::options().with_draft(jsonschema::Draft::Draft202012);
    options
        .should_validate_formats(true)
        .build(&schema())
        .unwrap()
}

/// Returns what the schema holds against a list, as `path: message`.
fn complaints(list: &Value) -> Vec<String> {
    let errors = validator();
    errors
        .iter_errors(list)
        .map(|e| format!("{}: {e}", e.instance_path()))
        .collect()
}

/// Source: the meta-schema of JSON Schema 2020-12, as shipped in the `jsonschema` crate.
#[test]
fn the_schema_is_a_valid_schema() {
    assert!(jsonschema::draft202012::meta::is_valid(&schema()));
    assert_eq!(
        schema()["$schema"],
        "https://json-schema.org/draft/2020-12/schema"
    );
}

#[test]
fn every_export_satisfies_the_schema() {
    let sample = sample::document();
    let empty = Document {
        created: sample.created.clone(),
        ..Document::default()
    };
    let mut untimed = sample.clone();
    for item in &mut untimed.items {
        item.evidence.span = None;
    }
    for document in [&sample, &empty, &untimed] {
        for include_rejected in [None, Some(false), Some(true)] {
            let list = export(
                document,
                &Options {
                    include_rejected,
                    ..Options::default()
                },
            );
            assert_eq!(complaints(&list), Vec::<String>::new());
        }
    }
}

/// Every severity, status and remedy source that the program knows has its word in the schema.
#[test]
fn every_word_of_the_program_is_in_the_schema() {
    let mut document = sample::document();
    for severity in super::super::wording::SEVERITIES {
        for standing in Standing::ALL {
            document.items[0].standing = standing;
            let stored = serde_json::to_value(standing).unwrap();
            let wire = export(&document, &Options::default());
            assert_eq!(wire["items"][0]["standing"], stored);
            assert_eq!(complaints(&wire), [""; 0]);
        }
        for status in [Status::Proposed, Status::Confirmed, Status::Rejected] {
            for remedy_source in [
                None,
                Some(RemedySource::Spoken),
                Some(RemedySource::Suggested),
            ] {
                let item = &mut document.items[0];
                (item.severity, item.status, item.remedy_source) =
                    (severity, status, remedy_source);
                assert_eq!(complaints(&export(&document, &Options::default())), [""; 0]);
                let stored = serde_json::to_value(&document.items[0]).unwrap();
                let wire = &export(&document, &Options::default())["items"][0];
                for word in ["severity", "status", "remedy_source"] {
                    assert_eq!(
                        stored[word], wire[word],
                        "job file and list differ in {word}"
                    );
                }
            }
        }
    }
    assert_eq!(
        Severity::Watch as usize + 1,
        super::super::wording::SEVERITIES.len()
    );
}

/// Breaks the list in one way each, and expects the schema to say where.
#[test]
fn a_broken_list_fails() {
    type Break = fn(&mut Value);
    let breaks: [(&str, Break); 27] = [
        ("/schema", |l| l["schema"] = json!("callover-list/2")),
        ("/created", |l| l["created"] = json!("2 March 2026")),
        ("", |l| _ = l.as_object_mut().unwrap().remove("tool")),
        ("", |l| l["itmes"] = json!([])),
        ("/recordings/0/sha256", |l| {
            l["recordings"][0]["sha256"] = json!("abc")
        }),
        ("/recordings/0/duration_s", |l| {
            l["recordings"][0]["duration_s"] = json!(-1)
        }),
        ("/recordings/0/id", |l| l["recordings"][0]["id"] = json!(0)),
        ("/places/0/kind", |l| l["places"][0]["kind"] = json!("")),
        ("/places/0/visits/0/end_s", |l| {
            l["places"][0]["visits"][0]["end_s"] = Value::Null
        }),
        ("/items/0/number", |l| l["items"][0]["number"] = json!(0)),
        ("/items/0/number", |l| l["items"][0]["number"] = json!("1")),
        ("/items/0/id", |l| l["items"][0]["id"] = json!("")),
        ("/items/0/count", |l| l["items"][0]["count"] = json!(0)),
        ("/items/0/severity", |l| {
            l["items"][0]["severity"] = json!("major")
        }),
        ("/items/0/status", |l| {
            l["items"][0]["status"] = json!("done")
        }),
        ("/items/0/confidence", |l| {
            l["items"][0]["confidence"] = json!(1.01)
        }),
        ("/items/0/remedy_source", |l| {
            l["items"][0]["remedy_source"] = json!("guessed")
        }),
        ("/items/0/start_s", |l| {
            l["items"][0]["start_s"] = json!("0:46")
        }),
        ("/items/0", |l| {
            _ = l["items"][0].as_object_mut().unwrap().remove("caution")
        }),
        ("/items/0/extra", |l| l["items"][0]["extra"] = json!(1)),
        ("/items/1/limits/0/verdict", |l| {
            l["items"][1]["limits"][0]["verdict"] = json!("fail")
        }),
        ("/details/0/key", |l| l["details"][0]["key"] = json!("")),
        ("/items/0/standing", |l| {
            l["items"][0]["standing"] = json!("done")
        }),
        ("/items/0/due", |l| {
            l["items"][0]["due"] = json!("30 March 2026")
        }),
        ("/items/4/history/0/date", |l| {
            l["items"][4]["history"][0]["date"] = json!("soon")
        }),
        ("/items/4/history/0/end_s", |l| {
            l["items"][4]["history"][0]["end_s"] = Value::Null
        }),
        ("/items/1/measurements/0/value", |l| {
            l["items"][1]["measurements"][0]["value"] = Value::Null;
        }),
    ];
    let good = export(&sample::document(), &Options::default());
    for (place, breaks) in breaks {
        let mut list = good.clone();
        breaks(&mut list);
        let complaints = complaints(&list);
        // An unexpected name is complained about at the object that holds it.
        let holder = place.strip_suffix("/extra").unwrap_or(place);
        let found = complaints
            .iter()
            .any(|c| c.starts_with(&format!("{holder}: ")));
        assert!(found, "{place}: {complaints:?}");
    }
}

/// A list of the time before visits were known has none of their fields, and stays valid.
#[test]
fn fields_added_within_the_version_may_be_missing() {
    let mut list = export(&sample::document(), &Options::default());
    for item in list["items"].as_array_mut().unwrap() {
        let item = item.as_object_mut().unwrap();
        for added in ["standing", "history", "due"] {
            assert!(item.remove(added).is_some());
        }
    }
    for detail in list["details"].as_array_mut().unwrap() {
        assert!(detail.as_object_mut().unwrap().remove("key").is_some());
    }
    assert_eq!(complaints(&list), [""; 0]);
}

/// The sample uses every property that the schema knows, and the schema describes each one.
#[test]
fn the_schema_describes_every_field() {
    let schema = schema();
    let list = export(&sample::document(), &Options::default());
    let item_paths = [
        ("", "/properties"),
        ("/recordings/0", "/$defs/recording/properties"),
        ("/details/0", "/$defs/detail/properties"),
        ("/places/0", "/$defs/place/properties"),
        ("/places/0/visits/0", "/$defs/visit/properties"),
        ("/items/0", "/$defs/item/properties"),
        ("/items/1/measurements/0", "/$defs/measurement/properties"),
        ("/items/1/measurements/0/over", "/$defs/over/properties"),
        ("/items/1/limits/0", "/$defs/limit/properties"),
        ("/items/1/heard/0", "/$defs/heard/properties"),
        ("/items/4/history/0", "/$defs/seen/properties"),
        ("/unplaced/0", "/$defs/unplaced/properties"),
    ];
    for (in_list, in_schema) in item_paths {
        let keys = |value: Option<&Value>| -> BTreeSet<String> {
            value
                .unwrap()
                .as_object()
                .unwrap()
                .keys()
                .cloned()
                .collect()
        };
        assert_eq!(
            keys(list.pointer(in_list)),
            keys(schema.pointer(in_schema)),
            "{in_schema}"
        );
        for (name, property) in schema.pointer(in_schema).unwrap().as_object().unwrap() {
            let told = property["description"]
                .as_str()
                .is_some_and(|d| d.len() > 10);
            assert!(told, "{in_schema}/{name} has no description");
        }
    }
}

#[test]
fn keeps_rejected_items_with_their_status_unless_told_otherwise() {
    let statuses = |include_rejected| -> Vec<String> {
        let list = export(
            &sample::document(),
            &Options {
                include_rejected,
                ..Options::default()
            },
        );
        let items = list["items"].as_array().unwrap();
        items
            .iter()
            .map(|item| item["status"].as_str().unwrap().to_string())
            .collect()
    };
    assert_eq!(
        statuses(None).iter().filter(|s| *s == "rejected").count(),
        1
    );
    assert_eq!(statuses(Some(false)).len(), 7);
}

#[test]
fn rounds_seconds_to_the_millisecond() {
    let list = export(&sample::document(), &Options::default());
    assert_eq!(list["recordings"][0]["duration_s"], json!(412.3));
    assert_eq!(list["items"][1]["start_s"], json!(46.0));
    assert_eq!(list["items"][1]["heard"][0]["score"], json!(0.83));
    assert_eq!(list["items"][1]["confidence"], json!(0.931));
}

#[test]
fn any_text_comes_back_as_it_was() {
    let mut document = sample::document();
    let text = "quotes \" and \\ and \u{0} and \u{2028} and 😀";
    document.items[0].evidence = Evidence {
        quote: text.to_string(),
        ..document.items[0].evidence.clone()
    };
    let list = export(&document, &Options::default());
    assert_eq!(list["items"][0]["quote"], text);
    assert_eq!(complaints(&list), [""; 0]);
}

#[test]
fn shows_one_item_in_full() {
    let mut document = sample::document();
    document.items = vec![document.items[1].clone()];
    document.places.truncate(2);
    document.recordings.truncate(1);
    let list = String::from_utf8(Format::Json.bytes(&document, &Options::default()).unwrap());
    // The version changes with every release; the snapshot should not.
    insta::assert_snapshot!(list.unwrap().replace(TOOL, "[tool]"), @r#"
    {
      "schema": "callover-list/1",
      "title": "Plot 14, Larch Row: walk-round before handover",
      "created": "2026-03-02T17:05:00Z",
      "tool": "[tool]",
      "details": [
        {
          "key": "inspector",
          "label": "Inspected by",
          "value": "R. Example"
        },
        {
          "key": "weather",
          "label": "Weather",
          "value": "dry, 9 °C"
        }
      ],
      "recordings": [
        {
          "id": 1,
          "file": "walk-round 1.m4a",
          "sha256": "0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f",
          "duration_s": 412.3,
          "speech_s": 301.2
        }
      ],
      "places": [
        {
          "name": "front elevation",
          "kind": "elevation",
          "visits": [
            {
              "recording": 1,
              "start_s": 3.0,
              "end_s": 24.0
            }
          ]
        },
        {
          "name": "hallway",
          "kind": "room",
          "visits": [
            {
              "recording": 1,
              "start_s": 24.9,
              "end_s": 61.0
            },
            {
              "recording": 1,
              "start_s": 100.0,
              "end_s": 121.5
            }
          ]
        }
      ],
      "items": [
        {
          "number": 2,
          "id": "000000000181ffdc",
          "place": "hallway",
          "position": "foot of the stairs",
          "element": "newel post",
          "defect": "out of plumb",
          "description": "The newel post at the foot of the stairs is out of plumb by 19 mm over one storey.",
          "count": 1,
          "measurements": [
            {
              "value": 19.0,
              "max": null,
              "unit": "mm",
              "over": {
                "value": 1.0,
                "unit": "storey"
              },
              "spoken": "nineteen millimetres over the storey",
              "approximate": false
            }
          ],
          "limits": [
            {
              "id": "sample-plumb-storey",
              "verdict": "outside",
              "why": "19 mm is more than the 10 mm that the sample limit allows over a storey"
            }
          ],
          "remedy": "reset the newel post plumb and refix it",
          "remedy_source": "suggested",
          "trade": "joiner",
          "severity": "repair",
          "caution": null,
          "remarks": [],
          "hedged": false,
          "photo_wanted": false,
          "recording": 1,
          "start_s": 46.0,
          "end_s": 52.1,
          "quote": "the new will post is out of plumb nineteen millimetres over the storey",
          "heard": [
            {
              "kind": "element",
              "name": "newel post",
              "heard": "new will post",
              "how": "sounds like",
              "score": 0.83
            },
            {
              "kind": "defect",
              "name": "out of plumb",
              "heard": "out of plumb",
              "how": "exact",
              "score": 1.0
            }
          ],
          "reasons": [
            "a newel post belongs in a hallway"
          ],
          "confidence": 0.931,
          "status": "proposed",
          "photos": [],
          "standing": "open",
          "history": [],
          "due": null
        }
      ],
      "unplaced": [
        {
          "recording": 1,
          "start_s": 12.0,
          "end_s": 15.5,
          "quote": "mind the puddle there",
          "why": "no defect named"
        },
        {
          "recording": 2,
          "start_s": null,
          "end_s": null,
          "quote": "insulation looks good and even",
          "why": "said to be in order"
        }
      ]
    }
    "#);
}
