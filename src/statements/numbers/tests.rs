use super::*;
use crate::statements::counts;
use crate::statements::sample::{sample, tokens};
use proptest::prelude::*;
use text2num::{Language, replace_numbers_in_text};

/// Shows every number's value, left to right, read with the words at hand.
fn numbers_in(text: &str) -> String {
    let (words, tokens) = sample(text);
    let (mut at, mut out) = (0, Vec::new());
    while at < tokens.len() {
        match read(Reader::new(&tokens, &words), at) {
            Some(n) => {
                out.push(n.value.to_string());
                at = n.end;
            }
            None => at += 1,
        }
    }
    out.join(" ")
}

fn check(table: &[(&str, &str)]) {
    for (text, expected) in table {
        assert_eq!(numbers_in(text), *expected, "in {text:?}");
    }
}

#[test]
fn reads_cardinals() {
    check(&[
        ("nineteen", "19"),
        ("a hundred and twenty", "120"),
        ("one hundred twenty", "120"),
        ("a hundred", "100"),
        ("hundred", "100"),
        ("two thousand and five", "2005"),
        ("two thousand three hundred and six", "2306"),
        ("a thousand", "1000"),
        ("twelve hundred", "1200"),
        ("twenty four hundred and fifty", "2450"),
        ("12 hundred", "1200"),
        ("1,200", "1200"),
        ("226", "226"),
        ("1.5", "1.5"),
        ("nought", "0"),
        ("zero", "0"),
        ("two and three", "2 3"),
        ("nine hundred and six hundred", "900 600"),
        ("fifty and sixty", "50 60"),
        ("oh two tiles", "2"),
        ("a tile", ""),
    ]);
}

#[test]
fn reads_digit_groups() {
    check(&[
        ("two twenty six", "226"),
        ("one oh five", "105"),
        ("two two six", "226"),
        ("nineteen eighty one", "1981"),
        ("nineteen ninety eight", "1998"),
        ("twenty forty", "2040"),
        ("twelve fifty", "1250"),
        ("one fifty", "150"),
        ("two ten", "210"),
        ("twelve oh five", "1205"),
        ("two double four", "244"),
        ("seven double oh", "700"),
        ("double four", "44"),
        ("double socket", ""),
        ("ten fifteen", "10 15"),
        ("eight ten", "8 10"),
        ("ten twelve", "10 12"),
        ("two three", "2 3"),
        ("two 20", "2 20"),
    ]);
}

#[test]
fn reads_decimals_and_fractions() {
    check(&[
        ("nought point five", "0.5"),
        ("oh point five", "0.5"),
        ("point five", "0.5"),
        ("at this point two tiles", "2"),
        ("the point two", "2"),
        ("one point two five", "1.25"),
        ("one point twenty five", "1.25"),
        ("two point oh five", "2.05"),
        ("1 point 5", "1.5"),
        ("two twenty six point five", "226.5"),
        ("a half", "0.5"),
        ("half", "0.5"),
        ("half a dozen", "6"),
        ("one and a half", "1.5"),
        ("two and three quarters", "2.75"),
        ("six and a quarter", "6.25"),
        ("three eighths", "0.375"),
        ("three quarter", "0.75"),
        ("five sixteenths", "0.3125"),
        ("a sixteenth", "0.0625"),
        ("three thirty seconds", "0.09375"),
        ("one and three eighths", "1.375"),
        ("two thirds", "0.6666666666666666"),
        ("a third tile", ""),
        ("5/8", "0.625"),
        ("1 1/2", "1.5"),
        ("½", "0.5"),
        ("1½", "1.5"),
        ("a quarter inch", "0.25"),
    ]);
}

#[test]
fn reads_vague_quantities() {
    check(&[
        ("a couple of tiles", "2"),
        ("couple", "2"),
        ("a pair of doors", "2"),
        ("the pair", ""),
        ("a dozen", "12"),
        ("two dozen", "24"),
    ]);
}

#[test]
fn leaves_the_pronoun_one() {
    check(&[
        ("one of the tiles", ""),
        ("the other one", ""),
        ("that one", ""),
        ("this one", ""),
        ("the one by the door", ""),
        ("one's cracked", ""),
        ("the one metre mark", "1"),
        ("one tile", "1"),
        ("this one hundred", "100"),
        ("bedroom one", "1"),
    ]);
}

#[test]
fn reads_ordinals() {
    for (text, expected) in [
        ("third", Some(3.0)),
        ("3rd", Some(3.0)),
        ("second bedroom", Some(2.0)),
        ("twenty first", Some(21.0)),
        ("thirtieth", Some(30.0)),
        ("three", None),
        ("last", None),
    ] {
        assert_eq!(
            ordinal_at(&tokens(text), 0).map(|n| n.value),
            expected,
            "in {text:?}"
        );
    }
    assert_eq!(ordinal_at(&tokens("litres per second"), 2), None);
    assert_eq!(ordinal_at(&tokens("hang on a second"), 3), None);
    assert_eq!(
        ordinal_at(&tokens("a second crack"), 1).map(|n| n.value),
        Some(2.0)
    );
}

#[test]
fn minds_the_pauses_between_words() {
    // "Two. Twenty six ..." are two numbers; without the words the pause is unknown.
    let (words, tokens) = sample("bedroom two. Twenty six mil");
    let read = read(Reader::new(&tokens, &words), 1).unwrap();
    assert_eq!((read.value, read.end), (2.0, 2));
}

#[test]
fn counts_things() {
    for (text, expected) in [
        ("two of the tiles are loose", "2"),
        ("three tiles", "3"),
        ("four downlights", "4"),
        ("both doors", "2"),
        ("both of them", "2"),
        ("a couple of nail pops", "2"),
        ("half a dozen tiles", "6"),
        ("a pair of doors", "2"),
        ("two or three nail pops", "2"),
        ("gap of two millimetres", ""),
        ("2mm", ""),
        ("tried it three times", ""),
        ("two coats of paint", ""),
        ("plot seven", ""),
        ("a three storey house", ""),
        ("there are two by the door", "2"),
        ("another three here", "3"),
        ("it should be four fifty", ""),
        ("twenty past three", ""),
        ("bowed by six", ""),
        ("one of the tiles", ""),
        ("one is cracked", ""),
        ("one tile", "1"),
        ("one and a half tiles", ""),
        ("half the tiles", ""),
        ("one in forty", ""),
        ("three tiles and two sockets", "3 2"),
    ] {
        let found: Vec<String> = counts(&tokens(text))
            .into_iter()
            .map(|(_, n)| n.to_string())
            .collect();
        assert_eq!(found.join(" "), expected, "in {text:?}");
    }
}

/// The text2num crate 2.8.0, an independent reader of English number words.
#[test]
fn agrees_with_text2num() {
    let english = Language::english();
    for text in [
        "nineteen",
        "ninety nine",
        "one hundred and twenty",
        "two hundred and six",
        "one thousand two hundred",
        "twelve thousand three hundred and forty five",
        "six hundred thousand and one",
        "nought point five",
        "one point two five",
        "three point one four",
        "fifty one",
        "seven hundred",
        "nine hundred and ninety nine",
        "one hundred and one thousand and one",
        "zero",
        "eleven",
        "forty two",
        "eighty",
    ] {
        assert_eq!(
            numbers_in(text),
            replace_numbers_in_text(text, &english, 0.0),
            "in {text:?}"
        );
    }
    // Where the two differ, on purpose: it has no digit groups, no leading point, no "half", and
    // takes the pronoun for a number.
    for (text, theirs, ours) in [
        ("nineteen ninety eight", "19 98", "1998"),
        ("two twenty six", "2 26", "226"),
        ("point five", "point 5", "0.5"),
        ("one of the tiles", "1 of the tiles", ""),
        ("a couple", "a couple", "2"),
        ("half", "half", "0.5"),
    ] {
        assert_eq!(replace_numbers_in_text(text, &english, 0.0), theirs);
        assert_eq!(numbers_in(text), ours);
    }
}

/// Writes a number in words as the British say it.
fn in_words(n: u32) -> String {
    const SMALL: [&str; 20] = [
        "zero",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
    ];
    const TENS: [&str; 8] = [
        "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
    ];
    match n {
        0..20 => SMALL[n as usize].to_owned(),
        20..100 if n.is_multiple_of(10) => TENS[n as usize / 10 - 2].to_owned(),
        20..100 => format!("{} {}", TENS[n as usize / 10 - 2], in_words(n % 10)),
        100..1000 if n.is_multiple_of(100) => format!("{} hundred", in_words(n / 100)),
        100..1000 => format!("{} hundred and {}", in_words(n / 100), in_words(n % 100)),
        _ if n.is_multiple_of(1000) => format!("{} thousand", in_words(n / 1000)),
        _ if n % 1000 < 100 => {
            format!("{} thousand and {}", in_words(n / 1000), in_words(n % 1000))
        }
        _ => format!("{} thousand {}", in_words(n / 1000), in_words(n % 1000)),
    }
}

proptest! {
    #[test]
    fn reads_back_every_whole_number_below_a_million(n in 0u32..=999_999) {
        let tokens = tokens(&in_words(n));
        let expected = Number { value: f64::from(n), tokens: 0..tokens.len() };
        prop_assert_eq!(number_at(&tokens, 0), Some(expected));
    }

    #[test]
    fn never_panics_and_covers_tokens_that_exist(
        words in prop::collection::vec(prop_oneof![
            Just("one"), Just("oh"), Just("two"), Just("ten"), Just("twenty"), Just("hundred"),
            Just("thousand"), Just("million"), Just("and"), Just("a"), Just("half"), Just("point"),
            Just("double"), Just("thirty"), Just("seconds"), Just("quarter"), Just("5/8"),
            Just("1,200"), Just("."), Just("9999999999999999999"), Just("½"), Just("dozen"),
            Just("couple"), Just("of"), Just("nine"), Just("1/0"), Just("0"), Just("é½"),
        ], 0..12)
    ) {
        let tokens: Vec<Token> = words
            .iter()
            .enumerate()
            .map(|(word, w)| Token { norm: (*w).to_owned(), word, probability: 1.0 })
            .collect();
        for at in 0..=tokens.len() {
            if let Some(n) = number_at(&tokens, at) {
                prop_assert!(n.tokens.start == at && n.tokens.end > at && n.tokens.end <= tokens.len());
                prop_assert!(n.value.is_finite());
            }
        }
        for (range, count) in counts(&tokens) {
            prop_assert!(range.end <= tokens.len() && count >= 1);
        }
    }
}
