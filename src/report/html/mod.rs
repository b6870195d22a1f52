//! A [`Paper`] as one HTML file: nothing outside it is fetched, and nothing in it runs.
//!
//! Read on a phone, in the sun, and printed: on paper each sheet begins a new page.

mod table;

use std::borrow::Cow;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::fit::safe;
use super::paper::svg::svg;
use super::paper::{Paper, Part, Picture, Sheet};

const STYLE: &str = include_str!("style.css");
/// Everything is forbidden but the style in the file itself.
const POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

/// The paper as a page. `made` is the moment of making, RFC 3339.
pub fn render(paper: &Paper, made: &str) -> String {
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

/// `2027-01-12 17:40` of a moment.
fn clock(made: &str) -> String {
    let short = made.get(..16).unwrap_or(made);
    words(&short.replace('T', " ")).into_owned()
}

/// The title, and links to the sheets.
fn contents(paper: &Paper) -> Markup {
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
            @for (place, item) in (1..).zip(&sheet.parts) {
                (part(item, several, &format!("picture-{number}-{place}")))
            }
        }
    }
}

/// `id` begins the ids of the part's picture.
fn part(part: &Part, several: bool, id: &str) -> Markup {
    match part {
        Part::Heading(text) if several => html! { h3 { (words(text)) } },
        Part::Heading(text) => html! { h2 { (words(text)) } },
        Part::Lead(text) => html! { p.lead { (words(text)) } },
        Part::Para(text) => html! { p { (words(text)) } },
        Part::Note(text) => html! { p.note { (words(text)) } },
        Part::Caution(text) => html! { p.caution { (words(text)) } },
        Part::List { numbered, items } => {
            let items = html! { @for item in items { li { (words(item)) } } };
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
