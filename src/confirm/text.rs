//! Text for terminals: safe to print, and wrapped by display width.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Returns the text without anything that could steer a terminal or reorder a line: control
/// characters (C0, C1) and the bidirectional controls of Unicode's UAX #9 become `�`, tabs and line
/// ends a space. Supplied transcripts may hold such characters.
pub(super) fn safe(text: &str) -> String {
    let safe_char = |c: char| match c {
        '\t' | '\n' | '\r' => ' ',
        '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => '\u{fffd}',
        c if c.is_control() => '\u{fffd}',
        c => c,
    };
    text.chars().map(safe_char).collect()
}

/// Returns the text in lines of at most `width` columns, broken between words where possible;
/// at least one line. A `width` below 2 counts as 2, so that every character fits.
pub(super) fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(2);
    let mut lines = vec![String::new()];
    let mut used = 0;
    for word in text.split_whitespace() {
        let mut rest = word;
        let gap = usize::from(used > 0);
        if used + gap + rest.width() > width && used > 0 {
            lines.push(String::new());
            used = 0;
        } else if used > 0 {
            push(&mut lines, " ");
            used += 1;
        }
        while used + rest.width() > width {
            let (head, tail) = rest.split_at(fitting(rest, width - used));
            push(&mut lines, head);
            lines.push(String::new());
            used = 0;
            rest = tail;
        }
        push(&mut lines, rest);
        used += rest.width();
    }
    lines
}

/// Returns the text cut to `width` columns, with `…` at the end where something is missing.
pub(super) fn cut(text: &str, width: usize) -> String {
    if text.width() <= width {
        return text.to_string();
    }
    let head = &text[..fitting(text, width.saturating_sub(1))];
    if width == 0 {
        String::new()
    } else {
        format!("{}…", head.trim_end())
    }
}

/// Returns how many bytes of the text fit into `width` columns.
fn fitting(text: &str, width: usize) -> usize {
    let mut used = 0;
    for (place, c) in text.char_indices() {
        used += c.width().unwrap_or(0);
        if used > width {
            return place;
        }
    }
    text.len()
}

fn push(lines: &mut [String], text: &str) {
    if let Some(line) = lines.last_mut() {
        line.push_str(text);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn nothing_printed_can_steer_the_terminal() {
        for (text, shown) in [
            ("plain\ttext\n", "plain text "),
            ("\u{1b}[2Jgone", "\u{fffd}[2Jgone"),
            ("a\u{202e}b\u{9b}c", "a\u{fffd}b\u{fffd}c"),
            ("naïve 東京", "naïve 東京"),
        ] {
            assert_eq!(safe(text), shown);
        }
    }

    #[test]
    fn lines_break_between_words_and_count_wide_characters_twice() {
        for (text, width, lines) in [
            ("", 10, vec![""]),
            ("one two three", 7, vec!["one two", "three"]),
            ("unbreakable", 4, vec!["unbr", "eaka", "ble"]),
            ("a unbreakable", 4, vec!["a", "unbr", "eaka", "ble"]),
            ("東京都 庁", 4, vec!["東京", "都", "庁"]),
        ] {
            assert_eq!(wrap(text, width), lines, "{text} in {width}");
        }
    }

    #[test]
    fn cutting_shows_that_something_is_missing() {
        for (text, width, shown) in [
            ("abc", 3, "abc"),
            ("abcd", 3, "ab…"),
            ("東京都", 4, "東…"),
            ("abc", 0, ""),
        ] {
            assert_eq!(cut(text, width), shown);
        }
    }

    proptest! {
        #[test]
        fn wrapping_loses_no_character_and_keeps_to_the_width(
            text in "[a-z 東é]{0,60}", width in 2usize..20,
        ) {
            let lines = wrap(&text, width);
            prop_assert!(lines.iter().all(|line| line.width() <= width), "{:?}", lines);
            let letters = |text: &str| text.chars().filter(|c| *c != ' ').collect::<String>();
            prop_assert_eq!(letters(&lines.concat()), letters(&text));
        }
    }
}
