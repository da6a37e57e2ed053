//! The list as Markdown that also reads well as plain text.

use super::document::{Document, Group, GroupKey, Grouping};
use super::error::ExportError;
use super::wording::{
    SEVERITIES, capitalised, counted, created, heard_at, length, measurement, one_line,
    place_heading, severity_meaning, severity_word, short_name,
};
use super::{Options, TOOL};
use crate::items::{Item, RemedySource, Status};

/// Returns the list: head, summary, items divided as asked, ticks by trade, what made no item.
pub(super) fn bytes(document: &Document, options: &Options) -> Result<Vec<u8>, ExportError> {
    let include_rejected = options.include_rejected.unwrap_or(false);
    let items = document.by_number(include_rejected);
    let mut page = Page::default();
    head(&mut page, document, &items, &created(document)?);
    summary(&mut page, &items);
    for group in document.groups(options.by, include_rejected) {
        page.block(format!("## {}", escaped(&group.key.heading())));
        for item in &group.items {
            item_blocks(&mut page, document, &group, item);
        }
    }
    let without = document.places_without_items(include_rejected);
    if !without.is_empty() {
        let names: Vec<String> = without
            .iter()
            .map(|p| escaped(&place_heading(&p.name)))
            .collect();
        page.block(format!(
            "Also visited, with nothing on this list: {}.",
            names.join(", ")
        ));
    }
    ticks(&mut page, document, options.by, include_rejected);
    said_but_not_listed(&mut page, document);
    recordings(&mut page, document);
    what_this_list_is(&mut page);
    Ok(page.finish())
}

/// Blocks of text, a blank line between each two.
#[derive(Default)]
struct Page {
    blocks: Vec<String>,
}

impl Page {
    fn block(&mut self, text: String) {
        self.blocks.push(text);
    }

    /// Adds a list, or nothing where there are no lines.
    fn list(&mut self, lines: Vec<String>) {
        if !lines.is_empty() {
            let lines: Vec<String> = lines.into_iter().map(|line| format!("- {line}")).collect();
            self.block(lines.join("\n"));
        }
    }

    fn finish(self) -> Vec<u8> {
        let mut text = self.blocks.join("\n\n");
        text.push('\n');
        text.into_bytes()
    }
}

fn head(page: &mut Page, document: &Document, items: &[&Item], created: &str) {
    page.block(format!("# {}", escaped(&document.title)));
    let unconfirmed = items
        .iter()
        .filter(|item| item.status == Status::Proposed)
        .count();
    if unconfirmed > 0 {
        page.block(format!(
            "**Draft: {unconfirmed} of {} not yet confirmed by the inspector. Each of them is \
             marked.**",
            counted(items.len(), "item", "items"),
        ));
    }
    let mut lines = vec![format!("List made: {}", escaped(created))];
    let details = document.details.iter();
    lines.extend(details.map(|d| format!("{}: {}", escaped(&d.label), escaped(&d.value))));
    page.list(lines);
}

fn summary(page: &mut Page, items: &[&Item]) {
    page.block("## Summary".to_string());
    let rows: Vec<[String; 3]> = SEVERITIES
        .iter()
        .map(|&severity| {
            let count = items
                .iter()
                .filter(|item| item.severity == severity)
                .count();
            let meaning = severity_meaning(severity).to_string();
            [
                capitalised(severity_word(severity)),
                count.to_string(),
                meaning,
            ]
        })
        .chain([["All".to_string(), items.len().to_string(), String::new()]])
        .collect();
    page.block(table(["Severity", "Items", "Meaning"], &rows));
    let safety = items
        .iter()
        .filter(|item| item.severity == crate::items::Severity::Safety);
    page.list(
        safety
            .map(|item| {
                let place = place_heading(&item.place);
                let caution = item.caution.as_deref().unwrap_or_default();
                let text = format!("{place}: {} {caution}", item.description);
                format!("**Safety, item {}.** {}", item.number, escaped(&text))
            })
            .collect(),
    );
}

/// Adds one item: a line with its number and sentence, then what is known of it.
fn item_blocks(page: &mut Page, document: &Document, group: &Group<'_>, item: &Item) {
    let mark = match item.status {
        Status::Proposed => " *(not yet confirmed)*",
        Status::Confirmed => "",
        Status::Rejected => " *(rejected)*",
    };
    // Not a Markdown list: its numbers would be counted anew where the list skips one.
    page.block(format!(
        "**{}. {}**{mark}",
        item.number,
        escaped(&item.description)
    ));
    let mut lines = Vec::new();
    let mut line = |label: &str, text: &str| {
        if !text.trim().is_empty() {
            lines.push(format!("{label}: {}", escaped(text)));
        }
    };
    if !matches!(group.key, GroupKey::Place(_)) {
        line("Place", &place_heading(&item.place));
    }
    line("Where", item.position.as_deref().unwrap_or_default());
    line("What", &short_name(item));
    if item.count > 1 {
        line("How many", &item.count.to_string());
    }
    for m in &item.measurements {
        line("Measured", &measurement(m));
    }
    for limit in &item.limits {
        line("Limit", &format!("{}; {}", limit.verdict, limit.why));
    }
    let label = match item.remedy_source {
        Some(RemedySource::Suggested) => "To put right (suggested)",
        _ => "To put right",
    };
    line(label, item.remedy.as_deref().unwrap_or_default());
    if !matches!(group.key, GroupKey::Trade(_)) {
        line("Trade", item.trade.as_deref().unwrap_or_default());
    }
    line("Severity", severity_word(item.severity));
    line("Caution", item.caution.as_deref().unwrap_or_default());
    line("Remark", &item.remarks.join("; "));
    if item.hedged {
        line("Certainty", "the inspector was not certain");
    }
    if !item.photos.is_empty() {
        line("Photos", &item.photos.join(", "));
    } else if item.photo_wanted {
        line("Photos", "asked for, none attached");
    }
    let at = heard_at(document, item.evidence.recording, item.evidence.span);
    line("Heard", &heard(at, &item.evidence.quote));
    if item.status == Status::Proposed {
        line(
            "Confidence",
            &format!("{:.0} in 100", item.confidence * 100.0),
        );
    }
    page.list(lines);
}

/// Returns where and what was heard, of which either can be missing.
fn heard(at: Option<String>, quote: &str) -> String {
    let quoted = (!quote.trim().is_empty()).then(|| format!("\u{201c}{quote}\u{201d}"));
    at.into_iter().chain(quoted).collect::<Vec<_>>().join(": ")
}

/// Adds a tick list for each trade, or for each place where the list is by trade already.
fn ticks(page: &mut Page, document: &Document, by: Grouping, include_rejected: bool) {
    let (heading, by) = match by {
        Grouping::Trade => ("To tick, by place", Grouping::Place),
        _ => ("To tick, by trade", Grouping::Trade),
    };
    page.block(format!("## {heading}"));
    for group in document.groups(by, include_rejected) {
        page.block(format!("### {}", escaped(&group.key.heading())));
        let line = |item: &&Item| {
            let place = place_heading(&item.place);
            format!(
                "[ ] {}, {}: {}",
                item.number,
                escaped(&place),
                escaped(&short_name(item))
            )
        };
        page.list(group.items.iter().map(line).collect());
    }
}

fn said_but_not_listed(page: &mut Page, document: &Document) {
    if document.unplaced.is_empty() {
        return;
    }
    page.block("## Said but not listed".to_string());
    let line = |u: &crate::items::Unplaced| {
        let at = heard_at(document, u.recording, u.span);
        escaped(&format!("{} ({})", heard(at, &u.quote), u.why))
    };
    page.list(document.unplaced.iter().map(line).collect());
}

fn recordings(page: &mut Page, document: &Document) {
    if document.recordings.is_empty() {
        return;
    }
    page.block("## Recordings".to_string());
    let row = |r: &crate::speech::Recording| {
        let speech = if r.speech_s > 0.0 {
            length(r.speech_s)
        } else {
            "not known".to_string()
        };
        let all = if r.duration_s > 0.0 {
            length(r.duration_s)
        } else {
            "not known".to_string()
        };
        [escaped(&r.file), all, speech]
    };
    let rows: Vec<[String; 3]> = document.recordings.iter().map(row).collect();
    page.block(table(["File", "Length", "Speech"], &rows));
}

fn what_this_list_is(page: &mut Page) {
    page.block("## What this list is".to_string());
    for text in super::wording::WHAT_THIS_LIST_IS {
        page.block(text.to_string());
    }
    page.block(format!("Made with {}.", escaped(TOOL)));
}

/// Returns a table whose columns line up in plain text too. Cells are escaped already.
fn table(header: [&str; 3], rows: &[[String; 3]]) -> String {
    use unicode_width::UnicodeWidthStr;
    let header = header.map(String::from);
    let width = |column: usize| {
        let cells = rows.iter().chain([&header]).map(|row| row[column].width());
        cells.max().unwrap_or(0)
    };
    let widths = [width(0), width(1), width(2)];
    let line = |cells: &[String; 3]| {
        let padded: Vec<String> = cells
            .iter()
            .zip(widths)
            .map(|(cell, width)| format!("{cell}{}", " ".repeat(width - cell.width())))
            .collect();
        format!("| {} |", padded.join(" | "))
    };
    let rule = widths.map(|width| "-".repeat(width));
    let lines: Vec<String> = [&header, &rule].into_iter().chain(rows).map(line).collect();
    lines.join("\n")
}

/// Returns the text on one line with every character that Markdown could take for a mark made
/// plain by a backslash (CommonMark 0.31, section 2.4: any ASCII punctuation can be). Texts always
/// follow something else on their line, so marks that count only at a line's start are left.
fn escaped(text: &str) -> String {
    const MARKS: &str = "\\`*_[]<>#|~&$";
    let mut plain = String::with_capacity(text.len());
    for c in one_line(text).chars() {
        if MARKS.contains(c) {
            plain.push('\\');
        }
        plain.push(c);
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::super::{Format, sample};
    use super::*;

    fn page(options: &Options) -> String {
        String::from_utf8(
            Format::Markdown
                .bytes(&sample::document(), options)
                .unwrap(),
        )
        .unwrap()
    }

    /// Source: CommonMark 0.31, examples 12 and following (backslash escapes); GitHub Flavored
    /// Markdown 0.29 for `|` and `~`.
    #[test]
    fn texts_stay_texts() {
        for (text, shown) in [
            ("*not emphasized*", "\\*not emphasized\\*"),
            ("<br/> not a tag", "\\<br/\\> not a tag"),
            ("[not a link](/foo)", "\\[not a link\\](/foo)"),
            ("`not code`", "\\`not code\\`"),
            ("heading #", "heading \\#"),
            ("&ouml; is no entity", "\\&ouml; is no entity"),
            ("a | b ~~c~~", "a \\| b \\~\\~c\\~\\~"),
            ("back\\slash", "back\\\\slash"),
            ("two\n\n# lines", "two \\# lines"),
            ("19 mm - about 5% (left)", "19 mm - about 5% (left)"),
        ] {
            assert_eq!(escaped(text), shown);
        }
    }

    #[test]
    fn leaves_out_rejected_items_unless_asked() {
        assert!(!page(&Options::default()).contains("chipped"));
        let all = page(&Options {
            include_rejected: Some(true),
            ..Options::default()
        });
        assert!(all.contains("**6. The wall tile is chipped.** *(rejected)*"));
    }

    #[test]
    fn by_trade_names_the_place_of_each_item() {
        let page = page(&Options {
            by: Grouping::Trade,
            ..Options::default()
        });
        assert!(page.contains("\n## Joiner\n"));
        assert!(page.contains("- Place: Hallway\n"));
        assert!(page.contains("\n## To tick, by place\n"));
    }

    #[test]
    fn shows_the_list() {
        insta::assert_snapshot!(page(&Options::default()).replace(TOOL, "[tool]"), @r#"
        # Plot 14, Larch Row: walk-round before handover

        **Draft: 2 of 7 items not yet confirmed by the inspector. Each of them is marked.**

        - List made: 2 March 2026, 17:05 UTC
        - Inspected by: R. Example
        - Weather: dry, 9 °C

        ## Summary

        | Severity | Items | Meaning                                             |
        | -------- | ----- | --------------------------------------------------- |
        | Safety   | 1     | someone could be hurt                               |
        | Repair   | 3     | does not work, leaks, is missing, or will get worse |
        | Finish   | 1     | looks wrong only                                    |
        | Clean    | 1     | needs cleaning only                                 |
        | Watch    | 1     | to be monitored                                     |
        | All      | 7     |                                                     |

        - **Safety, item 3.** Kitchen: The socket beside the hob is loose on the wall. Do not use it. Only a licensed electrician should open it.

        ## Front elevation

        **1. The gutter joint drips onto the path left of the porch.**

        - Where: left of the porch
        - What: Gutter joint: leaking
        - To put right: remake the joint and test with water
        - Trade: roofer
        - Severity: repair
        - Photos: IMG\_0012.jpg
        - Heard: walk-round 1.m4a at 0:21: “and the gutter joint here is leaking”

        ## Hallway

        **2. The newel post at the foot of the stairs is out of plumb by 19 mm over one storey.** *(not yet confirmed)*

        - Where: foot of the stairs
        - What: Newel post: out of plumb
        - Measured: 19 mm over 1 storey
        - Limit: outside; 19 mm is more than the 10 mm that the sample limit allows over a storey
        - To put right (suggested): reset the newel post plumb and refix it
        - Trade: joiner
        - Severity: repair
        - Heard: walk-round 1.m4a at 0:46: “the new will post is out of plumb nineteen millimetres over the storey”
        - Confidence: 93 in 100

        **5. The door rubs on the frame at the head.**

        - What: Door: binding
        - To put right: ease the door
        - Trade: joiner
        - Severity: repair
        - Heard: walk-round 1.m4a at 1:47: “and the door here is binding”

        ## Kitchen

        **3. The socket beside the hob is loose on the wall.**

        - Where: beside the hob
        - What: Socket: loose
        - To put right (suggested): have it isolated, checked and refixed
        - Trade: electrician
        - Severity: safety
        - Caution: Do not use it. Only a licensed electrician should open it.
        - Photos: asked for, none attached
        - Heard: walk-round 1.m4a at 1:04: “and the socket here is loose”

        **4. Two patches of plaster on the window wall may be hollow.** *(not yet confirmed)*

        - What: Plaster: hollow
        - How many: 2
        - Measured: about 6 to 8 mm over 2 m
        - Limit: cannot tell; the sample limit is 7 mm; 6 to 8 mm lies on both sides of it
        - Trade: plasterer
        - Severity: finish
        - Remark: said to sound hollow when tapped; near the radiator
        - Certainty: the inspector was not certain
        - Heard: walk-round 1.m4a at 1:26: “and the plaster here is hollow”
        - Confidence: 61 in 100

        ## Loft

        **8. A hairline crack runs over the loft hatch.**

        - Where: over the hatch
        - What: Ceiling: cracked
        - Trade: decorator
        - Severity: watch
        - Heard: loft.opus at 0:08: “and the ceiling here is cracked”

        ## Place not named

        **7. =SUM(A1) \<b\>is what the label says\</b\> \& it should not \| really.**

        - What: Meter label: dirty
        - Severity: clean

        Also visited, with nothing on this list: Landing, En suite.

        ## To tick, by trade

        ### Decorator

        - [ ] 8, Loft: Ceiling: cracked

        ### Electrician

        - [ ] 3, Kitchen: Socket: loose

        ### Joiner

        - [ ] 2, Hallway: Newel post: out of plumb
        - [ ] 5, Hallway: Door: binding

        ### Plasterer

        - [ ] 4, Kitchen: Plaster: hollow

        ### Roofer

        - [ ] 1, Front elevation: Gutter joint: leaking

        ### Trade not named

        - [ ] 7, Place not named: Meter label: dirty

        ## Said but not listed

        - walk-round 1.m4a at 0:12: “mind the puddle there” (no defect named)
        - loft.opus: “insulation looks good and even” (said to be in order)

        ## Recordings

        | File             | Length     | Speech    |
        | ---------------- | ---------- | --------- |
        | walk-round 1.m4a | 6 min 52 s | 5 min 1 s |
        | loft.opus        | 1 min 4 s  | 41 s      |

        ## What this list is

        This list was proposed by a program from words spoken during a walk-round, and the inspector decides what stands on it. An item marked as not yet confirmed is a proposal only: the program may have misheard or misunderstood.

        It rests on a visual inspection of what could be seen and reached on the day, without opening up, dismantling or testing unless an item says so. That a place or part is not mentioned does not mean that it is in order.

        Limits are quoted as published guidance, and remedies marked as suggested are usual practice, not instructions. Where local codes, the contract or a licensed practitioner say otherwise, they come first. Leave work on gas, electricity, structure or at height to people licensed or trained for it.

        Made with [tool].
        "#);
    }
}
