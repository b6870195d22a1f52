//! What the Set-up screen does by touch: the same as by keys.

use super::Section;
use super::tests::look;
use crate::store::bundle::{Conflict, Kind};
use crate::tui::app::{Effect, Event, Hand, House, Model, Tablets, update};
use crate::tui::keymap::{bindings, stack};
use crate::tui::trial::{model, moment, orchard};
use crate::tui::{Action, Mode, Screen};

/// What an event does: the effects, and all that the screens know after it.
fn outcome(section: Section, line: usize, event: Event) -> (Vec<Effect>, String) {
    let mut model = orchard();
    model.screen = Screen::SetUp;
    model.setup.show(section);
    model.setup.select(line);
    model.now = moment().now;
    let effects = update(&mut model, event, moment());
    // neither changes before the file is written
    model.season = None;
    model.house = House::default();
    // this differs, and nothing else
    model.hand = Hand::Keys;
    (effects, format!("{model:?}"))
}

#[test]
fn touch_does_what_the_keys_do() {
    let mut touched = 0;
    for section in Section::ALL {
        for line in [0, 1] {
            let mut model = orchard();
            model.screen = Screen::SetUp;
            model.setup.show(section);
            model.setup.select(line);
            let hits = look(&model);
            let here = stack(Screen::SetUp, Mode::Base);
            // leaving by touch is asked about: a touch slips more easily than two keys
            let bound = here.iter().flat_map(|context| bindings(*context));
            for binding in bound.filter(|binding| binding.action != Action::Quit) {
                let Some((area, _)) = hits.targets().find(|(_, a)| *a == binding.action) else {
                    continue;
                };
                let action = hits.at(area.x + 1, area.y + 1).unwrap();
                let by_touch = outcome(section, line, Event::Act(action));
                let by_key = outcome(section, line, Event::Key(binding.keys[0]));
                assert_eq!(by_touch, by_key, "{section:?}: {action:?}");
                touched += 1;
            }
        }
    }
    assert!(touched > 9 * 2 * 6, "{touched}");
}

#[test]
fn lines_and_sections_are_touched() {
    let mut model = orchard();
    model.screen = Screen::SetUp;
    for section in Section::ALL {
        update(
            &mut model,
            Event::Act(Action::Section(section.place())),
            moment(),
        );
        assert_eq!(model.setup.section(), section);
        let rows: Vec<_> = look(&model).rows().map(|(_, action)| action).collect();
        for (place, action) in rows.into_iter().enumerate() {
            update(&mut model, Event::Act(action), moment());
            let lines = super::lines::lines(&model);
            assert_eq!(super::lines::selected(&model), Some(lines[place]));
        }
    }
    update(&mut model, Event::Act(Action::Section(99)), moment());
    assert_eq!(model.setup.section(), Section::Settings);
}

#[test]
fn a_first_step_that_is_touched_leads_there() {
    let mut empty = model();
    empty.screen = Screen::SetUp;
    let rows: Vec<_> = look(&empty).rows().map(|(_, action)| action).collect();
    let led = |action: Action| {
        let mut model = model();
        model.screen = Screen::SetUp;
        update(&mut model, Event::Act(action), moment());
        (model.screen, model.setup.section())
    };
    let led: Vec<_> = rows.into_iter().map(led).collect();
    let (setup, winters) = (Screen::SetUp, Section::Winters);
    let steps = [
        (setup, winters),
        (setup, Section::Blocks),
        (setup, Section::Crew),
        (Screen::Today, winters),
        (Screen::Today, winters),
        (Screen::Count, winters),
    ];
    assert_eq!(led, steps);
}

#[test]
fn the_list_stands_at_what_came_to_be_settled_and_else_where_it_stood() {
    let mut model = orchard();
    model.screen = Screen::SetUp;
    model.setup.show(Section::Settings);
    let lines = super::lines::lines(&model);
    model.setup.select(lines.len() - 1);
    let before = super::lines::selected(&model);
    let conflict = Conflict {
        what: "count River, row 2, tree 20".to_owned(),
        kind: Kind::Count,
        key: "1".to_owned(),
        sayings: Vec::new(),
    };
    let settled = model.tablets.clone();
    let tablets = Tablets {
        conflicts: vec![conflict],
        ..settled.clone()
    };
    let read = |model: &mut Model, tablets| {
        update(model, Event::Tablets(Box::new(tablets)), moment());
    };
    read(&mut model, tablets.clone());
    let now = super::lines::lines(&model);
    assert_eq!(now.len(), lines.len() + 1);
    assert_eq!(super::lines::selected(&model), now.first().copied());
    // nothing new waits: the list stays where it was put, also when a line above goes
    model.setup.select(now.len() - 1);
    read(&mut model, tablets);
    assert_eq!(super::lines::selected(&model), before);
    read(&mut model, settled);
    assert_eq!(super::lines::selected(&model), before);
}
