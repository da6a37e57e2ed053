//! What a case asks for, held against what was made of it.

use crate::case::{Case, Wanted};
use callover::items::{Item, Measurement, Over, Proposal, RemedySource};

/// Returns one line for each difference; none where all is as asked.
pub(crate) fn differences(case: &Case, proposal: &Proposal) -> Vec<String> {
    let mut out = Vec::new();
    for at in 0..case.items.len().max(proposal.items.len()) {
        match (case.items.get(at), proposal.items.get(at)) {
            (Some(wanted), Some(item)) => {
                let wrong = wrong_facts(wanted, item);
                if !wrong.is_empty() {
                    out.push(format!(
                        "item {}, wanted: {} (differs in {})",
                        at + 1,
                        wanted.line,
                        wrong.join(", ")
                    ));
                }
            }
            (Some(wanted), None) => out.push(format!(
                "item {}, wanted: {} (not made)",
                at + 1,
                wanted.line
            )),
            (None, _) => out.push(format!("item {} is not wanted", at + 1)),
        }
    }
    let walked: Vec<String> = proposal.places.iter().map(|p| p.name.clone()).collect();
    if case.places.as_ref().is_some_and(|places| *places != walked) {
        out.push(format!(
            "wanted other places: {:?}, walked: {walked:?}",
            case.places
        ));
    }
    for why in case
        .dropped
        .iter()
        .filter(|why| !proposal.unplaced.iter().any(|u| u.why == **why))
    {
        let whys: Vec<&str> = proposal.unplaced.iter().map(|u| u.why.as_str()).collect();
        out.push(format!(
            "nothing was dropped for: {why}; dropped for: {whys:?}"
        ));
    }
    out
}

/// Returns the items as lines, with all facts.
pub(crate) fn shown(proposal: &Proposal) -> Vec<String> {
    let line = |item: &Item| {
        let mut facts = vec![
            item.place.clone(),
            item.element.clone(),
            item.defect.clone(),
        ];
        let mut fact = |name: &str, value: String| facts.push(format!("{name}={value}"));
        fact("count", item.count.to_string());
        for measurement in &item.measurements {
            fact("measure", measured(measurement));
        }
        for (name, value) in [
            ("position", &item.position),
            ("remedy", &item.remedy),
            ("trade", &item.trade),
        ] {
            if let Some(value) = value {
                fact(name, value.clone());
            }
        }
        fact("severity", severity(item));
        for (name, is) in [
            ("spoken", item.remedy_source == Some(RemedySource::Spoken)),
            ("hedged", item.hedged),
            ("photo", item.photo_wanted),
            ("remarks", !item.remarks.is_empty()),
        ] {
            if is {
                facts.push(name.into());
            }
        }
        facts.join(" | ")
    };
    match proposal.items.as_slice() {
        [] => vec!["(nothing)".into()],
        items => items.iter().map(line).collect(),
    }
}

fn wrong_facts(wanted: &Wanted, item: &Item) -> Vec<String> {
    let mut wrong: Vec<String> = Vec::new();
    for (name, is) in [
        ("place", wanted.place == item.place),
        ("element", holds(&item.element, &wanted.element)),
        ("defect", holds(&item.defect, &wanted.defect)),
    ] {
        if !is {
            wrong.push(name.into());
        }
    }
    wrong.extend(wanted.facts.iter().filter(|fact| !has(item, fact)).cloned());
    wrong
}

fn has(item: &Item, fact: &str) -> bool {
    let within =
        |field: &Option<String>, words: &str| field.as_ref().is_some_and(|f| holds(f, words));
    match fact.split_once('=') {
        Some(("count", number)) => item.count.to_string() == number,
        Some(("measure", text)) => item.measurements.iter().any(|m| measured(m) == text),
        Some(("position", words)) => within(&item.position, words),
        Some(("remedy", words)) => within(&item.remedy, words),
        Some(("caution", words)) => within(&item.caution, words),
        Some(("remark", words)) => item.remarks.iter().any(|r| holds(r, words)),
        Some(("trade", name)) => item.trade.as_deref() == Some(name),
        Some(("severity", name)) => severity(item) == name,
        Some(("heard", how)) => item
            .evidence
            .terms
            .iter()
            .any(|t| t.kind != "place" && t.how == how),
        None => match fact {
            "no measure" => item.measurements.is_empty(),
            "no remedy" => item.remedy.is_none(),
            "no position" => item.position.is_none(),
            "no remark" => item.remarks.is_empty(),
            "spoken" => item.remedy_source == Some(RemedySource::Spoken),
            "suggested" => item.remedy_source == Some(RemedySource::Suggested),
            "hedged" => item.hedged,
            "sure" => !item.hedged,
            "photo" => item.photo_wanted,
            other => panic!("unknown fact: {other}"),
        },
        Some(_) => panic!("unknown fact: {fact}"),
    }
}

/// True where `text` holds all `words`, in any order, singular or plural; a word is held by one
/// that begins with it.
fn holds(text: &str, words: &str) -> bool {
    let text = text.to_lowercase();
    let heard: Vec<&str> = text.split(|c: char| !c.is_alphanumeric()).collect();
    let singular = |word: &str| word.strip_suffix('s').unwrap_or(word).to_owned();
    words
        .to_lowercase()
        .split_whitespace()
        .all(|w| heard.iter().any(|h| h.starts_with(&singular(w))))
}

fn severity(item: &Item) -> String {
    format!("{:?}", item.severity).to_lowercase()
}

fn measured(m: &Measurement) -> String {
    let about = if m.approximate { "~" } else { "" };
    let value = m
        .max
        .map_or(m.value.to_string(), |max| format!("{}-{max}", m.value));
    let over = m.over.as_ref().map_or(String::new(), extent);
    format!("{about}{value} {}{over}", m.unit)
}

fn extent(over: &Over) -> String {
    match over.unit.as_str() {
        "storey" | "width" | "height" | "length" => format!(" over {}", over.unit),
        unit => format!(" over {} {unit}", over.value),
    }
}
