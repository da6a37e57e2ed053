//! What the page tells of the list and of each item.

use super::*;

#[test]
fn an_unconfirmed_list_says_so_on_top_and_at_each_item() {
    let page = sample_page();
    let banner = page.find("Draft: not yet confirmed.").unwrap();
    assert!(banner < page.find("<main>").unwrap());
    assert!(page.contains("The inspector has not yet confirmed 2 of 7 items."));
    for (number, standing) in [(1, "confirmed"), (2, "proposed"), (4, "proposed")] {
        let article = article(&page, number);
        assert!(
            article.contains(&format!("class=\"item {standing}\"")),
            "{article}"
        );
        assert_eq!(
            article.contains("Not yet confirmed"),
            standing == "proposed",
            "{article}"
        );
        assert_eq!(
            article.contains("confidence"),
            standing == "proposed",
            "{article}"
        );
    }
    assert!(page.contains("@bottom-left { content: \"Draft, not yet confirmed: "));
}

#[test]
fn a_confirmed_list_carries_no_draft_marks() {
    let mut document = sample::document();
    document
        .items
        .iter_mut()
        .for_each(|item| item.status = Status::Confirmed);
    let page = page(&document, &Options::default());
    assert!(page.contains("Checked by the inspector: 8 items."));
    for word in ["Draft", "Not yet confirmed", "class=\"item proposed\""] {
        assert!(!page.contains(word), "{word}");
    }
}

/// Returns the part of the page for one item.
pub(super) fn article(page: &str, number: u32) -> &str {
    let from = page.find(&format!("id=\"item-{number}\"")).unwrap();
    let start = page[..from].rfind("<article").unwrap();
    &page[start..start + page[start..].find("</article>").unwrap()]
}

/// Returns the text of a part of the page: a line for each row or paragraph, its pieces parted by
/// ` | `.
pub(super) fn text(part: &str) -> String {
    let rows = Regex::new("<(?:tr|div|p|caption|h4)[ >]")
        .unwrap()
        .replace_all(part, "\n$0");
    let tags = Regex::new(r"(?: *<[^>]*> *)+").unwrap();
    let lines = rows
        .lines()
        .map(|line| tags.replace_all(line, " | ").into_owned());
    let lines = lines.map(|line| line.trim_matches([' ', '|']).replace("&amp;", "&"));
    lines
        .filter(|line| !line.is_empty())
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn an_item_tells_all_that_is_known() {
    let page = sample_page();
    let told: Vec<String> = [2, 3, 4, 7]
        .iter()
        .map(|&n| text(article(&page, n)))
        .collect();
    insta::assert_snapshot!(told.join("\n\n"), @r#"
    Item | 2 | . | The newel post at the foot of the stairs is out of plumb by 19 mm over one storey.
    Repair | Not yet confirmed | Hallway
    Where | Foot of the stairs
    Measured | 19 mm over 1 storey
    Limit | Outside the limit: | 19 mm is more than the 10 mm that the sample limit allows over a storey
    To put right | Reset the newel post plumb and refix it | (usual remedy)
    Trade | Joiner
    Heard in walk-round 1.m4a at 0:46: | the new will post is out of plumb nineteen millimetres over the storey | . The program’s confidence: 93 in 100.

    Item | 3 | . | The socket beside the hob is loose on the wall.
    Safety | Kitchen
    Caution. | Do not use it. Only a licensed electrician should open it.
    Where | Beside the hob
    To put right | Have it isolated, checked and refixed | (usual remedy)
    Trade | Electrician
    A photo was asked for here; none is attached.
    Heard in walk-round 1.m4a at 1:04: | and the socket here is loose | .

    Item | 4 | . | Two patches of plaster on the window wall may be hollow.
    Finish | Not yet confirmed | Kitchen
    How many | 2
    Measured | about 6 to 8 mm over 2 m
    Limit | Cannot tell: | the sample limit is 7 mm; 6 to 8 mm lies on both sides of it
    Trade | Plasterer
    Remarks | Said to sound hollow when tapped; near the radiator
    Certainty | The inspector was not certain
    Heard in walk-round 1.m4a at 1:26: | and the plaster here is hollow | . The program’s confidence: 61 in 100.

    Item | 7 | . | =SUM(A1) &lt;b&gt;is what the label says&lt;/b&gt; & it should not | really.
    Clean | Place not named
    Added by hand.
    "#);
}

#[test]
fn rejected_items_are_left_out_unless_asked_for() {
    assert!(!sample_page().contains("chipped"));
    let all = page(
        &sample::document(),
        &Options {
            include_rejected: Some(true),
            ..Options::default()
        },
    );
    assert!(article(&all, 6).contains("Rejected"));
}

#[test]
fn safety_comes_first_and_severity_is_told_by_word_and_form() {
    let page = sample_page();
    let first = page.find("Safety first").unwrap();
    assert!(first < page.find("<table").unwrap());
    assert!(page[first..].contains("Do not use it."));
    for severity in SEVERITIES {
        let mark = item::severity_mark(severity).into_string();
        let form = all("href=\"#(mark-[a-z]+)\"", &mark)[0];
        assert!(page.contains(&format!("<symbol id=\"{form}\"")));
        let word = crate::export::wording::severity_word(severity);
        assert_eq!(text(&mark).to_lowercase(), word);
    }
    let forms: BTreeSet<&str> = all("(?s)<symbol id=[^>]*>(.*?)</symbol>", &page)
        .into_iter()
        .collect();
    assert_eq!(
        forms.len(),
        SEVERITIES.len(),
        "each severity has a form of its own"
    );
    let mut document = sample::document();
    document.items.retain(|item| !is_safety(item));
    let calm = String::from_utf8(bytes(&document, &Options::default()).unwrap()).unwrap();
    assert!(calm.contains("That is not a finding that the home is safe."));
}

#[test]
fn the_tick_lists_are_by_trade_in_place_order() {
    let page = sample_page();
    let index = &page[page.find("<section class=\"index\"").unwrap()..];
    let index = &index[..index.find("</section>").unwrap()];
    assert_eq!(index.matches("class=\"tick\"").count(), 7);
    insta::assert_snapshot!(text(index), @r#"
    Index by trade
    Decorator | 1 item
    Done | No. | Place | What | Decorator
    8 | Loft | Ceiling: cracked | , over the hatch
    Electrician | 1 item
    Done | No. | Place | What | Electrician
    3 | Kitchen | Socket: loose | , beside the hob | Safety
    Joiner | 2 items
    Done | No. | Place | What | Joiner
    2 | Hallway | Newel post: out of plumb | , foot of the stairs | Not yet confirmed
    5 | Hallway | Door: binding
    Plasterer | 1 item
    Done | No. | Place | What | Plasterer
    4 | Kitchen | Plaster: hollow, 2 of them | Not yet confirmed
    Roofer | 1 item
    Done | No. | Place | What | Roofer
    1 | Front elevation | Gutter joint: leaking | , left of the porch
    Trade not named | 1 item
    Done | No. | Place | What | Trade not named
    7 | Place not named | Meter label: dirty
    "#);
}

#[test]
fn what_made_no_item_is_collapsed() {
    let page = sample_page();
    let details = &page[page.find("<details>").expect("closed: no `open`")..];
    assert!(details.contains("mind the puddle there"));
    assert!(details.contains("no defect named; walk-round 1.m4a at 0:12"));
}
