//! The data of one limit, and of the words by which an item finds it.

/// What a row is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Role {
    /// A measurement is compared with it.
    #[default]
    Limit,
    /// Beyond this size another rule starts; never itself a defect.
    Trigger,
    /// A band of severity, not pass or fail.
    Class,
    /// How to look; never compared.
    Method,
}

/// What kind of document a limit stands in; this decides what may be said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Law where it has been adopted.
    Code,
    /// One way to comply, not the only one.
    StatutoryGuidance,
    /// Binds where the contract calls for it.
    Standard,
    /// Likewise.
    ModelSpecification,
    /// Binds homes with this provider's cover.
    WarrantyTolerance,
    /// A yardstick.
    PerformanceGuideline,
    /// A yardstick.
    GovernmentGuidance,
    /// A yardstick.
    IndustryGuide,
    /// What the parties to a contract agreed; in the user's own files.
    Contract,
}

/// How the figure was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// In the document, or a copy of it.
    Read,
    /// On a page that names the document.
    SecondHand,
    /// Not read at all.
    Memory,
}

/// Whether the source lets its limit be scaled to another length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ProRata {
    /// No, or it does not say.
    #[default]
    No,
    /// To shorter lengths.
    Shorter,
    /// To any length.
    Any,
}

/// The whole of something that a limit is tied to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whole {
    /// One storey.
    Storey,
    /// The full height.
    Height,
}

/// One published limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// Its stable name.
    pub id: String,
    /// What it is for.
    pub role: Role,
    /// What is measured, in the source's terms.
    pub element: String,
    /// Which of its sizes.
    pub quantity: String,
    /// Names of [`Subject`]s.
    pub on: Vec<String>,
    /// Names of [`Sense`]s.
    pub sense: Vec<String>,
    /// Places where it applies, as words of the place's name; empty for any.
    pub at: Vec<String>,
    /// Names of [`Condition`]s, all of which must hold.
    pub needs: Vec<String>,
    /// Least allowed, in `unit`.
    pub min: Option<f64>,
    /// Most allowed, in `unit`.
    pub max: Option<f64>,
    /// The bound itself is not allowed.
    pub strict: bool,
    /// `mm`, `in`, `mm/m`, `deg`, `°C`, `l/s`, `m²` or `%`.
    pub unit: String,
    /// The limit in words.
    pub words: String,
    /// The length it is tied to, in words.
    pub gauge: Option<String>,
    /// The same in millimetres.
    pub gauge_mm: Option<f64>,
    /// The whole that it is tied to.
    pub whole: Option<Whole>,
    /// Longest span that a rate in `mm/m` is for, in millimetres.
    pub longest_mm: Option<f64>,
    /// Whether it may be scaled.
    pub pro_rata: ProRata,
    /// What kind of document it stands in.
    pub kind: Kind,
    /// Where it applies: keys such as `england`; empty for everywhere (own files).
    pub jurisdiction: Vec<String>,
    /// The document.
    pub source: String,
    /// Its edition.
    pub edition: String,
    /// The place in it.
    pub clause: Option<String>,
    /// What the source says about where it applies.
    pub scope: Option<String>,
    /// How the figure was found.
    pub status: Status,
    /// No longer the edition in force, withdrawn, or its publisher is gone.
    pub superseded: bool,
    /// The page it was read on does not name its source.
    pub unattributed: bool,
    /// How far to trust it, in words.
    pub confidence: String,
    /// From the user's own file.
    pub own: bool,
}

/// The elements that rows are about.
#[derive(Debug, Clone, PartialEq)]
pub struct Subject {
    /// Its name in the files.
    pub name: String,
    /// How the elements are called, each as lowercase words with plurals folded.
    pub words: Vec<Vec<String>>,
    /// The [`Sense`] of a figure said of it without more.
    pub reads: Option<String>,
}

/// One of the sizes that can be out.
#[derive(Debug, Clone, PartialEq)]
pub struct Sense {
    /// Its name in the files.
    pub name: String,
    /// How it is spoken of.
    pub words: Vec<String>,
    /// The fault of being above the limit; `None` where that is no fault.
    pub above: Option<String>,
    /// The fault of being below it.
    pub below: Option<String>,
    /// It measures a departure from what is meant, so that the instrument's own error counts.
    pub deviation: bool,
    /// Over a longer length it is the sum of its parts.
    pub adds_up: bool,
    /// Smaller measurements are of something else.
    pub smallest_mm: Option<f64>,
    /// Larger ones are.
    pub largest_mm: Option<f64>,
    /// Measurements said with these words are of something else.
    pub unlike: Vec<String>,
}

/// What to conclude where nothing was said about a condition.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unsaid {
    /// It holds, as in any ordinary home.
    Holds,
    /// It does not.
    DoesNotHold,
    /// Nobody can tell.
    Ask,
}

/// What must have been said for a row to apply.
#[derive(Debug, Clone, PartialEq)]
pub struct Condition {
    /// Its name in the files: reads as what is the case.
    pub name: String,
    /// Words that show that it holds.
    pub said: Vec<String>,
    /// Words that show that it does not.
    pub unless: Vec<String>,
    /// What to conclude otherwise.
    pub unsaid: Unsaid,
    /// What to ask for.
    pub ask: Option<String>,
    /// Conditions of one choice leave no other case: an outcome that all share holds whichever is so.
    pub choice: Option<String>,
}
