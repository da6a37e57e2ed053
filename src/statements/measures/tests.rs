use super::*;
use crate::statements::sample::sample;
use proptest::prelude::*;

/// Shows each measurement as `[~]value[..max] unit[ / over]`, joined with `; `.
fn shown(text: &str) -> String {
    let (words, tokens) = sample(text);
    let all = measurements(&tokens, &words);
    let show = |(_, m): &(Range<usize>, Measurement)| {
        let about = if m.approximate { "~" } else { "" };
        let max = m.max.map_or(String::new(), |max| format!("..{max}"));
        let over = m
            .over
            .as_ref()
            .map_or(String::new(), |o| format!(" / {} {}", o.value, o.unit));
        format!("{about}{}{max} {}{over}", m.value, m.unit)
    };
    all.iter().map(show).collect::<Vec<_>>().join("; ")
}

fn check(table: &[(&str, &str)]) {
    for (text, expected) in table {
        assert_eq!(shown(text), *expected, "in {text:?}");
    }
}

#[test]
fn reads_every_unit() {
    check(&[
        ("a six mil gap", "6 mm"),
        ("6mm", "6 mm"),
        ("6 mm", "6 mm"),
        ("nineteen millimetres", "19 mm"),
        ("nineteen millimeters", "19 mm"),
        ("a gap of 4 ml", "4 mm"),
        ("4 mill gap", "4 mm"),
        ("4 mils proud", "4 mm"),
        ("five litres of water, 4 ml", "5 l"),
        ("three centimetres", "3 cm"),
        ("3cm", "3 cm"),
        ("two metres long", "2 m"),
        ("2.4 m", "2.4 m"),
        ("a metre of mastic is missing", "1 m"),
        ("the meter box", ""),
        ("a meter box", ""),
        ("about a square metre of it", "~1 m²"),
        ("two inches", "2 in"),
        ("a 2\" gap", "2 in"),
        ("3 in gap", "3 in"),
        ("there are 3 in the hall", ""),
        ("six foot of gutter", "6 ft"),
        ("6 ° out", "6 deg"),
        ("1,200mm", "1200 mm"),
        ("two degrees out", "2 deg"),
        ("forty eight degrees at the bath", "48 deg"),
        ("forty eight degrees celsius", "48 °C"),
        ("48°C", "48 °C"),
        ("sixty percent", "60 %"),
        ("sixty per cent", "60 %"),
        ("18%", "18 %"),
        ("18 % moisture", "18 %"),
        ("forty pascals", "40 Pa"),
        ("one point two bar on the gauge", "1.2 bar"),
        ("three bar heater", ""),
        ("nine litres a minute", "9 l/min"),
        ("thirteen litres per second", "13 l/s"),
        ("a hundred lux", "100 lux"),
        ("230 volts", "230 V"),
        ("sixty watts", "60 W"),
        ("thirty two amps", "32 A"),
        ("a 3V reading", "3 V"),
        ("6A fuse", "6 A"),
        ("I'm two m away", ""),
        ("thirty decibels", "30 dB"),
        ("twenty kilos", "20 kg"),
    ]);
}

#[test]
fn reads_feet_and_inches_as_inches() {
    check(&[
        ("six foot two", "74 in"),
        ("two feet six inches", "30 in"),
        ("two foot six and a half inches", "30.5 in"),
        ("6'2\"", "74 in"),
        ("2 ft. 6 in. wide", "30 in"),
        ("six foot two tiles", "6 ft"),
        ("six foot by three foot", "6 ft; 3 ft"),
        ("two metres ten", "2.1 m"),
        ("one metre twenty wide", "1.2 m"),
        ("two metres ten tiles", "2 m"),
    ]);
}

#[test]
fn reads_fractions() {
    check(&[
        ("half a metre", "0.5 m"),
        ("half an inch", "0.5 in"),
        ("a half inch gap", "0.5 in"),
        ("a quarter inch", "0.25 in"),
        ("a quarter of an inch", "0.25 in"),
        ("three quarters of an inch", "0.75 in"),
        ("three eighths of an inch", "0.375 in"),
        ("5/8 inch", "0.625 in"),
        ("1 1/2 inches", "1.5 in"),
        ("1½\" gap", "1.5 in"),
        ("a ½ inch gap", "0.5 in"),
        ("an inch and a half", "1.5 in"),
        ("a metre and a half", "1.5 m"),
        ("a metre and a half of coving", "1.5 m"),
        ("a metre and half of it loose", "1 m"),
        ("it's an eighth out", "0.125 in"),
        ("two and three quarter inches", "2.75 in"),
        ("one and a half mil", "1.5 mm"),
        ("proud by three eighths", "0.375 in"),
        ("about a sixteenth", "~0.0625 in"),
        ("a gap of an eighth", "0.125 in"),
        ("half of it", ""),
        ("the upper half", ""),
    ]);
}

#[test]
fn reads_ranges_and_sizes() {
    check(&[
        ("six to eight mil", "6..8 mm"),
        ("between 4 and 6 millimetres", "4..6 mm"),
        ("6-8mm", "6..8 mm"),
        ("6-8 mm", "6..8 mm"),
        ("two or three mil", "2..3 mm"),
        ("ten fifteen mil", "10..15 mm"),
        ("two three mil", "2..3 mm"),
        ("20 - 25 mm", "20..25 mm"),
        ("20 to 25mm", "20..25 mm"),
        ("sixteen or seventeen mil", "16..17 mm"),
        ("eight to six mil", "6..8 mm"),
        ("six mil to eight mil", "6..8 mm"),
        ("a mil or two", "~1..2 mm"),
        ("two 20 mil gaps", "20 mm"),
        ("10 by 20 mil", "10 mm; 20 mm"),
        ("10x20mm", "10 mm; 20 mm"),
        ("10×20mm", "10 mm; 20 mm"),
        ("10 x 20mm", "10 mm; 20 mm"),
        ("ten mil by twenty mil", "10 mm; 20 mm"),
        ("two metres by one", "2 m; 1 m"),
        ("plus or minus five mil", "5 mm"),
        ("twenty mil plus or minus five", "~20 mm"),
        ("six mil and eight mil", "6 mm; 8 mm"),
    ]);
}

#[test]
fn marks_what_is_approximate() {
    check(&[
        ("about six mil", "~6 mm"),
        ("roughly 6mm", "~6 mm"),
        ("approx. 6 mm", "~6 mm"),
        ("six mil or so", "~6 mm"),
        ("six mil ish", "~6 mm"),
        ("6mm-ish", "~6 mm"),
        ("ten mil give or take", "~10 mm"),
        ("nearly two metres", "~2 m"),
        ("just over two metres", "~2 m"),
        ("a good ten mil", "~10 mm"),
        ("at least 10 mil", "~10 mm"),
        ("up to 10 mil", "~10 mm"),
        ("over two metres of it", "~2 m"),
        ("a couple of mil", "~2 mm"),
        ("exactly ten mil", "10 mm"),
    ]);
}

#[test]
fn ties_to_a_length() {
    check(&[
        ("nineteen millimetres over the storey", "19 mm / 1 storey"),
        ("six mil over two metres", "6 mm / 2 m"),
        ("ten mil in two metres", "10 mm / 2 m"),
        ("fifteen mil over a metre", "15 mm / 1 m"),
        ("eight mil across the width", "8 mm / 1 width"),
        ("five mil under a two metre straightedge", "5 mm / 2 m"),
        ("half an inch on a six foot level", "0.5 in / 6 ft"),
        ("ten mil per metre", "10 mm / 1 m"),
        ("ten mil to the metre", "10 mm / 1 m"),
        ("5 mm along 3 m", "5 mm / 3 m"),
        ("bowed by twelve, measured over two metres", "12 mm / 2 m"),
        (
            "nineteen mil out of plumb over the storey",
            "19 mm / 1 storey",
        ),
        ("over two metres it's out by eight mil", "8 mm / 2 m"),
        (
            "under a two metre straightedge there's a six mil hollow",
            "6 mm / 2 m",
        ),
        ("I put the two metre level on it", ""),
        (
            "six mil on the left. Over two metres of fence missing",
            "6 mm; ~2 m",
        ),
        (
            "six mil on the left, eight mil on the right over two metres",
            "6 mm; 8 mm / 2 m",
        ),
        ("a two metre crack", "2 m"),
    ]);
}

#[test]
fn reads_gradients() {
    check(&[
        ("one in forty", "40 ratio"),
        ("1 in 40", "40 ratio"),
        ("1:40", "40 ratio"),
        ("falls one in six", "6 ratio"),
        ("one in four tiles", ""),
        ("one in two metres", "2 m"),
        ("that one in bedroom two", ""),
    ]);
}

#[test]
fn takes_bare_numbers_only_after_measuring_words() {
    check(&[
        ("gap of four", "4 mm"),
        ("out by six", "6 mm"),
        ("out by about six", "~6 mm"),
        ("riser two twenty six", "226 mm"),
        ("riser two is loose", ""),
        (
            "risers vary from one eighty five to one ninety five",
            "185..195 mm",
        ),
        ("gap of two tiles", ""),
        ("the gap is four at the top", "4 mm"),
        ("a lip of between two and three", "2..3 mm"),
        ("short by two courses", ""),
        ("two of the tiles", ""),
        ("bedroom two", ""),
        ("Bedroom two. Twenty mil gap", "20 mm"),
        ("plot seven", ""),
    ]);
}

#[test]
fn bare_numbers_are_sizes_before_words_of_extent_and_lengths() {
    check(&[
        ("the switch is five hundred off the floor", "500 mm"),
        ("sockets three fifty up", "350 mm"),
        ("a scratch, two hundred long", "200 mm"),
        ("handrail's at eight fifty", "850 mm"),
        ("the handrail is only eight hundred and sixty", "860 mm"),
        (
            "top riser, one ninety nine, the others one ninety",
            "199 mm",
        ),
        ("eleven over the storey", "11 mm / 1 storey"),
        ("seven over two metres", "7 mm / 2 m"),
        ("gap under the gate, mind, is a hundred and forty", "140 mm"),
        (
            "three and seven eighths, it was two inches before",
            "3.875 in; 2 in",
        ),
        ("two long cracks", ""),
        ("three up the wall", ""),
        ("two high level windows", ""),
        ("four over the door", ""),
        ("the gap is in bedroom two", ""),
    ]);
}

#[test]
fn bare_numbers_are_sizes_with_words_of_how_far_a_thing_is_out() {
    check(&[
        ("short of the newel by seven", "7 mm"),
        ("out of level by nine toward the wrong end", "9 mm"),
        ("it stands proud of the next by four", "4 mm"),
        ("closed by three of them", ""),
        ("the cover is sitting twelve proud of the slabs", "12 mm"),
        ("the frame stands thirty above the slabs", "30 mm"),
        ("there are two above the door", ""),
        ("the joint is open, twenty two deep", "22 mm"),
        ("the quilt's only fifty thick", "50 mm"),
        ("two deep scratches", ""),
        ("the flashing stops three hundred short", "300 mm"),
        ("turf two hundred short of the patio", "200 mm"),
        ("we're two short", ""),
        ("it's nine out", "9 mm"),
        ("there's two out", ""),
        ("two out of four", ""),
        ("the frame is six out of plumb", "6 mm"),
        ("a blister two hundred across", "200 mm"),
        ("spindle gap, one hundred and four", "104 mm"),
        ("a strip fifteen wide", "15 mm"),
        ("I put a rule on it, ninety-five long", "95 mm"),
        (
            "the gate post leans, twenty five out in its height",
            "25 mm",
        ),
        ("a tiny crack, nought point two wide", "0.2 mm"),
        (
            "lippage between two of them, one point eight, limit one",
            "1.8 mm",
        ),
        ("drawing one point five of the set", ""),
        ("system pressure's two point nine cold", "2.9 bar"),
        (
            "clearance hob to hood, six hundred and ten measured",
            "610 mm",
        ),
        ("plaster bowed, nine under a straightedge", "9 mm"),
        ("the shelf sags a full inch at the middle", "1 in"),
        ("the strip's a good foot long", "~1 ft"),
        ("a line of tape, metre and a half long", "1.5 m"),
        ("on the rim, mil and a half", "1.5 mm"),
        ("one metre ten of it", "1.1 m"),
        ("the room's two point nine by three point four", ""),
        ("you'd feel that with a bare foot", ""),
        (
            "the hearth's projecting four hundred and ten in front of the stove",
            "410 mm",
        ),
        (
            "the overhang's varying between twenty and twenty eight",
            "20..28 mm",
        ),
        ("it's at nine fifty", "950 mm"),
        ("I'm at number nine fifty", ""),
    ]);
}

#[test]
fn a_number_held_against_another_is_a_size() {
    check(&[
        ("it's only ninety and it needs a hundred and fifty", "90 mm"),
        (
            "it's too far, nine hundred, and six hundred's the limit",
            "900 mm",
        ),
        (
            "one sits at two hundred and forty from the bowl and we want three hundred",
            "240 mm",
        ),
        (
            "I'm getting seven thirty five and it should be seven seventy five",
            "735 mm",
        ),
        ("upstand ninety eight, hundred and fifty required", "98 mm"),
        ("it's at nine fifty. Drawing says eight hundred", "950 mm"),
        (
            "only holding twenty eight of water and that should be fifty",
            "28 mm",
        ),
        (
            "headroom's one metre eighty seven against two metres",
            "1.87 m",
        ),
        ("there's two sockets and there should be four", ""),
        ("plot seven wants a hundred and fifty", ""),
        ("it needs a hundred and fifty", ""),
        ("its rating is IP twenty, should be sixty five", ""),
        (
            "that radiator's at forty six, the others are at sixty five",
            "46 °C",
        ),
    ]);
}

#[test]
fn bare_temperatures_and_times() {
    check(&[
        ("the hot tap's only at thirty eight", "38 °C"),
        ("the mixing valve delivers forty six", "46 °C"),
        (
            "thermostatic valve delivers forty six, forty one is the cap",
            "46 °C",
        ),
        ("the radiator only gets up to forty six", "~46 °C"),
        (
            "the hot at the bath comes out at fifty six degrees",
            "56 deg",
        ),
        ("turn the hot down to forty", ""),
        ("it took seventy five seconds to come through", "75 s"),
        ("the sink took four minutes to drain", "4 min"),
        ("give me five minutes", ""),
        ("I'll be ten seconds", ""),
    ]);
}

#[test]
fn the_other_end_has_the_same_unit() {
    check(&[
        ("it's five mil one end and eleven the other", "5 mm; 11 mm"),
        (
            "out by twenty at one end, thirty two at the other",
            "20 mm; 32 mm",
        ),
    ]);
}

#[test]
fn a_figure_said_again_keeps_its_unit() {
    check(&[
        ("three mil, no, four", "3 mm; 4 mm"),
        ("five inches, sorry, five and a half", "5 in; 5.5 in"),
        (
            "should be twelve inches and we've got seven at the eaves",
            "7 in",
        ),
        ("the gap's eight mil, it should be three mil", "8 mm"),
        ("should be ten mil", "10 mm"),
        ("three mil, no, four tiles", "3 mm"),
        ("three mil. No, four", "3 mm"),
    ]);
}

#[test]
fn keeps_the_words_of_direction() {
    for (text, spoken) in [
        ("it's 400 mm off the floor here", "400 mm off the floor"),
        ("nine mil leaning in at the top", "nine mil leaning in"),
        ("a crack two mil wide", "two mil wide"),
        ("falls ten mil to the wall", "ten mil to the wall"),
        (
            "six mil over two metres, leaning",
            "six mil over two metres",
        ),
        ("six mil to be filled", "six mil"),
    ] {
        let (words, tokens) = sample(text);
        assert_eq!(measurements(&tokens, &words)[0].1.spoken, spoken, "{text}");
    }
}

#[test]
fn spoken_forms_of_the_trade() {
    check(&[
        ("four mil", "4 mm"),
        ("a four-mil gap", "4 mm"),
        ("a gap of six to eight", "6..8 mm"),
        ("a lip of just under ten", "~10 mm"),
        ("five eighths proud", "0.625 in"),
        ("three sixteenths over eight foot", "0.1875 in / 8 ft"),
        ("falls one in forty", "40 ratio"),
        ("two and a half degrees", "2.5 deg"),
        ("point three of a mil", "0.3 mm"),
        ("2.4 metres", "2.4 m"),
    ]);
}

#[test]
fn keeps_the_words_as_heard() {
    for (text, spoken, tokens) in [
        (
            "It's out, Nineteen millimetres over the storey.",
            "Nineteen millimetres over the storey",
            3..8,
        ),
        ("humidity 60% here", "60%", 1..3),
        ("hot at 48°C now", "48°C", 2..5),
        ("a gap of about 6 mm, here", "about 6 mm", 3..6),
        (
            "six mil out of plumb over two metres",
            "six mil out of plumb over two metres",
            0..2,
        ),
    ] {
        let (words, all) = sample(text);
        let found = measurements(&all, &words);
        assert_eq!(
            (found[0].1.spoken.as_str(), found[0].0.clone()),
            (spoken, tokens)
        );
    }
}

proptest! {
    #[test]
    fn never_panics_and_keeps_order(
        words in prop::collection::vec(prop_oneof![
            Just("one"), Just("two"), Just("6"), Just("mil"), Just("metres"), Just("over"),
            Just("in"), Just("by"), Just("to"), Just("between"), Just("and"), Just("a"), Just("inch"),
            Just("half"), Just("about"), Just("or"), Just("so"), Just("per"), Just("metre"),
            Just("foot"), Just("6'2\""), Just("48°C"), Just("%"), Just("6-8mm"), Just("1:40"),
            Just("gap"), Just("of"), Just("plus"), Just("minus"), Just("the"), Just("storey,"),
            Just("level."), Just("½"), Just("proud"), Just("short"), Just("out"), Just("needs"),
            Just("limit"), Just("hot"), Just("at"), Just("point"), Just("hundred"), Just("'s"), Just("other"), Just("—"), Just("“6”"), Just("x"), Just("İ6"),
        ], 0..14)
    ) {
        let (words, tokens) = sample(&words.join(" "));
        let found = measurements(&tokens, &words);
        for (range, m) in &found {
            prop_assert!(range.start < range.end && range.end <= tokens.len());
            prop_assert!(m.max.is_none_or(|max| max >= m.value));
            prop_assert!(!m.spoken.is_empty());
        }
    }
}
#[test]
fn finds_the_measurements_of_the_example_walk_round_and_no_others() {
    let example = include_str!("../../../examples/plot-seven.txt");
    let found: Vec<String> = example
        .lines()
        .map(shown)
        .filter(|m| !m.is_empty())
        .collect();
    insta::assert_snapshot!(found.join("\n"), @r"
    ~60 ratio
    4 mm
    1.2 m
    6 mm
    2..3 mm
    8 mm / 2 m
    ~2 m²
    ");
}
