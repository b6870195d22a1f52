//! How the Set-up screen and its forms look, at the smallest size and a larger one.

use insta::assert_snapshot;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::Section;
use crate::store::Store;
use crate::tui::app::{FormKind, Model, view};
use crate::tui::looks::{Drawn, plain};
use crate::tui::runtime::Runtime;
use crate::tui::trial::{fill_store, start};
use crate::tui::{Action, Screen, Theme, forms};

const SIZES: [(u16, u16); 2] = [(80, 24), (120, 40)];

/// The whole program as drawn.
fn drawn(model: &Model) -> Drawn {
    let (width, height) = model.size;
    let mut buf = Buffer::empty(Rect::new(0, 0, width, height));
    let hits = view(model, &mut buf);
    Drawn { buf, hits }
}

/// What the screens know of an empty file, or of the invented orchard.
fn shown(filled: bool, size: (u16, u16), section: Section) -> Model {
    let store = Store::in_memory().unwrap();
    if filled {
        fill_store(&store);
    }
    let mut model = Runtime::new(&store, start(), size).unwrap().model;
    model.screen = Screen::SetUp;
    model.setup.show(section);
    model
}

#[test]
fn every_section_can_be_touched_in_gloves() {
    for size in SIZES {
        for filled in [false, true] {
            for section in Section::ALL {
                let mut model = shown(filled, size, section);
                for theme in Theme::ALL {
                    model.look.theme = theme;
                    let drawn = drawn(&model);
                    assert_eq!(drawn.hits.too_small(), [], "{section:?} at {size:?}");
                    let sections = drawn.hits.targets();
                    let sections = sections.filter(|(_, a)| matches!(a, Action::Section(_)));
                    assert_eq!(sections.count(), Section::ALL.len());
                }
            }
        }
    }
}

#[test]
fn nothing_is_lost_at_odd_sizes() {
    for section in Section::ALL {
        let model = shown(true, (80, 24), section);
        for (width, height) in [(0, 0), (1, 1), (7, 3), (20, 6), (80, 9), (300, 90)] {
            let drawn = plain(width, height, |pen, area| super::view(&model, pen, area));
            for (place, _) in drawn.hits.targets().chain(drawn.hits.rows()) {
                assert_eq!(place.intersection(drawn.buf.area), place);
            }
        }
    }
}

#[test]
fn an_empty_file_shows_the_first_steps() {
    let model = shown(false, (80, 24), Section::Winters);
    assert_snapshot!(drawn(&model).text());
}

#[test]
fn sections_at_80_by_24() {
    for section in Section::ALL {
        let model = shown(true, (80, 24), section);
        assert_snapshot!(format!("small_{section:?}"), drawn(&model).text());
    }
}

#[test]
fn sections_at_120_by_40() {
    for section in [Section::Blocks, Section::Counts] {
        let model = shown(true, (120, 40), section);
        assert_snapshot!(format!("wide_{section:?}"), drawn(&model).text());
    }
}

#[test]
fn without_a_winter_its_sections_say_so() {
    for section in Section::ALL.into_iter().filter(|s| s.of_winter()) {
        let text = drawn(&shown(false, (80, 24), section)).text();
        assert!(text.contains("Set up a winter first"), "{text}");
    }
}

#[test]
fn a_long_list_is_shown_by_pages() {
    let mut model = shown(true, (80, 24), Section::Crew);
    let numbers: Vec<u16> = (1..=40).collect();
    model.house.pruners = crate::tui::trial::crew_of(&numbers);
    let moment = crate::tui::trial::moment();
    for expected in [1, 12, 23, 34, 40] {
        let text = drawn(&model).text();
        let name = format!("Name {expected}");
        let line = text.lines().find(|line| line.starts_with('▸'));
        assert!(line.unwrap().trim_end().contains(&name), "{name}: {text}");
        assert!(!text.contains("\n  \n"), "a line is not filled: {text}");
        super::update(&mut model, Action::PageDown, moment);
    }
}

#[test]
fn forms_fit_the_smallest_screen() {
    let mut model = shown(true, (80, 24), Section::Blocks);
    let season = model.season.as_ref().unwrap();
    let (block, pruner) = (model.house.blocks[0].id, model.house.pruners[0].id);
    let (count, row) = (season.counts()[0].id, season.go_backs[0].id);
    let jobs = [
        ("block", FormKind::Block(Some(block))),
        ("pruner", FormKind::Pruner(Some(pruner))),
        ("winter", FormKind::Winter(None)),
        ("budburst", FormKind::Budburst(block)),
        ("rule", FormKind::Rule(Some(block))),
        ("count", FormKind::Count(count)),
        ("goback", FormKind::GoBack(Some(row))),
        ("settings", FormKind::Settings),
    ];
    for (name, job) in jobs {
        forms::open(&mut model, job);
        let drawn = drawn(&model);
        assert_eq!(drawn.hits.too_small(), [], "{name}");
        assert_snapshot!(format!("form_{name}"), drawn.text());
    }
}

#[test]
fn what_follows_from_a_removal_is_asked_in_words() {
    let asked = Section::ALL.map(|section| {
        let mut model = shown(true, (80, 24), section);
        super::update(&mut model, Action::Remove, crate::tui::trial::moment());
        let drawn = drawn(&model);
        assert_eq!(drawn.hits.too_small(), []);
        let text = drawn.text();
        let words: Vec<_> = text.lines().filter(|line| !line.is_empty()).collect();
        let shown = if model.layers.is_empty() {
            &words[words.len() - 1..]
        } else {
            // all but the buttons and the foot
            &words[..words.len() - 4]
        };
        format!("{section:?}:\n{}", shown.join("\n"))
    });
    assert_snapshot!(asked.join("\n\n"));
}
