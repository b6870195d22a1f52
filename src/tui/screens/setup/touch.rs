//! What the Set-up screen does by touch: the same as by keys.

use super::Section;
use super::tests::look;
use crate::tui::app::{Effect, Event, Hand, House, update};
use crate::tui::keymap::{bindings, stack};
use crate::tui::trial::{moment, orchard};
use crate::tui::{Action, Layer, Screen};

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
            let here = stack(Screen::SetUp, Layer::Base);
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
