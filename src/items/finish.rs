//! From items in the making to the proposed list: remedy, trade, severity, caution, confidence,
//! identity, evidence.

use super::confidence::{self, Around, Features};
use super::describe;
use super::draft::{Draft, Named};
use super::item::{
    Evidence, Item, Measurement, RemedySource, Severity, Standing, Status, TermEvidence,
};
use super::trade;
use super::walk::Walked;
use crate::cautions::{self, Region};
use crate::hexadecimal::hexadecimal;
use crate::lexicon::{How, Kind, Lexicon};
use crate::limits::{self, Yardstick};
use crate::speech::{Transcript, Word};
use crate::statements::reading::Reading;
use crate::time::Span;
use crate::workers::each_of_many;
use rustc_hash::FxHashMap;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::ops::Range;

/// Returns the finished items, numbered from 1 in spoken order and held against the limits, with what is doubtful
/// about each.
pub(crate) fn items(
    lexicon: &Lexicon,
    reading: &Reading,
    transcript: &Transcript,
    yardstick: &Yardstick,
    walked: &Walked,
) -> Vec<(Item, Features)> {
    let drafts = walked.drafts.iter().filter(|d| d.withdrawn.is_none());
    let doubt = confidence::doubt(reading);
    let mut last: Option<(usize, usize)> = None;
    let mut in_sentence: FxHashMap<usize, usize> = FxHashMap::default();
    for draft in drafts.clone() {
        *in_sentence.entry(draft.sentence).or_default() += 1;
    }
    let standing: Vec<(&Draft, Around)> = drafts
        .map(|draft| {
            let before = last.filter(|(place, _)| *place == draft.place);
            let before_it_here = before.map_or(0, |(_, items)| items);
            last = Some((draft.place, before_it_here + 1));
            let around = Around {
                place: walked.places.terms[draft.place],
                before_it_here,
                of_its_sentence: in_sentence[&draft.sentence] - 1,
                doubt,
            };
            (draft, around)
        })
        .collect();
    let made = each_of_many(&standing, |(draft, around)| {
        let mut item = item(lexicon, reading, transcript, walked, draft);
        item.limits = limits::check(&item, yardstick);
        (item, confidence::features(lexicon, reading, draft, *around))
    });
    let (made, mut features): (Vec<Item>, Vec<Features>) = made.into_iter().unzip();
    confidence::compare(&mut features);
    let mut seen = BTreeMap::new();
    made.into_iter()
        .zip(features)
        .zip(1..)
        .map(|((mut item, features), number)| {
            item.number = number;
            item.confidence = confidence::of(&features, lexicon.sureness());
            let twin: &mut u32 = seen.entry(item.id.clone()).or_insert(0);
            if *twin > 0 {
                item.id = digest(&format!("{} {twin}", item.id));
            }
            *twin += 1;
            (item, features)
        })
        .collect()
}

/// *Hot tap, fifty-five degrees*: of what is hot or cold, degrees are of temperature.
fn of_warmth(measured: Measurement, draft: &Draft) -> Measurement {
    let about = [&draft.element.text, &draft.defects[0].text];
    let warm = about.iter().any(|text| {
        text.split(' ').any(|word| {
            matches!(
                word,
                "hot" | "cold" | "warm" | "temperature" | "scald" | "scalding"
            )
        })
    });
    match measured.unit == "deg" && warm {
        true => Measurement {
            unit: "°C".into(),
            ..measured
        },
        false => measured,
    }
}

fn item(
    lexicon: &Lexicon,
    reading: &Reading,
    transcript: &Transcript,
    walked: &Walked,
    draft: &Draft,
) -> Item {
    let place = walked.places.visited[draft.place].name.clone();
    let evidence = evidence(lexicon, reading, transcript, draft, &place);
    let main = &draft.defects[0];
    let defect = main.term.map(|t| lexicon.defect(t));
    let usual = main
        .term
        .and_then(|d| lexicon.usual_remedy(d, draft.element.term));
    let spoken = describe::remedy(reading, transcript, draft);
    let (remedy, remedy_source) = match (spoken, usual) {
        (Some(words), _) => (Some(words), Some(RemedySource::Spoken)),
        (None, Some(term)) => (
            Some(lexicon.name(term).to_owned()),
            Some(RemedySource::Suggested),
        ),
        (None, None) => (None, None),
    };
    let signs = trade::Signs {
        said: draft.trade,
        spoken: draft.remedies.first().and_then(|(_, t)| *t),
        faults: draft.defects.iter().filter_map(|d| d.term).collect(),
        usual,
        element: draft.element.term,
        texts: draft.defects.iter().map(|d| d.text.as_str()).collect(),
        words: &draft.element.text,
        quote: &evidence.quote,
        place: &place,
        kind: &walked.places.visited[draft.place].kind,
    };
    let trade = trade::of(lexicon, &signs).map(|t| lexicon.name(t).to_owned());
    let severity = if draft.safety {
        Severity::Safety
    } else if draft.watch {
        Severity::Watch
    } else if draft.cosmetic {
        Severity::Finish
    } else {
        defect.and_then(|d| d.severity).unwrap_or(Severity::Repair)
    };
    let measurements = draft
        .measures
        .iter()
        .map(|&m| of_warmth(reading.measurements[m].clone(), draft))
        .collect();
    let recording = &transcript
        .recordings
        .iter()
        .find(|r| r.id == evidence.recording);
    let identity = format!(
        "{} {:?} {} {}",
        recording.map_or("", |r| r.sha256.as_str()),
        evidence
            .span
            .map_or_else(|| evidence.words.map(|w| w.0 as u64), |s| Some(s.start.0)),
        evidence.quote,
        draft.element.text
    );
    let mut item = Item {
        number: 0,
        id: digest(&identity),
        confidence: 0.0,
        position: (!draft.positions.is_empty()).then(|| draft.positions.join(", ")),
        element: draft.element.text.clone(),
        defect: describe::defect(lexicon, &draft.element, &draft.defects),
        description: describe::description(lexicon, reading, transcript, draft),
        count: draft.count.unwrap_or(1).max(1),
        measurements,
        limits: Vec::new(),
        remedy,
        remedy_source,
        trade,
        severity,
        caution: None,
        remarks: draft
            .remarks
            .iter()
            .map(|r| describe::clean(reading, transcript, r, &[]))
            .filter(|r| !r.is_empty())
            .collect(),
        hedged: draft.hedged,
        photo_wanted: draft.photo,
        status: Status::Proposed,
        photos: Vec::new(),
        standing: Standing::Open,
        history: Vec::new(),
        due: None,
        place,
        evidence,
    };
    item.caution = cautions::caution(lexicon, &item, Region::Elsewhere);
    item
}

fn digest(text: &str) -> String {
    hexadecimal(&Sha256::digest(text.as_bytes())[..8])
}

/// Returns when the tokens were said, from the first to the last timed word.
pub(crate) fn span(
    reading: &Reading,
    transcript: &Transcript,
    tokens: &Range<usize>,
) -> Option<Span> {
    reading.tokens[tokens.clone()]
        .iter()
        .filter_map(|t| transcript.words[t.word].span)
        .reduce(Span::cover)
}

/// Returns the words under `tokens`, as heard.
pub(crate) fn quote(reading: &Reading, transcript: &Transcript, tokens: &Range<usize>) -> String {
    match word_range(reading, transcript, tokens) {
        Some((from, to)) => transcript.words[from..to]
            .iter()
            .map(|w| w.text.as_str())
            .collect::<Vec<_>>()
            .join(" "),
        None => String::new(),
    }
}

fn word_range(
    reading: &Reading,
    transcript: &Transcript,
    tokens: &Range<usize>,
) -> Option<(usize, usize)> {
    let tokens = &reading.tokens[tokens.clone()];
    let last = tokens.last()?.word;
    Some((tokens.first()?.word, Word::end_of(&transcript.words, last)))
}

fn evidence(
    lexicon: &Lexicon,
    reading: &Reading,
    transcript: &Transcript,
    draft: &Draft,
    place: &str,
) -> Evidence {
    let words = word_range(reading, transcript, &draft.tokens);
    let recording = words.map_or(1, |(from, _)| transcript.words[from].recording);
    let mut terms = vec![TermEvidence {
        kind: "place".into(),
        name: place.into(),
        heard: place.into(),
        how: "carried".into(),
        score: 1.0,
    }];
    terms.push(term(
        lexicon,
        reading,
        transcript,
        Kind::Element,
        &draft.element,
        draft.element_carried,
    ));
    terms.extend(draft.defects.iter().map(|d| {
        term(
            lexicon,
            reading,
            transcript,
            Kind::Defect,
            d,
            draft.defect_carried,
        )
    }));
    Evidence {
        recording,
        span: span(reading, transcript, &draft.tokens),
        quote: quote(reading, transcript, &draft.tokens),
        words,
        terms,
        reasons: draft.reasons.clone(),
    }
}

fn term(
    lexicon: &Lexicon,
    reading: &Reading,
    transcript: &Transcript,
    kind: Kind,
    named: &Named,
    carried: bool,
) -> TermEvidence {
    let heard = word_range(reading, transcript, &named.tokens);
    let looked_again = heard.is_some_and(|(from, to)| {
        let mut heard = transcript.words[from..to].iter();
        heard.any(|word| word.meant.is_some())
    });
    let how = match (carried, named.term, named.how) {
        (true, _, _) => "carried",
        (_, None, _) => "own words",
        (_, _, How::SoundsLike { .. } | How::HeardAs) => "sounds like",
        _ if looked_again => "sounds like",
        _ => "exact",
    };
    TermEvidence {
        kind: if kind == Kind::Element {
            "element"
        } else {
            "defect"
        }
        .into(),
        name: named
            .term
            .map_or_else(|| named.text.clone(), |t| lexicon.name(t).to_owned()),
        heard: quote(reading, transcript, &named.tokens),
        how: how.into(),
        score: agreement(named.how),
    }
}

fn agreement(how: How) -> f32 {
    match how {
        How::Exact => 1.0,
        How::HeardAs => 0.9,
        How::SoundsLike { distance } => 1.0 - distance,
    }
}
