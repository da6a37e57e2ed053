//! Templates as text: what is taken over, and what is told of mistakes.

use super::*;
use crate::export::pdf::colour::Colour;

fn parse(text: &str) -> Result<(Template, Vec<TemplateProblem>), Vec<TemplateProblem>> {
    Template::parse(Path::new("own/paper.toml"), text, |path| {
        match path.to_str() {
            Some("own/regular.otf") => {
                Ok(include_bytes!("../../../../fonts/SourceSans3-It.otf").to_vec())
            }
            Some("own/text.txt") => Ok(b"text".to_vec()),
            _ => Err(std::io::ErrorKind::NotFound.into()),
        }
    })
}

fn problems(text: &str) -> Vec<String> {
    let problems = match parse(text) {
        Ok((_, warnings)) => warnings,
        Err(problems) => problems,
    };
    problems.iter().map(ToString::to_string).collect()
}

#[test]
fn everything_can_be_set() {
    let (template, warnings) = parse(
        r##"
[paper]
sections = ["list", "index"]
[colours]
main = "#333366"
[fonts]
regular = "regular.otf"
[texts]
firm = ["Pell & Dray", "12 Fold Lane"]
foot = "Private"
inspection = "What could be seen."
"##,
    )
    .unwrap();
    assert_eq!(warnings, []);
    assert_eq!(template.sections, Some(vec![Section::List, Section::Index]));
    assert_eq!(template.look.main, Colour(0x33, 0x33, 0x66));
    assert!(template.look.fonts[0].is_some());
    assert_eq!(template.texts.firm, ["Pell & Dray", "12 Fold Lane"]);
    assert_eq!(
        template.texts.inspection,
        Some(vec!["What could be seen.".into()])
    );
    assert_eq!(parse("").unwrap().0, Template::default());
}

#[test]
fn problems_name_line_and_field() {
    for (text, expected) in [
        (
            "[colours]\nmain = \"teal\"",
            "own/paper.toml:2: colours.main: \"teal\" is no colour; expected six hexadecimal digits as in \"#174a5b\"",
        ),
        (
            "\n[colours]\n\nmain = 7",
            "own/paper.toml:4: colours.main: expected a text in quotes",
        ),
        (
            "[colours]\nmane = \"#000000\"",
            "own/paper.toml:2: colours.mane: no such field; expected one of main, text, quiet, alert",
        ),
        (
            "[colors]\nmain = \"#000000\"",
            "own/paper.toml:1: colors: no such table; expected one of [paper], [colours], [fonts], [texts]",
        ),
        (
            "main = \"#000000\"",
            "own/paper.toml:1: main: no such table; expected one of [paper], [colours], [fonts], [texts]",
        ),
        (
            "[paper]\nsections = [\"list\", \"lists\"]",
            "own/paper.toml:2: paper.sections: no section \"lists\"; expected some of cover, summary, reading, contents, list, cautions, words, index, sources",
        ),
        (
            "[paper]\nsections = [\"list\", \"list\"]",
            "own/paper.toml:2: paper.sections: \"list\" stands there twice; name each section once",
        ),
        (
            "[paper]\nsections = [\"cover\"]",
            "own/paper.toml:2: paper.sections: \"list\" is missing; a report without its items is none",
        ),
        (
            "[paper]\nlogo = \"text.txt\"",
            "own/paper.toml:2: paper.logo: not a picture that can be used; expected a PNG or an RGB JPEG file",
        ),
        (
            "[fonts]\nbold = \"text.txt\"",
            "own/paper.toml:2: fonts.bold: not a TrueType or OpenType font",
        ),
        (
            "[fonts]\nbold = \"gone.ttf\"",
            "own/paper.toml:2: fonts.bold: cannot read own/gone.ttf: entity not found",
        ),
        (
            "[texts]\nfoot = \"\"",
            "own/paper.toml:2: texts.foot: expected a text in quotes",
        ),
    ] {
        assert_eq!(problems(text), [expected]);
    }
    assert_eq!(
        problems("[texts]\nfoot = \"a\nb\"").len(),
        1,
        "a fault of TOML"
    );
    assert_eq!(
        problems("[colours]\nmain = 1\ntext = 2\n[font]\na = 1").len(),
        3,
        "all at once"
    );
}

#[test]
fn pale_colours_are_warned_of() {
    let warnings = problems("[colours]\nmain = \"#1d4f5c\"\nquiet = \"#aaaaaa\"");
    assert_eq!(
        warnings[0],
        "own/paper.toml:3: colours.quiet: the contrast of #aaaaaa on #ffffff (white paper) is 2.3 to 1; \
         at least 4.5 to 1 can be read by most people (WCAG 2.2, 1.4.3)"
    );
}
