//! dump
#![allow(clippy::print_stdout)]
#[path = "../keystrokes/agreement.rs"]
#[allow(dead_code)]
mod agreement;
#[path = "../understanding/tally.rs"]
#[allow(dead_code)]
mod tally;
use agreement::pair;
use callover::items::propose;
use callover::lexicon::{Kind, Lexicon};
use std::path::{Path, PathBuf};
use tally::{WalkRound, gold_files};
fn main() {
    let lexicon = Lexicon::load(&[]).unwrap();
    let mut heard: Option<PathBuf> = None;
    let mut args = std::env::args().skip(1);
    while let Some(a) = args.next() {
        if a == "--heard" {
            heard = args.next().map(PathBuf::from);
            continue;
        }
        for file in gold_files(Path::new(&a)).unwrap() {
            let wr = match &heard {
                Some(f) => match WalkRound::heard(&file, f) {
                    Ok(w) => w,
                    Err(_) => continue,
                },
                None => WalkRound::said(&file).unwrap(),
            };
            let p = propose(&lexicon, &wr.transcript);
            let pairs = pair(&wr.gold, &p.items);
            let items: Vec<_> = p.items.iter().enumerate().map(|(i, it)| {
                let g = pairs.iter().position(|x| *x == Some(i));
                let gr = g.map(|g| wr.gold[g].grade(it));
                serde_json::json!({"words": it.evidence.words, "place": it.place, "element": it.element, "defect": it.defect,
                  "quote": it.evidence.quote,
                  "terms": it.evidence.terms.iter().map(|t| (t.kind.clone(), t.name.clone(), t.heard.clone())).collect::<Vec<_>>(),
                  "gold": g.map(|g| wr.gold[g].place.clone()), "ok": gr.map(|g| (g.place, g.element, g.defect))})
            }).collect();
            let places: Vec<_> = p
                .places
                .iter()
                .map(|x| {
                    (
                        x.name.clone(),
                        x.kind.clone(),
                        lexicon
                            .find(Kind::Place, &x.name)
                            .map(|t| lexicon.name(t).to_owned()),
                    )
                })
                .collect();
            println!(
                "{}",
                serde_json::json!({"name": wr.name, "text": wr.transcript.words.iter().map(|w| w.text.clone()).collect::<Vec<_>>(), "items": items, "places": places})
            );
        }
    }
}
