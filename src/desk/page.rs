//! The page's frame: its landmarks, controls and dialogs, without anything of the job. The scripts fill
//! it once the cookie is there.

use super::assets::ASSETS;
use crate::job::Field;
use maud::{DOCTYPE, Markup, html};

/// Returns the page. `silent` where no recording can be heard: its strip is then a line of words.
pub(crate) fn page(silent: bool) -> Markup {
    let scripts = ASSETS.iter().filter(|asset| asset.name.ends_with(".js"));
    html! {
        (DOCTYPE)
        html lang="en-GB" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { "Callover desk" }
                link rel="icon" href="/assets/icon.svg" type="image/svg+xml";
                link rel="stylesheet" href="/assets/desk.css";
                link rel="stylesheet" href="/assets/card.css";
                @for script in scripts {
                    link rel="modulepreload" href={ "/assets/" (script.name) };
                }
                script type="module" src="/assets/main.js" {}
            }
            body data-view="list" {
                a.skip href="#list" { "To the list" }
                (head())
                (strip(silent))
                nav.views aria-label="Parts of the page" {
                    button type="button" data-view="list" aria-pressed="true" { "List" }
                    button type="button" data-view="words" aria-pressed="false" { "Words" }
                    button type="button" data-view="photos" aria-pressed="false" { "Photos" }
                }
                main #list tabindex="-1" aria-label="The list" {
                    p #empty.quiet { "Reading the job …" }
                    div #ledger {}
                    details #unlisted hidden { summary { "Said, and in no item" } ul {} }
                    details #growth hidden { summary { "Corrections an item, job by job" } div {} }
                }
                aside #words aria-label="What was said" {
                    h2 { "What was said" }
                    div #paragraphs tabindex="-1" {}
                    button #from-words type="button" hidden { "New item from these words" }
                }
                aside #photos aria-label="Photos" {
                    h2 { "Photos " span #photo-count.aside {} }
                    label.upload { "Add photos" input #photo-files type="file" accept="image/jpeg,image/png,image/webp" multiple; }
                    div #shelf {}
                }
                p #told role="status" aria-live="polite" {}
                p #trouble role="alert" {}
                (dialogs())
                noscript { p { "This page needs JavaScript; callover confirm does the same in the terminal." } }
            }
        }
    }
}

fn head() -> Markup {
    html! {
        header {
            h1 #title { "Callover" }
            div.progress {
                p #progress { "\u{a0}" }
                div #bar aria-hidden="true" { span.confirmed {} span.rejected {} }
            }
            form #filters role="search" aria-label="Find items" {
                label.find { span.unseen { "Search" } input #search type="search" placeholder="Search" autocomplete="off" aria-keyshortcuts="/"; }
                (choice("show", "Show", &[
                    ("all", "all items"), ("undecided", "undecided"), ("unsure", "unsure first"),
                    ("outside", "outside limits"), ("without-photo", "without photo"),
                    ("wanted", "photo asked for"), ("confirmed", "confirmed"), ("rejected", "rejected"),
                ]))
                (choice("place", "Place", &[("", "every place")]))
                (choice("trade", "Trade", &[("", "every trade")]))
                (choice("severity", "Severity", &[
                    ("", "every severity"), ("safety", "safety"), ("repair", "repair"), ("finish", "finish"),
                    ("clean", "clean"), ("watch", "watch"),
                ]))
            }
            div.tools role="group" aria-label="Actions" {
                button #undo type="button" disabled { "Undo" kbd { "u" } }
                button #redo type="button" disabled { "Redo" kbd { "y" } }
                button #new type="button" { "New item" kbd { "n" } }
                button #rest type="button" { "Accept sure ones" kbd { "A" } }
                button #help type="button" { "Keys" kbd { "?" } }
            }
        }
    }
}

fn choice(id: &str, label: &str, options: &[(&str, &str)]) -> Markup {
    html! {
        label { span.unseen { (label) }
            select #(id) { @for (value, text) in options { option value=(value) { (text) } } }
        }
    }
}

fn strip(silent: bool) -> Markup {
    html! {
        section #strip.silent[silent] aria-label="Recording" {
            div.player {
                button #play type="button" aria-label="Play" disabled { span.sign aria-hidden="true" {} }
                p.clock { span #now { "0:00" } " / " span #end { "0:00" } }
                label #which hidden { span.unseen { "Recording" } select #recording {} }
                label.follow { input #as-you-go type="checkbox"; " play each item" }
            }
            canvas #near aria-hidden="true" {}
            div #far role="slider" tabindex="0" aria-label="Moment in the recording" aria-valuemin="0" aria-valuemax="0" aria-valuenow="0" aria-valuetext="0:00" {
                canvas aria-hidden="true" {}
            }
            p #no-sound.quiet hidden {}
            audio #audio preload="metadata" {}
        }
    }
}

fn dialogs() -> Markup {
    html! {
        dialog.over #new-item aria-labelledby="new-title" {
            form method="dialog" {
                h2 #new-title { "New item" }
                blockquote #new-quote hidden {}
                @for field in [Field::Place, Field::Element, Field::Defect] {
                    label { (field.name()) input name=(field.name()) data-field=(field.name()) autocomplete="off"; }
                }
                p #new-note.note {}
                menu { button type="submit" value="add" { "Add" } button type="button" data-close { "Cancel" } }
            }
        }
        dialog.over #reject aria-labelledby="reject-title" {
            form method="dialog" {
                h2 #reject-title { "Reject" }
                div #reasons role="group" aria-label="Usual reasons" {}
                label { "Reason" input name="reason" autocomplete="off"; }
                menu { button type="submit" value="reject" { "Reject" } button type="button" data-close { "Cancel" } }
            }
        }
        dialog.over #stand aria-labelledby="stand-title" {
            form method="dialog" {
                h2 #stand-title { "How it stands" }
                div #standings role="radiogroup" aria-labelledby="stand-title" {}
                label { "Note" input name="note" autocomplete="off"; }
                menu { button type="submit" { "Keep" } button type="button" data-close { "Cancel" } }
            }
        }
        dialog.over #question aria-labelledby="question-title" {
            form method="dialog" {
                h2 #question-title { "Question" }
                div.answer {}
                p.note aria-live="polite" {}
                menu { button type="submit" { "Do it" } button type="button" data-close { "Cancel" } }
            }
        }
        dialog.over #split aria-labelledby="split-title" {
            form method="dialog" {
                h2 #split-title { "Split" }
                p.note { "Choose the word at which the new item begins." }
                div #split-words role="radiogroup" aria-labelledby="split-title" {}
                menu { button type="submit" { "Split" } button type="button" data-close { "Cancel" } }
            }
        }
        dialog #keys aria-labelledby="keys-title" {
            form method="dialog" {
                h2 #keys-title { "Keys" }
                label.follow { input #keys-on type="checkbox" checked; " single keys act on the open item" }
                dl #key-list {}
                menu { button type="button" data-close { "Close" } }
            }
        }
        dialog #large aria-labelledby="large-title" {
            form method="dialog" {
                h2 #large-title {}
                img #large-picture alt="";
                menu { button type="button" data-close { "Close" } }
            }
        }
    }
}
