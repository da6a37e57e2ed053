//! Words of a fault that tell none where they stand: urgency (*so high*), praise (*rock solid*), what
//! works (*the fan's running*).

use super::grammar::{Class, class, opener};
use super::sentence::Sentence;
use crate::lexicon::{Hit, Kind, Lexicon, Token};
use std::ops::Range;

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

/// *so high*, *high please*: how urgent it is. *rock solid*: praise. *weep pipes*: a verb that
/// opens its clause before a noun is part of the noun's name.
pub(super) fn not_a_fault(
    lexicon: &Lexicon,
    tokens: &[Token],
    sentence: &Sentence,
    defect: &Hit,
) -> bool {
    let Some(clause) = sentence
        .clauses
        .iter()
        .find(|c| c.tokens.contains(&defect.tokens.start))
    else {
        return false;
    };
    // "I'm checking for cracks", "looking for a leak": not found yet.
    let start = defect.tokens.start;
    let article =
        start > clause.tokens.start && class(&tokens[start - 1].norm) == Class::Determiner;
    let lead = start - usize::from(article);
    let said = |back: usize| {
        let at = lead
            .checked_sub(back)
            .filter(|at| *at >= clause.tokens.start);
        at.map_or("", |at| tokens[at].norm.as_str())
    };
    if said(1) == "for"
        && matches!(
            said(2),
            "checking" | "looking" | "check" | "look" | "feeling"
        )
    {
        return true;
    }
    // "Not painted yet": work still to come.
    let to_come = defect.tokens.end < clause.tokens.end
        && tokens[defect.tokens.end].norm == "yet"
        && defect.tokens.clone().any(|at| tokens[at].norm == "not");
    // "Not even going to write up the paint".
    let next = defect.tokens.end;
    let not_even = defect.tokens.len() == 2
        && tokens[next - 1].norm == "even"
        && clause.tokens.contains(&next)
        && !matches!(
            class(&tokens[next].norm),
            Class::Preposition | Class::Conjunction | Class::Adverb
        );
    // "Built-in to the left of the fireplace, its glass door rattles".
    let built_in = defect.tokens.len() == 2
        && tokens[defect.tokens.start].norm == "built"
        && (clause.tokens.start..defect.tokens.start)
            .all(|t| opener(&tokens[t].norm) || class(&tokens[t].norm) == Class::Determiner);
    // "Blinds aren't in yet".
    let to_come = to_come || tokens[next - 1].norm == "yet";
    if defect.tokens.len() > 1 || to_come {
        return to_come || not_even || built_in;
    }
    let at = defect.tokens.start;
    let word = tokens[at].norm.as_str();
    let before = at
        .checked_sub(1)
        .filter(|b| *b >= clause.tokens.start)
        .map_or("", |b| tokens[b].norm.as_str());
    let after = tokens
        .get(at + 1)
        .filter(|_| at + 1 < clause.tokens.end)
        .map_or("", |t| t.norm.as_str());
    // "Stick an extension on it": what is to be done.
    if word == "stick"
        && (at == clause.tokens.start || class(after) == Class::Determiner || after == "it")
    {
        return true;
    }
    let alone = at == clause.tokens.start || matches!(before, "so" | "a" | "it" | "priority");
    let urgency =
        matches!(word, "high" | "low" | "highs" | "lows") && (alone || clause.tokens.len() == 1);
    let opens = (clause.tokens.start..at)
        .all(|t| opener(&tokens[t].norm) || class(&tokens[t].norm) == Class::Number);
    let verb = lexicon.defect(defect.term).verb.iter().any(|v| v == word);
    // "Its high loop": an adjective.
    let adjective = matches!(word, "high" | "low")
        && class(before) == Class::Determiner
        && class(after) == Class::Open;
    // "Missing at high level".
    let level = matches!(word, "high" | "low") && after == "level";
    // "Gaps are three all round": told, not complained of.
    let told = matches!(word, "gap" | "gaps")
        && matches!(after, "is" | "are" | "'s")
        && tokens.get(at + 2).is_some_and(|t| {
            class(&t.norm) == Class::Number
                || matches!(
                    t.norm.as_str(),
                    "even" | "equal" | "consistent" | "good" | "clear" | "fine" | "right" | "there"
                )
        });
    // "Cold flow at the sink", "the hot isolator".
    let supply = matches!(word, "hot" | "cold")
        && matches!(
            after,
            "flow"
                | "tap"
                | "water"
                | "feed"
                | "supply"
                | "side"
                | "pipe"
                | "isolator"
                | "valve"
                | "main"
                | "outlet"
        );
    // "Only fault's the skirting".
    let only = word == "fault" && matches!(before, "only" | "one") && matches!(after, "is" | "'s");
    // "Rock the pan for me": what the other is to do.
    let asked = at == clause.tokens.start
        && matches!(
            word,
            "rock"
                | "rub"
                | "drop"
                | "slam"
                | "shake"
                | "rattle"
                | "bang"
                | "knock"
                | "pull"
                | "push"
        )
        && class(after) == Class::Determiner;
    // "That trips people", "put it as high", "something to be proud of".
    let people = word == "trips"
        && matches!(
            after,
            "people" | "you" | "me" | "somebody" | "someone" | "us" | "folk"
        );
    let graded = matches!(word, "high" | "low") && before == "as";
    let proud = word == "proud" && after == "of" && matches!(before, "be" | "is" | "so");
    // "And it's high", "resin bound".
    let rated = word == "high"
        && at + 1 == clause.tokens.end
        && (clause.tokens.start..at)
            .all(|t| matches!(tokens[t].norm.as_str(), "and" | "it" | "is" | "'s"));
    let material = word == "bound" && before == "resin" || word == "resin" && after == "bound";
    // "Hot enough to burn you", "with a nice clunk", "smells of new paint".
    let enough = before == "to" && at >= 2 && tokens[at - 2].norm == "enough";
    let sounds = matches!(word, "clunk" | "click" | "thud" | "hum" | "snap" | "smell")
        && matches!(
            before,
            "nice" | "lovely" | "good" | "satisfying" | "reassuring" | "solid"
        );
    let fresh = matches!(word, "smells" | "smell")
        && after == "of"
        && tokens[at + 2..clause.tokens.end.max(at + 2)]
            .iter()
            .take(2)
            .any(|t| {
                matches!(
                    t.norm.as_str(),
                    "paint"
                        | "new"
                        | "fresh"
                        | "coffee"
                        | "toast"
                        | "polish"
                        | "sawdust"
                        | "varnish"
                )
            });
    // "The cold tap's cold", "that's the saw cut", "asked about the squeak".
    let as_named =
        matches!(word, "hot" | "cold") && (clause.tokens.start..at).any(|t| tokens[t].norm == word);
    let saw_cut = word == "cut" && before == "saw";
    let asked_about = class(before) == Class::Determiner
        && at >= 2
        && tokens[at - 2].norm == "about"
        && (clause.tokens.start..at).any(|t| {
            matches!(
                tokens[t].norm.as_str(),
                "asked" | "worried" | "mentioned" | "told" | "asking"
            )
        });
    // "Bit cold in here".
    let weather = matches!(word, "cold" | "hot" | "warm" | "freezing")
        && matches!(after, "in" | "out" | "up")
        && tokens.get(at + 2).is_some_and(|t| t.norm == "here")
        && opens_clause(tokens, &clause.tokens, at);
    // "Tiling's smashing."
    let praise = word == "smashing" && (after.is_empty() || after == "job");
    // "Mark that", "so it's high", "a cleat up high".
    let noted = word == "mark" && matches!(after, "that" | "it" | "this" | "down" | "those");
    let so = at >= 3 && tokens[at - 3].norm == "so" && matches!(before, "'s" | "is");
    let noted = noted || word == "high" && (so || before == "up");
    let modifies = verb
        && opens
        && !after.is_empty()
        && class(after) == Class::Open
        && !word.ends_with("ed")
        && !word.ends_with("ing")
        && !after.ends_with("ed");
    // "Lean on it", "I'm leaning on it": done to try it.
    let tries = matches!(word, "lean" | "leaning" | "leaned")
        && matches!(after, "on" | "against")
        && (alone || opens || matches!(before, "i" | "we" | "you" | "'m"));
    // "The light's catching a ridge in the ceiling": that is how it is seen.
    let lit = matches!(word, "catching" | "catches")
        && (clause.tokens.start..at)
            .any(|t| matches!(tokens[t].norm.as_str(), "light" | "sun" | "torch"))
        && class(after) == Class::Determiner;
    // "I've moved into the bathroom".
    let went = matches!(word, "moved" | "gone" | "come")
        && (clause.tokens.start..at)
            .rev()
            .take(2)
            .any(|t| matches!(tokens[t].norm.as_str(), "i" | "we"));
    // "Dead quiet", "dead level".
    let very = word == "dead"
        && matches!(
            after,
            "quiet"
                | "level"
                | "straight"
                | "flat"
                | "square"
                | "plumb"
                | "right"
                | "easy"
                | "smooth"
                | "true"
                | "centre"
                | "flush"
                | "solid"
                | "tight"
                | "even"
                | "silent"
        );
    urgency
        || very
        || lit
        || went
        || tries
        || adjective
        || level
        || told
        || praise
        || supply
        || only
        || asked
        || enough
        || sounds
        || fresh
        || as_named
        || saw_cut
        || asked_about
        || weather
        || people
        || graded
        || proud
        || rated
        || material
        || noted
        || after == "solid"
        || modifies && defect.wording != "missing"
}

/// True where nothing but light words stands before a token in its clause: *bit **cold** in here*.
fn opens_clause(tokens: &[Token], clause: &Range<usize>, at: usize) -> bool {
    (clause.start..at).all(|t| {
        let word = tokens[t].norm.as_str();
        opener(word) || class(word) != Class::Open || matches!(word, "bit" | "freezing" | "really")
    })
}

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
            ["correctly" | "properly", ..] => true,
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
    let shows = said == ["showing"]
        && matches!(
            after.first(),
            Some(&"all" | &"green" | &"clear" | &"nothing" | &"ready" | &"normal")
        );
    let said = said.join(" ");
    // "The extractor's running", but "keeps running".
    let runs = said == "running" && matches!(before, "'s" | "is" | "are" | "'re");
    pulls
        || runs
        || clears
        || shows
        || well
        || as_it_ought(lexicon, defect, &said, &after, hits)
        || answers_a_test(&said, &after)
        || WORKS_AS_WELL.contains(&said.as_str())
            && !tried
            && !matches!(
                before,
                "too" | "very" | "really" | "always" | "constantly" | "keeps" | "still"
            )
            && !hits.iter().any(|h| {
                h.kind == Kind::Element
                    && h.tokens.end <= defect.tokens.start
                    && h.tokens.end + 6 > defect.tokens.start
                    && lexicon.befalls(defect.term, h.term) >= 1.0
            })
}
