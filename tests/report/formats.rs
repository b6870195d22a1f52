//! Every format says the same, keeps to its width, and lets nothing through.

use chrono::NaiveDate;
use serde::Serialize;
use serde_json::Value;
use thirdwood::orchard::*;
use thirdwood::report::document::sheets;
use thirdwood::report::fit::{percent, width};
use thirdwood::report::{
    BriefSheet, Format, Making, OutlookSheet, Period, Report, Season, StandingsOf, Taken, json,
    text,
};
use uuid::Uuid;

use crate::builder::*;

pub const MADE: &str = "2027-01-04T17:00:00+00:00";

/// A winter in which something stands in every part of every report.
pub fn full(block_names: [&str; 2], pruner_names: [&str; 3], number_only: bool) -> Season {
    let orchard = Orchard::new("Invented Orchard");
    let blocks = block_names.map(|name| orchard.block(name, "1-9x60, 10x130", "3:7"));
    let [off, good, unseen] =
        [4, 7, 12].map(|n: u16| orchard.pruner(n, pruner_names[usize::from(n % 3)], number_only));
    orchard.counted_row(&off, &blocks[0], 1, 30, 2, |n| Tree(light(n).0, THICK_LONG));
    orchard.counted_row(&off, &blocks[0], 2, 8, 4, light);
    add_crop(&orchard, &off, &blocks);
    orchard.counted_row(&good, &blocks[0], 3, 6, 4, even);
    orchard.work(&unseen, &blocks[1], 10, (1, 130), 4);
    orchard.count_as(&good, &blocks[0], (4, 1), 4, &even(2), |count| {
        count.head.chosen = Chosen::ByEye;
        count.head.part = Part::Stems(2);
        (count.tally.upright, count.tally.thick_top) = (3, 1);
    });
    let reason = format!("{} left standing", block_names[1]);
    orchard.send_back(&off, &blocks[0], 1, 3, &reason);
    let mut settled = orchard.send_back(&off, &blocks[0], 2, 3, "");
    settled.settled = Some(Settled {
        outcome: Outcome::Mended,
        day: day(4),
    });
    orchard.store.save_go_back(&settled).unwrap();
    let draw = orchard
        .season()
        .plan_draw(9, day(1), day(4), 2027, DrawId(Uuid::now_v7()), day(4))
        .unwrap();
    orchard.store.add_draw(&draw).unwrap();
    orchard.store.skip_drawn(draw.id, 0, Some(&reason)).unwrap();
    orchard.season()
}

/// Brief and outlook of every block.
pub fn ahead(season: &Season) -> (Vec<BriefSheet>, Vec<OutlookSheet>) {
    let wood = season.wood(Period::so_far(on()));
    let taken = Taken {
        fruit_weight_g: Some(190.0),
        ..Taken::default()
    };
    let blocks = season.blocks.iter();
    let both = blocks.map(|block| {
        let brief = season.brief(block.id, &wood, &taken, on()).unwrap();
        let outlook = season.outlook(block.id, &wood, &taken, on()).unwrap();
        (brief, outlook)
    });
    both.unzip()
}

/// Aims, harvests and counts before pruning, so that briefs and outlooks are full.
fn add_crop(orchard: &Orchard, pruner: &Pruner, blocks: &[Block; 2]) {
    use thirdwood::outlook::*;
    let aims = [
        Target::TonnesPerHa(65.0),
        Target::FruitPerTcsa {
            fruit_per_cm2: 4.5,
            girth_cm: 30.0,
        },
    ];
    for (block, aim) in blocks.iter().zip(aims) {
        orchard
            .store
            .save_aim(orchard.winter.id, block.id, Some(aim))
            .unwrap();
        for (season, kg) in [(2024, 30.0), (2025, 20.0), (2026, 41.0)] {
            let entry = HarvestEntry {
                season,
                amount: Yield::KgPerTree(kg),
                weighed: None,
            };
            orchard.store.save_harvest(block.id, &entry).unwrap();
        }
    }
    for place in 1..=5 {
        let tree = Tree([14, 30, 20, 2], &[]);
        orchard.count_as(pruner, &blocks[0], (9, place), 1, &tree, |count| {
            count.head.stage = Stage::Before;
        });
    }
}

pub fn plain() -> Season {
    full(["River", "Hill"], ["Noor", "Aroha", "Tam"], false)
}

pub fn on() -> NaiveDate {
    day(4)
}

/// Everything that can be rendered as text.
fn texts(season: &Season) -> Vec<String> {
    let mut texts = vec![
        text::render(&sheets::day_sheets(&season.day_sheets(on()))),
        text::render(&sheets::supervisor(&season.supervisor_page(on()))),
        text::render(&sheets::standings(
            &season.standings(StandingsOf::Crew, Period::so_far(on())),
        )),
        text::render(&sheets::standings(
            &season.standings(StandingsOf::Blocks, Period::so_far(on())),
        )),
        text::render(&sheets::draw_list(&season.draw_list(&season.draws[0]))),
        text::render(&sheets::winter(&season.winter_progress(on()))),
    ];
    let (briefs, outlooks) = ahead(season);
    texts.push(text::render(&sheets::briefs(&briefs)));
    texts.push(text::render(&sheets::outlooks(&outlooks)));
    texts
}

/// Every report of a winter.
pub fn reports(season: &Season) -> Vec<Report> {
    let [crew, blocks] = [StandingsOf::Crew, StandingsOf::Blocks]
        .map(|of| season.standings(of, Period::so_far(on())));
    let (briefs, outlooks) = ahead(season);
    let mut reports = vec![
        Report::Winter(Box::new(season.winter_progress(on()))),
        Report::Winter(Box::new(crate::winter::going())),
        Report::Payroll(season.payroll(Period::so_far(on()))),
        Report::Review(Box::new(season.review(on()))),
        Report::Briefs(briefs),
        Report::Outlooks(outlooks),
        Report::DaySheets(season.day_sheets(on())),
        Report::Supervisor(Box::new(season.supervisor_page(on()))),
        Report::Standings(crew),
        Report::Standings(blocks),
    ];
    let draws = season.draws.first();
    reports.extend(draws.map(|draw| Report::Draw(season.draw_list(draw))));
    reports
}

/// A report as JSON.
pub fn as_json(report: &Report) -> Value {
    let making = Making {
        made: MADE.into(),
        ..Making::default()
    };
    serde_json::from_slice(&report.write(Format::Json, &making).unwrap()).unwrap()
}

/// Everything that can be rendered as JSON, with what it was made from.
fn jsons(season: &Season) -> Vec<(&'static str, String, Value)> {
    fn value(data: &impl Serialize) -> Value {
        serde_json::to_value(data).unwrap()
    }
    let sheets = season.day_sheets(on());
    let page = season.supervisor_page(on());
    let [crew, blocks] = [StandingsOf::Crew, StandingsOf::Blocks]
        .map(|of| season.standings(of, Period::so_far(on())));
    let list = season.draw_list(&season.draws[0]);
    let winter = season.winter_progress(on());
    let going = crate::winter::going();
    let (briefs, outlooks) = ahead(season);
    vec![
        (
            "winter",
            json::winter(&winter, MADE).unwrap(),
            value(&winter),
        ),
        ("winter", json::winter(&going, MADE).unwrap(), value(&going)),
        (
            "brief",
            json::briefs(&briefs, MADE).unwrap(),
            value(&briefs),
        ),
        (
            "outlook",
            json::outlooks(&outlooks, MADE).unwrap(),
            value(&outlooks),
        ),
        (
            "day_sheets",
            json::day_sheets(&sheets, MADE).unwrap(),
            value(&sheets),
        ),
        (
            "supervisor",
            json::supervisor(&page, MADE).unwrap(),
            value(&page),
        ),
        ("crew", json::standings(&crew, MADE).unwrap(), value(&crew)),
        (
            "blocks",
            json::standings(&blocks, MADE).unwrap(),
            value(&blocks),
        ),
        ("draw", json::draw(&list, MADE).unwrap(), value(&list)),
    ]
}

/// Every text in data, but the names of publications.
fn strings(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::String(text) => found.push(text.clone()),
        Value::Array(values) => values.iter().for_each(|value| strings(value, found)),
        Value::Object(fields) => {
            let fields = fields.iter().filter(|(name, _)| *name != "published");
            fields.for_each(|(_, value)| strings(value, found));
        }
        _ => {}
    }
}

/// Data hold codes, days and what people typed: no sentence that could be reworded.
#[test]
fn data_hold_no_sentences() {
    let (mut texts, mut codes) = (Vec::new(), 0);
    for report in reports(&plain()) {
        strings(&as_json(&report)["data"], &mut texts);
    }
    for text in &texts {
        let is_code = text
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || "_-".contains(c));
        let is_typed = ["Invented Orchard", "River", "Hill", "Hill left standing"];
        let is_typed = is_typed.contains(&text.as_str()) || text.starts_with("Nr ");
        let is_money = text == "EUR" || text == "NZD";
        let is_moment = text.starts_with("2027") || text.starts_with("2026");
        assert!(is_code || is_typed || is_money || is_moment, "{text:?}");
        codes += usize::from(is_code);
    }
    assert!(codes > 100, "{codes} codes of {} texts", texts.len());
}

/// Equal but for the last digit of a fraction.
fn same(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Number(x), Value::Number(y)) => {
            x == y || (x.as_f64().unwrap() - y.as_f64().unwrap()).abs() < 1e-12
        }
        (Value::Array(x), Value::Array(y)) => {
            x.len() == y.len() && x.iter().zip(y).all(|(x, y)| same(x, y))
        }
        (Value::Object(x), Value::Object(y)) => {
            x.len() == y.len()
                && x.iter()
                    .all(|(key, x)| y.get(key).is_some_and(|y| same(x, y)))
        }
        _ => a == b,
    }
}

#[test]
fn json_reads_back_as_what_it_was_made_from() {
    for (kind, text, data) in jsons(&plain()) {
        let read: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(read["thirdwood"], kind);
        assert_eq!(read["version"], json::VERSION);
        assert_eq!(read["made"], MADE);
        assert!(same(&read["data"], &data), "{kind}");
        assert!(text.ends_with("}\n"));
    }
}

#[test]
fn text_and_json_have_the_same_figures() {
    let season = plain();
    let sheets = season.day_sheets(on());
    let read: Value = serde_json::from_str(&json::day_sheets(&sheets, MADE).unwrap()).unwrap();
    let all = text::render_paged(&sheets::day_sheets(&sheets));
    let pages: Vec<&str> = all.split('\u{c}').collect();
    let data = read["data"].as_array().unwrap();
    assert_eq!(pages.len(), data.len());
    let mut compared = 0;
    for (page, sheet) in pages.iter().zip(data) {
        assert!(page.contains(sheet["standing"]["subject"]["shown"].as_str().unwrap()));
        let line = |name: &str| page.lines().find(|line| line.starts_with(name));
        let names = [
            "one-year ",
            "two-year ",
            "three-year ",
            "four-plus ",
            "buds ",
        ];
        for (name, figures) in names.iter().zip(sheet["table"].as_array().unwrap()) {
            let (Some(line), Some(mean)) = (line(name), figures["mean"].as_f64()) else {
                assert_eq!(sheet["standing"]["trees"], 0);
                continue;
            };
            assert!(line.contains(&percent(mean)), "{mean} in {line}");
            assert!(line.contains(&figures["trees"].to_string()));
            compared += 1;
        }
        for size in sheet["standing"]["buds"].as_array().unwrap() {
            if let Some(mean) = size["mean_left"].as_f64() {
                let line = line(&format!("{:<11}", size["size"].as_str().unwrap())).unwrap();
                assert!(
                    line.contains(&format!("{mean:.1}"))
                        && line.contains(&size["units"].to_string())
                );
                compared += 1;
            }
        }
    }
    assert_eq!(
        compared, 16,
        "two pruners with five metrics and three sizes each"
    );
}

#[test]
fn whoever_goes_by_number_is_named_nowhere() {
    let season = full(["River", "Hill"], ["Qxavier", "Qxenia", "Qxolani"], true);
    let jsons = jsons(&season).into_iter().map(|(_, text, _)| text);
    let all: Vec<String> = texts(&season).into_iter().chain(jsons).collect();
    for text in &all {
        assert!(!text.contains("Qx"), "{text}");
    }
    assert!(all.iter().filter(|text| text.contains("Nr 12")).count() >= 8);
}

#[test]
fn hostile_names_stay_on_the_page() {
    let wide = "梨".repeat(60);
    let long = "x".repeat(60);
    let right_to_left = "שלום עולם מטע אגסים ".repeat(3);
    let family = "👩‍🌾🇳🇿".repeat(10);
    let marks = "e\u{301}\u{300}\u{302}".repeat(15);
    let names = [
        &wide,
        &long,
        right_to_left.trim(),
        &family,
        &marks,
        "<script>alert('&')</script>",
        "=cmd()",
    ];
    for (at, first) in names.iter().enumerate() {
        let second = names[(at + 1) % names.len()];
        let season = full(
            [first, second],
            [first, second, names[(at + 2) % names.len()]],
            false,
        );
        for text in texts(&season) {
            for line in text.split('\n') {
                assert!(width(line) <= 80, "{} columns: {line}", width(line));
                assert!(!line.contains(char::is_control), "{line:?}");
            }
        }
        for (_, text, _) in jsons(&season) {
            assert!(serde_json::from_str::<Value>(&text).is_ok());
        }
    }
}

#[test]
fn a_page_breaks_only_where_asked() {
    let sheets = plain().day_sheets(on());
    assert_eq!(sheets.len(), 3);
    let plain = text::render(&sheets::day_sheets(&sheets));
    assert!(!plain.contains('\u{c}'));
    let broken = text::render_paged(&sheets::day_sheets(&sheets));
    assert_eq!(broken.matches('\u{c}').count(), 2);
    assert!(text::render(&sheets::day_sheets(&[])).contains("nobody worked"));
}

#[test]
fn every_sheet_for_the_crew_has_the_cautions() {
    let season = plain();
    for sheet in season.day_sheets(on()) {
        let text = text::render(&sheets::day_sheets(&[sheet]));
        for word in [
            "adders",
            "secateurs",
            "canker",
            "fire blight",
            "Local codes",
        ] {
            assert!(text.contains(word), "{word}");
        }
    }
}

#[test]
fn a_day_sheet_in_full() {
    insta::assert_snapshot!(text::render(&sheets::day_sheets(&plain().day_sheets(on()))));
}

#[test]
fn a_supervisors_page_in_full() {
    insta::assert_snapshot!(text::render(&sheets::supervisor(
        &plain().supervisor_page(on())
    )));
}

#[test]
fn a_draw_in_full() {
    let season = plain();
    insta::assert_snapshot!(text::render(&sheets::draw_list(
        &season.draw_list(&season.draws[0])
    )));
}
