//! Tables: where a phone is too narrow for one, each row becomes a card.

use maud::{Markup, html};

use super::{text_of, words};
use crate::report::document::Table;
use crate::report::fit::{Align, width};

/// Columns of letters that the narrowest phone shows, with its edges taken off.
const ROOM: usize = 33;
/// Columns in words that have room beside each other there: each has a least width.
const IN_WORDS: usize = 3;
/// Columns of letters between two cells.
const GAP: usize = 2;

/// Rows of a table that is not parted between two pages, at most.
const KEPT_WHOLE: usize = 14;

/// A table. In a wide one each cell carries the heading of its column, for the cards; its roles are told
/// outright, since a table that is laid out otherwise is one to nobody's ears.
pub fn table(table: &Table) -> Markup {
    let cards = is_wide(table);
    let role = |role: &'static str| cards.then_some(role);
    let kept = (table.rows.len() <= KEPT_WHOLE).then_some("whole");
    let classes: Vec<&str> = (cards.then_some("cards").into_iter().chain(kept)).collect();
    let class = |align| match align {
        Align::Right => "n",
        Align::Left | Align::Centre => "w",
    };
    html! {
        table class=(classes.join(" ")) role=[role("table")] {
            caption { (words(&table.caption)) }
            thead role=[role("rowgroup")] {
                tr role=[role("row")] {
                    @for column in &table.columns {
                        th scope="col" class=(class(column.align)) role=[role("columnheader")] { (text_of(&column.title)) }
                    }
                }
            }
            tbody role=[role("rowgroup")] {
                @for row in &table.rows {
                    tr role=[role("row")] {
                        @for (at, (cell, column)) in row.iter().zip(&table.columns).enumerate() {
                            @if at == 0 {
                                th scope="row" class=(class(column.align)) role=[role("rowheader")] { (text_of(cell)) }
                            } @else {
                                td class=(class(column.align)) role=[role("cell")]
                                    data-head=[cards.then(|| words(&column.title))] {
                                    // in a card the value is one thing beside its heading
                                    @if cards && !cell.is_empty() { span { (text_of(cell)) } } @else { (text_of(cell)) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Whether the table is wider than a phone. Figures stay on one line, words break between words.
fn is_wide(table: &Table) -> bool {
    let longest = |text: &str| text.split(' ').map(width).max().unwrap_or(0);
    let column = |at: usize, align: Align| {
        let cells = table.rows.iter().filter_map(|row| row.get(at));
        let figures = |cell: &String| match align {
            Align::Right => width(cell),
            Align::Left | Align::Centre => longest(cell).min(10),
        };
        let cells = cells.map(figures).max().unwrap_or(0);
        cells.max(longest(&table.columns[at].title)) + GAP
    };
    let columns = table.columns.iter().enumerate();
    let in_words = table.columns.iter().filter(|of| of.align != Align::Right);
    in_words.count() > IN_WORDS
        || columns.map(|(at, of)| column(at, of.align)).sum::<usize>() > ROOM
}
