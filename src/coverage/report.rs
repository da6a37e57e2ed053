//! The report in a few lines of text.

use super::Coverage;

/// How many places a line names.
const MOST_PLACES: usize = 5;
/// How many usual things are named of a place.
const MOST_ELEMENTS: usize = 3;

/// Returns the report, one line a subject; empty where all was reached.
pub fn text(coverage: &Coverage) -> String {
    let mut lines = Vec::new();
    let mut line = |lead: &str, names: Vec<String>| {
        if !names.is_empty() {
            lines.push(format!("  {lead}: {}", shortened(&names)));
        }
    };
    let expected = if coverage.planned {
        "planned and not visited"
    } else {
        "usual in a home and not visited"
    };
    line(expected, coverage.never_visited.clone());
    line("visited, and nothing said", coverage.nothing_said.clone());
    let missed = coverage.not_mentioned.iter().map(|(place, elements)| {
        let elements: Vec<_> = elements
            .iter()
            .take(MOST_ELEMENTS)
            .map(String::as_str)
            .collect();
        format!("{place} ({})", elements.join(", "))
    });
    line("usually looked at, not mentioned", missed.collect());
    for total in &coverage.miscounted {
        let at = total
            .span
            .map_or(String::new(), |span| format!(" at {}", span.start));
        lines.push(format!(
            "  counted aloud{at}: {}, where the list has {} (\"{}\")",
            total.said, total.listed, total.quote
        ));
    }
    if coverage.unused_words > 0 {
        let share = 100.0 * coverage.unused_words as f64 / coverage.said_words.max(1) as f64;
        let seconds = coverage
            .unused_s
            .map_or(String::new(), |s| format!("{s:.0} s of speech, "));
        lines.push(format!(
            "  made no item: {seconds}{} of {} words ({share:.0} %)",
            coverage.unused_words, coverage.said_words
        ));
    }
    if !coverage.uncertain.is_empty() {
        let numbers: Vec<_> = coverage.uncertain.iter().map(u32::to_string).collect();
        lines.push(format!("  least certain items: {}", numbers.join(", ")));
    }
    if lines.is_empty() {
        return String::new();
    }
    format!("coverage:\n{}", lines.join("\n"))
}

/// Returns the names, the rest of a long row counted.
fn shortened(names: &[String]) -> String {
    let shown: Vec<_> = names.iter().take(MOST_PLACES).map(String::as_str).collect();
    let more = names.len() - shown.len();
    let rest = if more > 0 {
        format!(" and {more} more")
    } else {
        String::new()
    };
    shown.join(", ") + &rest
}
