//! Words that say that a figure is asked for, not found: *should be*, *the limit is*, *required*.
//! The wordings are common practice, no source.

/// Which figures found are a fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Bound {
    /// Any other than the one asked for.
    Exactly,
    /// Smaller ones.
    AtLeast,
    /// Larger ones.
    AtMost,
}

/// Words that say that a figure is a requirement, just before it: *should be*, *the limit is*.
pub(super) const BEFORE_IT: &[(Bound, &[&str])] = &[
    (Bound::Exactly, &["should", "be"]),
    (Bound::Exactly, &["should", "be", "having"]),
    (Bound::Exactly, &["should", "have"]),
    (Bound::Exactly, &["should", "have", "been"]),
    (Bound::Exactly, &["needs", "to", "be"]),
    (Bound::Exactly, &["need", "to", "be"]),
    (Bound::Exactly, &["ought", "to", "be"]),
    (Bound::Exactly, &["wants", "to", "be"]),
    (Bound::Exactly, &["want", "to", "be"]),
    (Bound::Exactly, &["wants", "to", "see"]),
    (Bound::Exactly, &["supposed", "to", "be"]),
    (Bound::Exactly, &["meant", "to", "be"]),
    (Bound::Exactly, &["must", "be"]),
    (Bound::AtLeast, &["should", "manage"]),
    (Bound::AtLeast, &["should", "do"]),
    (Bound::AtLeast, &["should", "make"]),
    (Bound::AtLeast, &["ought", "to", "do"]),
    (Bound::AtLeast, &["ought", "to", "make"]),
    (Bound::AtLeast, &["wants", "to", "do"]),
    (Bound::AtLeast, &["needs", "to", "do"]),
    (Bound::AtLeast, &["needs", "to", "make"]),
    (Bound::Exactly, &["drawing", "'s"]),
    (Bound::Exactly, &["drawing", "is"]),
    (Bound::Exactly, &["asked", "for"]),
    (Bound::AtLeast, &["should", "get"]),
    (Bound::Exactly, &["should", "read"]),
    (Bound::Exactly, &["should", "give"]),
    (Bound::Exactly, &["should", "measure"]),
    (Bound::Exactly, &["has", "to", "be"]),
    (Bound::Exactly, &["have", "to", "be"]),
    (Bound::Exactly, &["want", "to", "see"]),
    (Bound::Exactly, &["i", "would", "want"]),
    (Bound::Exactly, WANT),
    (Bound::Exactly, THEY_WANT),
    (Bound::Exactly, WE_WANT),
    (Bound::Exactly, YOU_WANT),
    (Bound::Exactly, NEEDS),
    (Bound::Exactly, WANTS),
    (Bound::Exactly, SAYS),
    (Bound::AtMost, &["guidance", "stops", "at"]),
    (Bound::AtLeast, &["or", "better"]),
    (Bound::AtMost, LIMIT),
    (Bound::AtMost, MAXIMUM),
    (Bound::AtLeast, MINIMUM),
    (Bound::Exactly, &["asks", "for"]),
    (Bound::Exactly, &["asking", "for"]),
    (Bound::Exactly, &["calls", "for"]),
    (Bound::Exactly, &["requires"]),
    (Bound::Exactly, &["drawing", "says"]),
    (Bound::Exactly, &["spec", "says"]),
    (Bound::Exactly, &["spec", "is"]),
    (Bound::Exactly, &["specification", "says"]),
    (Bound::Exactly, &["specification", "is"]),
    (Bound::Exactly, &["requirement", "is"]),
    (Bound::Exactly, &["regs", "say"]),
    (Bound::Exactly, &["code", "is"]),
    (Bound::Exactly, &["code", "says"]),
    (Bound::AtLeast, &["minimum", "is"]),
    (Bound::AtLeast, &["minimum", "of"]),
    (Bound::AtMost, &["maximum", "is"]),
    (Bound::AtMost, &["maximum", "of"]),
    (Bound::AtMost, &["max", "is"]),
    (Bound::AtMost, &["tolerance", "is"]),
    (Bound::AtMost, &["limit", "is"]),
    (Bound::AtMost, &["limit", "'s"]),
    (Bound::AtMost, &["maximum", "'s"]),
    (Bound::AtMost, &["max", "'s"]),
    (Bound::AtMost, &["tolerance", "'s"]),
    (Bound::AtMost, &["allows"]),
    (Bound::AtMost, &["allowance", "is"]),
    (Bound::AtMost, &["allowance", "'s"]),
    (Bound::AtLeast, &["minimum", "'s"]),
    (Bound::Exactly, &["spec", "'s"]),
    (Bound::Exactly, &["code", "'s"]),
    (Bound::Exactly, &["requirement", "'s"]),
    (Bound::Exactly, &["target", "is"]),
    (Bound::Exactly, &["target", "'s"]),
    (Bound::Exactly, &["design", "is"]),
    (Bound::Exactly, &["design", "'s"]),
    (Bound::AtMost, &["not", "be", "more", "than"]),
    (Bound::AtMost, &["not", "be", "over"]),
    (Bound::AtMost, &["not", "exceed"]),
    (Bound::AtLeast, &["not", "be", "less", "than"]),
    (Bound::AtLeast, &["not", "be", "under"]),
    (Bound::AtLeast, &["not", "be", "below"]),
];

/// The same just behind it: *six is the max*, *a hundred's your limit*.
pub(super) const BEHIND_IT: &[(Bound, &[&str])] = &[
    (Bound::AtMost, &["is", "the", "max"]),
    (Bound::AtMost, &["is", "the", "maximum"]),
    (Bound::AtMost, &["is", "the", "most"]),
    (Bound::AtMost, &["is", "the", "limit"]),
    (Bound::AtMost, &["is", "the", "tolerance"]),
    (Bound::AtMost, &["is", "your", "limit"]),
    (Bound::AtMost, &["'s", "your", "limit"]),
    (Bound::AtMost, &["'s", "the", "limit"]),
    (Bound::AtMost, &["'s", "the", "max"]),
    (Bound::AtMost, &["'s", "the", "most"]),
    (Bound::AtMost, &["is", "allowed"]),
    (Bound::AtMost, &["'s", "allowed"]),
    (Bound::AtMost, &["allowed"]),
    (Bound::AtLeast, &["is", "the", "minimum"]),
    (Bound::AtLeast, &["is", "the", "least"]),
    (Bound::AtLeast, &["'s", "the", "minimum"]),
    (Bound::AtLeast, &["'s", "the", "least"]),
    (Bound::AtMost, &["'s", "the", "ceiling"]),
    (Bound::AtMost, &["is", "the", "ceiling"]),
    (Bound::AtMost, &["'s", "the", "cap"]),
    (Bound::AtMost, &["is", "the", "cap"]),
    (Bound::AtLeast, &["'s", "the", "floor"]),
    (Bound::AtLeast, &["is", "the", "figure"]),
    (Bound::AtLeast, &["'s", "the", "figure"]),
    (Bound::Exactly, &["'s", "wanted"]),
    (Bound::Exactly, &["is", "wanted"]),
    (Bound::Exactly, &["required"]),
    (Bound::Exactly, &["is", "the", "requirement"]),
    (Bound::Exactly, &["'s", "the", "requirement"]),
    (Bound::Exactly, &["is", "required"]),
    (Bound::Exactly, &["was", "promised"]),
    (Bound::Exactly, &["'s", "what", "i", "want"]),
    (Bound::Exactly, &["is", "what", "i", "want"]),
    (Bound::Exactly, &["should", "be", "there"]),
    (Bound::Exactly, &["designed"]),
    (Bound::Exactly, &["specified"]),
    (Bound::AtLeast, &["minimum"]),
    (Bound::AtLeast, &["min"]),
    (Bound::AtMost, &["maximum"]),
    (Bound::AtMost, &["max"]),
];

/// What is a requirement only with the figure right behind it: *I want three hundred*, but not *I want it
/// out by the fifth*.
pub(super) const RIGHT_BEHIND: &[&[&str]] = &[
    WANT, WANTS, NEEDS, SAYS, THEY_WANT, WE_WANT, YOU_WANT, LIMIT, MAXIMUM, MINIMUM,
];

/// *Legionella says sixty*: but a meter says what it found.
pub(super) const SAYS: &[&str] = &["says"];

const WANT: &[&str] = &["i", "want"];
const WANTS: &[&str] = &["wants"];
const NEEDS: &[&str] = &["needs"];
const THEY_WANT: &[&str] = &["they", "want"];
const WE_WANT: &[&str] = &["we", "want"];
const YOU_WANT: &[&str] = &["you", "want"];
const LIMIT: &[&str] = &["limit"];
const MAXIMUM: &[&str] = &["maximum"];
const MINIMUM: &[&str] = &["minimum"];
