//! A figure is the same wherever it is shown.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use serde_json::Value;
use thirdwood::judge::Metric;
use thirdwood::report::{json, text};
use thirdwood::store::Store;
use thirdwood::tui::app::{Event, view};
use thirdwood::tui::run::Desk;
use thirdwood::tui::{Action, Screen};

use crate::{common, season, start};

/// The lines of the screen.
fn screen(desk: &Desk) -> Vec<String> {
    let (width, height) = desk.model.size;
    let mut buf = Buffer::empty(Rect::new(0, 0, width, height));
    view(&desk.model, &mut buf);
    let lines = buf.content.chunks(usize::from(width));
    lines
        .map(|cells| cells.iter().map(ratatui::buffer::Cell::symbol).collect())
        .collect()
}

/// All whole numbers of a text.
fn numbers(text: &str) -> Vec<u32> {
    let parts = text.split(|c: char| !c.is_ascii_digit());
    parts.filter_map(|part| part.parse().ok()).collect()
}

#[test]
fn a_figure_is_the_same_in_text_in_data_and_on_the_screen() {
    let store = Store::in_memory().unwrap();
    thirdwood::demo::fill(&store, 1, common::today()).unwrap();
    let season = season(&store);
    let today = common::today();
    let mut desk = Desk::new(&store, start(), (120, 40)).unwrap();
    desk.take(Event::Act(Action::Go(Screen::Crew)));
    let lines = screen(&desk);
    let mut compared = 0;
    let crew = season.pruners.iter();
    let sheets: Vec<_> = crew
        .flat_map(|who| season.day_sheet(who.id, today))
        .collect();
    for sheet in sheets.into_iter().filter(|sheet| sheet.standing.trees > 0) {
        let one = std::slice::from_ref(&sheet);
        let data: Value = serde_json::from_str(&json::day_sheets(one, "").unwrap()).unwrap();
        let text = text::day_sheets(one, text::TextOptions::default());
        let standing = &data["data"][0]["standing"];
        let shown = standing["subject"]["shown"].as_str().unwrap();
        let trees = standing["trees"].as_u64().unwrap() as u32;
        let percent = |share: &Value| (share.as_f64().unwrap() * 100.0).round() as u32;
        let mut figures: Vec<u32> = (0..4).map(|age| percent(&standing["mix"][age])).collect();
        let within = data["data"][0]["table"].as_array().unwrap();
        let buds = within.iter().find(|line| line["metric"] == "buds").unwrap();
        figures.push(percent(&buds["mean"]));

        // the text: a line for each metric, its third number with a percent sign is what was left
        for (metric, figure) in Metric::ALL.into_iter().zip(&figures) {
            let name = thirdwood::report::words::metric_short(metric);
            let line = text
                .lines()
                .find(|line| line.starts_with(&format!("{name} ")))
                .unwrap();
            let left = line[22..29].trim().trim_end_matches(" %");
            assert_eq!(left, figure.to_string(), "{shown}: {line}");
        }
        assert!(text.contains(&format!("Judged on {trees} trees")), "{text}");

        // the screen: the same six, after the name
        let name = lines.iter().find(|line| line.contains(shown)).unwrap();
        let row = numbers(name.split_once(shown).unwrap().1);
        let place = row.iter().position(|n| *n == trees).unwrap();
        // pruned, counted (drawn), the four ages, buds
        assert_eq!(row[place + 2..place + 7], figures[..], "{shown}: {name}");
        assert_eq!(
            u64::from(row[place + 1]),
            standing["drawn"].as_u64().unwrap()
        );
        compared += 1;
    }
    assert!(compared >= 8, "{compared} sheets");
}
