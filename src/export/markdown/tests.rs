//! Escaping, and the list as a whole.

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
    insta::assert_snapshot!(page(&Options::default()).replace(TOOL, "[tool]"), @r"
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
    - To put right: Remake the joint and test with water
    - Trade: roofer
    - Severity: repair
    - Photos: IMG\_0012.jpg
    - Stands: Due by 30 March 2026
    - Heard: walk-round 1.m4a at 0:21: “and the gutter joint here is leaking”

    ## Hallway

    **2. The newel post at the foot of the stairs is out of plumb by 19 mm over one storey.** *(not yet confirmed)*

    - Where: foot of the stairs
    - What: Newel post: out of plumb
    - Measured: 19 mm over 1 storey
    - Limit: outside; 19 mm is more than the 10 mm that the sample limit allows over a storey
    - To put right (suggested): Reset the newel post plumb and refix it
    - Trade: joiner
    - Severity: repair
    - Heard: walk-round 1.m4a at 0:46: “the new will post is out of plumb nineteen millimetres over the storey”
    - Confidence: 93 in 100

    **5. The door rubs on the frame at the head.**

    - What: Door: binding
    - To put right: Ease the door
    - Trade: joiner
    - Severity: repair
    - Stands: Due by 12 March 2026
    - Seen: Visit 2, 16 March 2026: not put right – “eased at the foot only”
    - Heard: walk-round 1.m4a at 1:47: “and the door here is binding”

    ## Kitchen

    **3. The socket beside the hob is loose on the wall.**

    - Where: beside the hob
    - What: Socket: loose
    - To put right (suggested): Have it isolated, checked and refixed
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
    - Remarks: Said to sound hollow when tapped; near the radiator
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

    **A visual inspection.** This list rests on what could be seen and safely reached on the day. Nothing was opened, dismantled, moved or tested unless an item says so. That a place or a part is not mentioned does not mean that it is in order.

    **Not a warranty.** It is not a warranty, a certificate, a valuation or a structural survey, and it does not replace the checks of the local building authority.

    **Who decides.** A program proposed the items from what the inspector said; the inspector decides what stands on the list. An item marked as not yet confirmed is a proposal only, and may have been misheard. Who must put an item right, how and by when is decided between the parties to the contract.

    **Limits and remedies.** Limits are quoted as published guidance. Usual remedies are common practice, not instructions for the work. Where the contract, the local code, the maker’s instructions or a licensed person say otherwise, they come first.

    **Work that can hurt.** Leave work on gas, electricity and structure, and work at height, to people licensed or trained for it. Do not test such things yourself. Local codes and the advice of a licensed practitioner come before anything on this list.

    Made with [tool].
    ");
}
