//! What the sound-alike search finds and what it leaves alone, on the embedded lexicon.

use super::*;
use std::sync::LazyLock;

static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::builtin().expect("sound files"));

const KINDS: [Kind; 4] = [Kind::Place, Kind::Element, Kind::Defect, Kind::Remedy];

/// Trade words as a recogniser may write them, with the term that was said. Those marked with a star
/// were written by a recogniser for synthetic voices; the others are invented. One person wrote
/// both sides: a direction, not a score.
const MISHEARD: &[(&str, &str)] = &[
    ("artitrot", "architrave"), // *
    ("downpup", "downpipe"),    // *
    ("see lent", "sealant"),
    ("plent", "plinth"),           // *
    ("plins", "plinth"),           // *
    ("windward board", "window board"), // *
    ("the new will post", "newel post"), // *
    ("scirting", "skirting board"), // *
    ("bone pipe", "downpipe"),      // *
    ("ladder unit", "larder unit"), // *
    ("architect rave", "architrave"),
    ("archytrave", "architrave"),
    ("arkitraves", "architrave"),
    ("skerting", "skirting board"),
    ("skirtin board", "skirting board"),
    ("sofit", "soffit"),
    ("soffet", "soffit"),
    ("fasher", "fascia"),
    ("fayshia", "fascia"),
    ("mastik", "sealant"),
    ("masstick", "sealant"),
    ("bolustrade", "balustrade"),
    ("ballastrade", "balustrade"),
    ("plaster bored", "plasterboard"),
    ("escushion", "escutcheon"),
    ("escutchin", "escutcheon"),
    ("radyator", "radiator"),
    ("raidiator", "radiator"),
    ("fermostat", "thermostat"),
    ("lintal", "lintel"),
    ("lintle", "lintel"),
    ("gullet", "gully"),
    ("soak away", "soakaway"),
    ("soke way", "soakaway"),
    ("corving", "coving"),
    ("coaving", "coving"),
    ("cornish", "cornice"),
    ("isillator", "isolator"),
    ("extracter fan", "extractor fan"),
    ("extra fan", "extractor fan"),
    ("cubboard", "cupboard"),
    ("work tob", "worktop"),
    ("walk top", "worktop"),
    ("shower try", "shower tray"),
    ("trikkle vent", "trickle vent"),
    ("trick event", "trickle vent"),
    ("floor screened", "screed"),
    ("baluster aid", "balustrade"),
    ("hand rale", "handrail"),
    ("hand reel", "handrail"),
    ("spandle", "spindle"),
    ("spindel", "spindle"),
    ("loft hat", "loft hatch"),
    ("loft hutch", "loft hatch"),
    ("insalation", "insulation"),
    ("installation roll", "insulation"),
    ("deep sea", "dpc"),
    ("bargebored", "barge board"),
    ("efferescence", "efflorescence"),
    ("a floor essence", "efflorescence"),
    ("consumer you knit", "consumer unit"),
    ("consumer units lid", "consumer unit"),
    ("down lighter", "downlight"),
    ("stop cork", "stopcock"),
    ("stop clock", "stopcock"),
    ("cistearn", "cistern"),
    ("system lid", "cistern"),
    ("patress box", "pattress"),
    ("water clothes it", "wc"),
];

/// Everyday talk on a walk-round that names nothing wrong. Invented.
const EVERYDAY: &[&str] = &[
    "right then let's have a look at this one",
    "I was here last week with the site manager and he said it would be done by Friday",
    "it's a lovely day out there now the rain has stopped",
    "hang on a minute I just need to find my pen",
    "the people next door have already moved in I think",
    "I'll come back to that one later if there is time",
    "so that's all good nothing to report",
    "we started at nine and it is nearly half past ten",
    "my daughter has the same one at home and she loves it",
    "did you remember to bring the keys",
    "no I left them in the car this morning",
    "the phone keeps ringing I should probably answer that",
    "they told me the family wants to be in before Christmas",
    "that was quick I thought it would take the whole afternoon",
    "could you hold this for me please while I write it down",
    "sorry about that I had to take a call from the office",
    "I can't hear you with all that noise going on",
    "mind your head as you come through",
    "there must be thirty of these on the estate by now",
    "anyway where was I oh yes",
    "I will send you a copy of the report tomorrow evening",
    "have you got any questions before we carry on",
    "the children next door are playing football again",
    "let me just think about that for a second",
    "yes I agree with what you said about the money",
    "it might be different on the other side of the street",
    "nobody knows why they did it that way",
    "we had a similar problem in another house last year",
    "I don't believe there is anything else worth saying here",
    "thank you very much for coming along today",
    "she asked whether the heating would be on at the weekend",
    "there's somebody parking a van outside",
    "a couple of minutes more and then we will stop for lunch",
    "I was going to say something but I forgot what it was",
    "usually they are better than this I have to admit",
    "let's keep going we are nearly finished",
    "the weather forecast says it will brighten up later",
    "what time does the next appointment begin",
    "he reckons it will cost them about four thousand pounds",
    "I've been doing this job for twenty years and never seen that",
];

/// Returns the sound-alike hits of a text: name, words, distance.
fn alike(text: &str, limit: f32) -> Vec<(String, String, f32)> {
    let words: Vec<Word> = text
        .split_whitespace()
        .map(|text| Word {
            text: text.to_owned(),
            recording: 1,
            span: None,
            probability: 1.0,
            line_end: false,
        })
        .collect();
    let tokens = LEXICON.tokens(&words);
    let hits = LEXICON.sounds_like(&tokens, 0..tokens.len(), &KINDS, limit);
    let shown = |hit: Hit| {
        let heard: Vec<_> = tokens[hit.tokens.clone()].iter().map(|token| token.norm.as_str()).collect();
        let How::SoundsLike { distance } = hit.how else { panic!("{hit:?}") };
        (LEXICON.name(hit.term).to_owned(), heard.join(" "), distance)
    };
    hits.into_iter().map(shown).collect()
}

#[test]
#[ignore]
fn explore() {
    for limit in [0.2, 0.25, 0.3, 0.34, 0.4, 0.45, 0.5] {
        let (mut kept, mut first) = (0, 0);
        for (heard, term) in MISHEARD {
            let hits = alike(heard, limit);
            let at = hits.iter().position(|hit| hit.0 == *term);
            kept += usize::from(at.is_some());
            first += usize::from(at == Some(0) || at.is_some_and(|at| hits[at].2 == hits[0].2));
            if limit == 0.4 && at != Some(0) {
                println!("{heard} -> {term}: {at:?} {:?}", &hits[..hits.len().min(4)]);
            }
        }
        let false_hits: Vec<_> = EVERYDAY.iter().flat_map(|text| alike(text, limit)).collect();
        println!("limit {limit}: kept {kept} first {first} of {}; false {}", MISHEARD.len(), false_hits.len());
        if limit <= 0.4 { println!("{:?}", &false_hits[..false_hits.len().min(12)]); }
    }
}
