//! Tables: what was said, and how it reads.

use super::*;

#[test]
fn what_was_said_reads_as_written() {
    for (said, read) in [
        (
            "Gutter's sagging at the right hand corner",
            "Gutter is sagging at the right hand corner",
        ),
        (
            "um the the tap's been, uh, left dripping",
            "the tap has been left dripping",
        ),
        (
            "There's a paint run on the, on the architrave",
            "There is a paint run on the architrave",
        ),
        ("there's two vents missing", "there are two vents missing"),
        (
            "it won't lock and it doesn't close",
            "it will not lock and it does not close",
        ),
        ("ceiling's got two screw pops", "ceiling has two screw pops"),
        (
            "the drawer's handle is loose",
            "the drawer's handle is loose",
        ),
        (
            "the joint's not been filled",
            "the joint has not been filled",
        ),
        (
            "I've got three shingle tabs lifted",
            "there are three shingle tabs lifted",
        ),
        (
            "I'd say the duct's not connected",
            "the duct is not connected",
        ),
        ("so, right, the seat is loose as well", "the seat is loose"),
        ("out of level by six mil", "out of level by six millimetres"),
        (
            "a twelve mil gap at one end",
            "a twelve-millimetre gap at one end",
        ),
        ("proud by 6 mil", "proud by 6 mm"),
        (
            "the socket is out of level by",
            "the socket is out of level",
        ),
        (
            "missing down the right hand side, looks shocking",
            "missing down the right hand side",
        ),
        ("it is BROKEN right through", "it is broken right through"),
        ("two two five", "two two five"),
        (
            "the gate that that post carries",
            "the gate that post carries",
        ),
        ("it has got to come off", "it has to come off"),
        // Written by the recogniser for words that it did not know.
        ("the earth貓 sockets loose", "the earth貓 sockets loose"),
        ("it’s “très”… loose", "it is “très”… loose"),
        ("", ""),
    ] {
        assert_eq!(tidy(said), read, "{said}");
    }
}

#[test]
fn sentences_have_a_capital_and_a_full_stop() {
    for (text, expected) in [
        ("sill loose", "Sill loose."),
        ("TRV head gone.", "TRV head gone."),
        (
            "the upvc frame and the led strip",
            "The uPVC frame and the LED strip.",
        ),
        ("upvc frame split,", "uPVC frame split."),
        ("french doors  stick", "French doors stick."),
        ("the trv's loose", "The TRV's loose."),
        ("", ""),
    ] {
        assert_eq!(sentence(text), expected);
    }
}

#[test]
fn capitals_that_stand_for_themselves_are_kept() {
    for (text, expected) in [
        ("Sill's loose", "sill's loose"),
        ("TRV gone", "TRV gone"),
        ("I can rock it", "I can rock it"),
        ("A gap", "a gap"),
        ("French doors", "French doors"),
    ] {
        assert_eq!(lower_first(text), expected);
    }
}

#[test]
fn facts_make_a_sentence() {
    let own = |defect: &str| match defect {
        "gap" => Some("has a gap".to_owned()),
        "does not turn" => Some("does not turn".to_owned()),
        "with the dust cover left on" => Some("still has its dust cover on".to_owned()),
        "missing fixings" => Some("has missing fixings".to_owned()),
        _ => None,
    };
    let plural = |name: &str| format!("{name}s");
    for (element, position, defect, count, expected) in [
        // A fault that names the element itself.
        (
            "screw",
            "last",
            "screws missing",
            1,
            "The last screw is missing.",
        ),
        (
            "hinge screw",
            "",
            "missing screw",
            2,
            "Two hinge screws are missing.",
        ),
        ("fixing", "", "missing fixings", 1, "The fixing is missing."),
        (
            "hinge",
            "",
            "screws missing",
            1,
            "The hinge has screws missing.",
        ),
        ("hinge", "", "hinge loose", 1, "The hinge is loose."),
        (
            "joint",
            "",
            "loose at the joint",
            1,
            "The joint is loose at the joint.",
        ),
        (
            "door",
            "",
            "door handle loose",
            1,
            "The door: door handle loose.",
        ),
        (
            "newel post",
            "",
            "out of plumb",
            1,
            "The newel post is out of plumb.",
        ),
        (
            "patio doors",
            "",
            "not locking",
            1,
            "The patio doors are not locking.",
        ),
        ("key", "", "does not turn", 1, "The key does not turn."),
        ("railings", "", "gap", 1, "The railings have a gap."),
        (
            "sash",
            "left hand",
            "stiff",
            1,
            "The left-hand sash is stiff.",
        ),
        (
            "spindle",
            "second, from the top",
            "loose",
            1,
            "The second spindle from the top is loose.",
        ),
        (
            "plinth",
            "under the oven",
            "missing",
            1,
            "The plinth under the oven is missing.",
        ),
        (
            "socket",
            "",
            "loose, cracked",
            1,
            "The socket is loose and cracked.",
        ),
        (
            "joint",
            "",
            "loose, gap",
            1,
            "The joint is loose and has a gap.",
        ),
        (
            "tile",
            "over the basin",
            "cracked",
            2,
            "Two tiles over the basin are cracked.",
        ),
        (
            "smoke alarm",
            "",
            "with the dust cover left on",
            1,
            "The smoke alarm still has its dust cover on.",
        ),
        (
            "smoke alarms",
            "",
            "with the dust cover left on",
            1,
            "The smoke alarms still have their dust cover on.",
        ),
        (
            "paving",
            "",
            "falls back to the house",
            1,
            "The paving falls back to the house.",
        ),
        ("bracket", "", "come off", 1, "The bracket has come off."),
        (
            "tray",
            "",
            "a chip near the waste",
            1,
            "The tray has a chip near the waste.",
        ),
        (
            "consumer unit",
            "",
            "circuits not labelled",
            1,
            "The consumer unit: circuits not labelled.",
        ),
        ("glass", "", "scratched", 1, "The glass is scratched."),
        (
            "front door",
            "front",
            "binding",
            1,
            "The front door is binding.",
        ),
        (
            "led strip",
            "",
            "flickering",
            1,
            "The LED strip is flickering.",
        ),
        (
            "area of damp",
            "",
            "growing",
            1,
            "The area of damp is growing.",
        ),
        ("a window", "", "stiff", 1, "A window is stiff."),
        ("", "", "loose", 1, "This is loose."),
    ] {
        let position = Some(position).filter(|p| !p.is_empty());
        assert_eq!(
            facts(element, position, defect, count, &own, &plural),
            expected
        );
    }
}

#[test]
fn words_that_need_the_sentence_before_are_known() {
    for (text, expected) in [
        ("same story with the two drawer fronts", true),
        ("Ditto, the bead", true),
        ("the left one, sorry, the right one", true),
        ("trickle vent cover missing, no, right", true),
        ("no handle on the door", false),
        ("the sash is stiff", false),
    ] {
        assert_eq!(speaks_of_others(text), expected, "{text}");
    }
}
