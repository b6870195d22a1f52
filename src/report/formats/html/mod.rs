//! A [`Document`] as one HTML file: nothing outside it is fetched, and nothing in it runs.
//!
//! Read on a phone, in the sun, and printed: on paper each sheet begins a new page.

mod svg;
mod table;

use std::borrow::Cow;

use maud::{DOCTYPE, Markup, PreEscaped, html};
use svg::svg;

use crate::report::document::{Document, Part, Picture, Sheet};
use crate::report::fit::safe;

const STYLE: &str = include_str!("style.css");
/// Everything is forbidden but the style in the file itself.
const POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

/// Letters of a date or a range with its signs, at most.
const LONGEST_KEPT: usize = 16;

/// The paper as a page. `made` is the moment of making, RFC 3339.
pub fn render(paper: &Document, made: &str) -> String {
    let several = paper.sheets.len() > 1;
    let page = html! {
        (DOCTYPE)
        html lang=(paper.lang) {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content=(format!("thirdwood {}", env!("CARGO_PKG_VERSION")));
                meta name="date" content=(safe(made));
                meta name="referrer" content="no-referrer";
                title { (words(&paper.title)) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                @if several { (contents(paper)) }
                main {
                    @for (number, sheet) in (1..).zip(&paper.sheets) {
                        (article(sheet, number, several, paper.lang))
                    }
                }
                footer { p { "thirdwood, " time datetime=(safe(made)) { (clock(made)) } } }
            }
        }
    };
    page.into_string()
}

/// Text of the paper: what steers terminals or turns the reading direction is made visible; maud escapes the rest.
fn words(text: &str) -> Cow<'_, str> {
    safe(text)
}

/// As [`words`]; dates and ranges of figures are kept from breaking at their hyphens.
fn text_of(text: &str) -> Markup {
    let whole = words(text);
    let kept = |word: &str| {
        word.len() <= LONGEST_KEPT
            && word.contains('-')
            && word.contains(|c: char| c.is_ascii_digit())
    };
    html! {
        @for (at, word) in whole.split(' ').enumerate() {
            @if at > 0 { " " }
            @if kept(word) { span.k { (word) } } @else { (word) }
        }
    }
}

/// `2027-01-12 17:40` of a moment.
fn clock(made: &str) -> String {
    let short = made.get(..16).unwrap_or(made);
    words(&short.replace('T', " ")).into_owned()
}

/// The title, and links to the sheets.
fn contents(paper: &Document) -> Markup {
    html! {
        header.top {
            h1 #title { (words(&paper.title)) }
            nav aria-labelledby="title" {
                ul {
                    @for (number, sheet) in (1..).zip(&paper.sheets) {
                        li { a href=(format!("#sheet-{number}")) { (words(&sheet.title)) } }
                    }
                }
            }
        }
    }
}

fn article(sheet: &Sheet, number: usize, several: bool, lang: &str) -> Markup {
    let own = (sheet.lang != lang).then_some(sheet.lang);
    let title = words(&sheet.title);
    let name = format!("name-{number}");
    html! {
        article id=(format!("sheet-{number}")) lang=[own] aria-labelledby=(name) {
            header {
                p.where { span { (words(&sheet.orchard)) } " " span { (words(&sheet.winter)) } }
                @if several { h2 id=(name) { (title) } } @else { h1 id=(name) { (title) } }
                p.day { (words(&sheet.day)) }
            }
            @for (place, like) in (1..).zip(sheet.parts.chunk_by(belong_together)) {
                (parts(like, several, &format!("picture-{number}-{place}")))
            }
        }
    }
}

/// Pictures stand side by side where there is room, cautions in one box.
fn belong_together(a: &Part, b: &Part) -> bool {
    matches!(
        (a, b),
        (Part::Picture(_), Part::Picture(_)) | (Part::Caution(_), Part::Caution(_))
    )
}

/// `id` begins the ids of pictures.
fn parts(like: &[Part], several: bool, id: &str) -> Markup {
    let all = html! {
        @for (place, item) in (1..).zip(like) { (part(item, several, &format!("{id}-{place}"))) }
    };
    match like.first() {
        Some(Part::Picture(_)) => html! { div.pictures { (all) } },
        Some(Part::Caution(_)) => html! { div.caution { (all) } },
        _ => all,
    }
}

fn part(part: &Part, several: bool, id: &str) -> Markup {
    match part {
        Part::Heading(text) if several => html! { h3 { (text_of(text)) } },
        Part::Heading(text) => html! { h2 { (text_of(text)) } },
        Part::Lead(text) => html! { p.lead { (text_of(text)) } },
        Part::Para(text) => html! { p { (text_of(text)) } },
        Part::Note(text) => html! { p.note { (text_of(text)) } },
        Part::Caution(text) => html! { p { (text_of(text)) } },
        Part::List { numbered, items } => {
            let items = html! { @for item in items { li { (text_of(item)) } } };
            if *numbered {
                html! { ol { (items) } }
            } else {
                html! { ul { (items) } }
            }
        }
        Part::Table(made) => table::table(made),
        Part::Picture(made) => picture(made, id),
    }
}

/// The drawing holds its title and its text equivalent for those who cannot see it.
fn picture(picture: &Picture, id: &str) -> Markup {
    html! {
        figure {
            figcaption { (words(&picture.title)) }
            (PreEscaped(svg(picture, id)))
        }
    }
}

#[cfg(test)]
mod tests;
