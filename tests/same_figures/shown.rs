//! A figure is the same wherever it is shown.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use serde_json::Value;
use thirdwood::judge::Metric;
use thirdwood::report::document::sheets;
use thirdwood::report::{DaySheet, Format, Making, Period, Report, StandingsOf, json, text, words};
use thirdwood::store::Store;
use thirdwood::tui::app::{Event, view};
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::{Action, Screen};

use crate::{common, season, start};

/// The lines of the screen.
fn screen(desk: &Runtime) -> Vec<String> {
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

/// Blanks and line ends as one blank each.
fn one_blank(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn written(report: &Report, format: Format) -> Vec<u8> {
    report.write(format, &Making::default()).unwrap()
}

/// A page without its marks.
fn html(sheet: &DaySheet) -> String {
    let report = Report::DaySheets(vec![sheet.clone()]);
    let page = String::from_utf8(written(&report, Format::Html)).unwrap();
    let mut text = String::new();
    for part in page.split('<') {
        text.push(' ');
        text.push_str(part.split_once('>').map_or("", |(_, words)| words));
    }
    one_blank(&text)
}

/// What another program reads in the PDF; none where that program is not there.
fn pdf(sheet: &DaySheet) -> Option<String> {
    let report = Report::DaySheets(vec![sheet.clone()]);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sheet.pdf");
    std::fs::write(&path, written(&report, Format::Pdf)).unwrap();
    let read = std::process::Command::new("pdftotext")
        .arg("-layout")
        .arg(&path)
        .arg("-")
        .output();
    match read {
        Ok(read) => Some(one_blank(&String::from_utf8(read.stdout).unwrap())),
        Err(_) if std::env::var_os("CI").is_none() => {
            eprintln!("SKIPPED: PDF is not compared, pdftotext (poppler-utils) is not installed");
            None
        }
        Err(e) => panic!("pdftotext: {e}"),
    }
}

/// The crew as CSV and as a workbook: for each line its name and under each of these headings a number.
fn tables(crew: &Report, heads: &[&str]) -> [Vec<(String, Vec<f64>)>; 2] {
    let csv = written(crew, Format::Csv);
    let mut reader = csv::Reader::from_reader(csv.as_slice());
    let titles = reader.headers().unwrap().clone();
    let cell = |row: &csv::StringRecord, head: &str| {
        let place = titles.iter().position(|title| title == head).unwrap();
        row[place].to_owned()
    };
    let figures = |row: &csv::StringRecord| {
        let number = |head: &&str| cell(row, head).parse().unwrap();
        (cell(row, "name"), heads.iter().map(number).collect())
    };
    let lines = reader.records().map(|row| figures(&row.unwrap())).collect();

    let bytes = std::io::Cursor::new(written(crew, Format::Xlsx));
    let mut book: calamine::Xlsx<_> = calamine::open_workbook_from_rs(bytes).unwrap();
    let range = calamine::Reader::worksheet_range(&mut book, "Crew").unwrap();
    let mut rows = range.rows();
    let titles: Vec<String> = rows
        .next()
        .unwrap()
        .iter()
        .map(ToString::to_string)
        .collect();
    let of = |row: &[calamine::Data], head: &str| {
        let head = thirdwood::report::tables::heading(head);
        row[titles.iter().position(|title| *title == head).unwrap()].clone()
    };
    let number = |cell: &calamine::Data| match cell {
        calamine::Data::Float(number) => *number,
        calamine::Data::Int(number) => *number as f64,
        other => panic!("no number: {other:?}"),
    };
    let figures = |row: &[calamine::Data]| {
        let numbers = heads.iter().map(|head| number(&of(row, head))).collect();
        (of(row, "name").to_string(), numbers)
    };
    [lines, rows.map(figures).collect()]
}

#[test]
fn a_figure_is_the_same_in_every_format_and_on_the_screen() {
    let store = Store::in_memory().unwrap();
    thirdwood::demo::fill(&store, 1, common::today()).unwrap();
    let season = season(&store);
    let today = common::today();
    let mut desk = Runtime::new(&store, start(), (120, 40)).unwrap();
    desk.take(Event::Act(Action::Go(Screen::Crew)));
    let lines = screen(&desk);
    let mut compared = 0;
    let standings = season.standings(StandingsOf::Crew, Period::so_far(today));
    let heads = ["trees", "drawn", "one", "two", "three", "four_plus", "buds"];
    let tables = tables(&Report::Standings(standings), &heads);
    let crew = season.pruners.iter();
    let sheets: Vec<_> = crew
        .flat_map(|who| season.day_sheet(who.id, today))
        .collect();
    for sheet in sheets.into_iter().filter(|sheet| sheet.standing.trees > 0) {
        let one = std::slice::from_ref(&sheet);
        let data: Value = serde_json::from_str(&json::day_sheets(one, "").unwrap()).unwrap();
        let text = text::render(&sheets::day_sheets(one));
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
            let of = |line: &'_ str| -> Vec<String> {
                let cells = line.split("  ").map(str::trim);
                cells
                    .filter(|cell| !cell.is_empty())
                    .map(str::to_owned)
                    .collect()
            };
            // a sentence may begin a line with the same words
            let mut lines = text.lines().map(|line| (line, of(line)));
            let found = lines.find(|(_, cells)| cells.len() > 2 && cells[0] == name);
            let (line, cells) = found.unwrap();
            // metric, rule, left
            assert_eq!(cells[2], format!("{figure} %"), "{shown}: {line}");
        }
        assert!(text.contains(&format!("Judged on {trees} trees")), "{text}");

        // on paper: rule and what was left, after the metric's name
        let (page, sheets) = (html(&sheet), pdf(&sheet));
        for (line, figure) in sheet.table.iter().zip(&figures) {
            let name = words::metric_short(line.metric);
            let row = format!("{name} {} {figure} %", words::band(line.band));
            assert!(page.contains(&row), "{shown}: {row} in {page}");
            // how wide a blank is, that program guesses
            let close = |text: &str| text.replace(' ', "");
            let printed = (sheets.as_ref()).is_none_or(|text| close(text).contains(&close(&row)));
            assert!(printed, "{shown}: {row} in {sheets:?}");
        }

        // tables: in full precision
        let mut exact = vec![f64::from(trees), standing["drawn"].as_f64().unwrap()];
        exact.extend((0..4).map(|age| standing["mix"][age].as_f64().unwrap()));
        exact.push(buds["mean"].as_f64().unwrap());
        for lines in &tables {
            let (_, found) = lines
                .iter()
                .find(|(name, of)| name == shown && (of[0] - exact[0]).abs() < 0.5)
                .unwrap();
            let apart = found.iter().zip(&exact).map(|(a, b)| (a - b).abs());
            assert!(
                apart.fold(0.0, f64::max) < 1e-12,
                "{shown}: {found:?} {exact:?}"
            );
        }

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
