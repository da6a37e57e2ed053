//! Words of a fault that say that a thing works: *the fan's running*, *smoke alarm chirps when you press it*.

use super::grammar::{Class, class};
use crate::lexicon::{Hit, Kind, Lexicon, Token};

/// Words that say that a thing works as often as that it does not: a fan that runs, a tap that runs
/// hot. They are a fault only where the lexicon names the element for them, or after *too*.
const WORKS_AS_WELL: &[&str] = &[
    "running",
    "runs",
    "run",
    "hot",
    "runs hot",
    "running hot",
    "loud",
    "open",
    "opens",
    "opening",
    "closes",
    "tight",
    "dry",
    "flat",
    "humming",
    "hums",
    "thick",
    "deep",
    "turned up",
    "on",
    "quiet",
    "stopped",
    "moving",
    "turning",
    "filling",
    "level",
    "isolated",
    "detached",
    "gone",
    "runs off",
    "come up",
    "noise",
    "blow",
    "blowing",
    "clicks",
    "wide",
    "go off",
    "goes off",
    "comes off",
];

/// Sounds and actions of devices that are meant to make them when tried.
#[rustfmt::skip]
const MEANT_TO: &[&str] = &[
    "chirps", "chirped", "beeps", "beeped", "bleeps", "bleeped", "trips", "tripped", "sounds",
    "sounded", "buzzes", "buzzed", "screams", "squeals", "reset", "resets", "reversed", "reverses",
];

/// *Smoke alarm **chirps when you press it***, *tripped correctly on the tester*.
fn answers_a_test(said: &str, after: &[&str]) -> bool {
    MEANT_TO.contains(&said)
        && match after {
            ["correctly" | "properly" | "fine" | "okay", ..] | ["all", "right", ..] => true,
            ["when" | "if", rest @ ..] => rest.iter().take(3).any(|word| {
                ["press", "push", "test", "tri", "ring", "rang"]
                    .iter()
                    .any(|tried| word.starts_with(tried))
            }),
            ["on", "the", what, ..] | ["on", what, ..] => {
                matches!(*what, "test" | "tester" | "button" | "block" | "meter")
            }
            ["first", "time", ..] | ["through", ..] => true,
            // "Tripped at nineteen milliseconds".
            ["at" | "in", figure, ..] => class(figure) == Class::Number,
            // "Trips like it should".
            ["like" | "as", "it" | "they", "should", ..] => true,
            _ => false,
        }
}

/// How a thing does what it does well: *spins **nicely***.
const WELL: &[&str] = &[
    "nicely",
    "beautifully",
    "perfectly",
    "sweetly",
    "smoothly",
    "lovely",
    "freely",
];

/// How well *come up* must befall a thing to be a fault of it: what is laid lifts, what is switched on lights.
const LIFTS: f32 = 0.5;

/// *Patio **falls away from the house***, *fire door **swings shut** by itself*: as it ought to.
fn as_it_ought(lexicon: &Lexicon, defect: &Hit, said: &str, after: &[&str], hits: &[Hit]) -> bool {
    let before = |h: &&Hit| h.kind == Kind::Element && h.tokens.end <= defect.tokens.start;
    let of = |name: &str| {
        let mut things = hits.iter().filter(before);
        things.any(|h| lexicon.name(h.term).contains(name))
    };
    let closes = ["swings shut", "shuts itself", "closes itself"].contains(&said);
    let falls = said == "falls away"
        && matches!(
            after,
            [
                "from",
                "the" | "your",
                "house" | "building" | "wall" | "property" | "walls",
                ..
            ]
        );
    let ground = [
        "patio", "path", "paving", "drive", "slab", "sill", "terrace", "step", "ground",
    ];
    let outside = || ground.iter().any(|name| of(name));
    // "Plug holds water", "restrictor catches at ninety".
    let holds = said.starts_with("hold")
        && said.ends_with("water")
        && (of("plug") || of("waste") || of("stopper"));
    let catches = said == "catches" && (of("restrictor") || of("latch") || of("hook"));
    let back = matches!(said, "snaps" | "springs") && after.first() == Some(&"back");
    (falls || said == "wet") && outside()
        || closes && (of("fire door") || of("gate"))
        || holds
        || catches
        || back
}

/// True where the words of a fault say that a thing works: *the fan's running*. What the next sentence says,
/// which begins at `end`, is another matter: *the door sticks. Lovely.*
pub(super) fn works(
    lexicon: &Lexicon,
    tokens: &[Token],
    end: usize,
    defect: &Hit,
    hits: &[Hit],
) -> bool {
    let said: Vec<&str> = tokens[defect.tokens.clone()]
        .iter()
        .map(|t| t.norm.as_str())
        .collect();
    let before = defect
        .tokens
        .start
        .checked_sub(1)
        .map_or("", |at| tokens[at].norm.as_str());
    let tried = tokens[defect.tokens.end..].iter().take(4).any(|t| {
        matches!(
            t.norm.as_str(),
            "push"
                | "press"
                | "lean"
                | "pull"
                | "touch"
                | "weight"
                | "step"
                | "stand"
                | "tug"
                | "shove"
        )
    });
    let after: Vec<&str> = tokens[defect.tokens.end..end.max(defect.tokens.end)]
        .iter()
        .take(5)
        .map(|t| t.norm.as_str())
        .collect();
    // "It won't pull the latch in" is no fan's fault.
    let pulls = matches!(said.last(), Some(&"pull" | &"draw"))
        && after
            .first()
            .is_some_and(|next| class(next) == Class::Determiner);
    let well = after.first().is_some_and(|next| WELL.contains(next))
        || after
            .iter()
            .any(|next| matches!(*next, "neatly" | "cleanly" | "tidily"));
    let well = well && before != "not" && !said.contains(&"not");
    // "Doesn't catch on the carpet", "showing all zones clear".
    let clears = said.last() == Some(&"catch") && matches!(after.first(), Some(&"on" | &"against"));
    // "The seam's showing all down the hallway".
    let all = matches!(
        after.get(1),
        Some(&"down" | &"along" | &"over" | &"round" | &"the" | &"across" | &"through")
    );
    let shows = said == ["showing"]
        && !all
        && matches!(
            after.first(),
            Some(&"all" | &"green" | &"clear" | &"nothing" | &"ready" | &"normal")
        );
    let said = said.join(" ");
    // "The extractor's running", but "keeps running".
    let on_and_on = matches!(
        after[..],
        ["all", "the", "time", ..]
            | ["constantly" | "continuously" | "nonstop", ..]
            | ["non", "stop", ..]
    );
    // "Parquet's come up", as against "the light's come up".
    let least = if said == "come up" { LIFTS } else { 1.0 };
    let runs = said == "running" && matches!(before, "'s" | "is" | "are" | "'re") && !on_and_on;
    pulls
        || runs
        || clears
        || shows
        || well
        || as_it_ought(lexicon, defect, &said, &after, hits)
        || answers_a_test(&said, &after)
        || WORKS_AS_WELL.contains(&said.as_str())
            && !tried
            && !on_and_on
            && !matches!(
                before,
                "too" | "very" | "really" | "always" | "constantly" | "keeps" | "still"
            )
            && !hits.iter().any(|h| {
                h.kind == Kind::Element
                    && h.tokens.end <= defect.tokens.start
                    && h.tokens.end + 6 > defect.tokens.start
                    && lexicon.befalls(defect.term, h.term) >= least
            })
}
