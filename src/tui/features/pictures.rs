//! The pictures of what is shown, one at a time over the whole screen, each with its words below.

mod shown;

pub use shown::Pictures;
use shown::{OF_STANDING, Of};

use ratatui::layout::Rect;

use crate::report::document::Picture;
use crate::report::document::pictures::Room;
use crate::tui::app::{Layer, Model};
use crate::tui::features;
use crate::tui::features::crew_blocks::{self, Part};
use crate::tui::pen::{below, line_of};
use crate::tui::widgets::{Button, button_bar, picture};
use crate::tui::{Action, Cursor, Pen, Screen, is_small, text};

/// Lines of the buttons.
const BAR: u16 = 3;
/// From so many lines on, more of the words are shown.
const TALL: u16 = 40;
/// Lines that a picture has on a small screen, where it is scrolled with its words.
const LOW: u16 = 17;

/// Opens the pictures of what the screen shows.
pub fn open(model: &mut Model) {
    let found = match model.screen {
        Screen::Crew => of_standing(model, crew_blocks::Of::Crew),
        Screen::Blocks => of_standing(model, crew_blocks::Of::Blocks),
        Screen::Winter => (model.figures.winter.clone())
            .map(|progress| (Of::Winter(Box::new(progress)), Part::Mix)),
        Screen::Outlook => {
            features::crop::pictured(model).map(|sheet| (Of::Outlook(Box::new(sheet)), Part::Mix))
        }
        Screen::Today | Screen::Count | Screen::SetUp => None,
    };
    let Some((of, part)) = found else {
        model.note("there is nothing here yet to make a picture of");
        return;
    };
    let at = OF_STANDING.iter().position(|known| *known == part);
    let pictures = Pictures {
        of,
        at: at.unwrap_or(0),
        scroll: Cursor::default(),
    };
    model.show(Layer::Pictures(Box::new(pictures)));
}

fn of_standing(model: &Model, of: crew_blocks::Of) -> Option<(Of, Part)> {
    let (standing, map, part) = of.pictured(model)?;
    Some((Of::Standing(Box::new(standing), map.map(Box::new)), part))
}

/// What an action does.
pub fn update(model: &mut Model, action: Action) {
    let (width, height) = model.size;
    let area = Rect::new(0, 0, width, height.saturating_sub(1));
    let Some(Layer::Pictures(pictures)) = model.layers.last_mut() else {
        return;
    };
    let many = pictures.many();
    let turn = |pictures: &mut Pictures, to: usize| {
        pictures.at = to % many;
        pictures.scroll = Cursor::default();
    };
    match action {
        Action::NextSection => turn(pictures, pictures.at + 1),
        Action::PrevSection => turn(pictures, pictures.at + many - 1),
        Action::First => turn(pictures, 0),
        Action::Last => turn(pictures, many - 1),
        Action::Up | Action::Down => {
            let layout = Layout::of(pictures, area, is_small(model.size));
            let (lines, room) = layout.extent();
            pictures.scroll.scroll(lines, room, action);
        }
        Action::Back => model.layers.clear(),
        Action::Help => model.note("← → the other pictures, ↑ ↓ the words below, Esc back"),
        _ => {}
    }
}

/// Where all stands.
struct Layout {
    /// The room of a picture that is scrolled with its words.
    scrolled: Option<Rect>,
    drawing: Rect,
    words: Rect,
    lines: Vec<String>,
    shown: Picture,
}

impl Layout {
    fn of(pictures: &Pictures, area: Rect, small: bool) -> Self {
        if small {
            return Self::low(pictures, area);
        }
        let words = if area.height >= TALL { 5 } else { 2 };
        let drawing = Rect {
            height: area.height.saturating_sub(1 + words + BAR),
            ..below(area, 1)
        };
        let shown = pictures.drawn(Room::cells(drawing.width, drawing.height));
        Self {
            lines: text::wrap(&shown.text, usize::from(area.width)),
            scrolled: None,
            drawing,
            words: Rect {
                height: words,
                ..below(area, area.height.saturating_sub(words + BAR))
            },
            shown,
        }
    }

    /// On a small screen: the picture at the height that it needs, and all of its words below it.
    fn low(pictures: &Pictures, area: Rect) -> Self {
        let room = Rect {
            height: area.height.saturating_sub(1 + BAR),
            ..below(area, 1)
        };
        let drawing = Rect::new(0, 0, area.width, LOW.max(room.height));
        let shown = pictures.drawn(Room::cells(drawing.width, drawing.height));
        let lines = text::wrap(&shown.text, usize::from(area.width));
        Self {
            scrolled: Some(room),
            words: Rect::new(0, drawing.height, area.width, lines.len() as u16),
            drawing,
            lines,
            shown,
        }
    }

    /// Lines that can be scrolled through, and those in sight.
    fn extent(&self) -> (usize, usize) {
        let (lines, room) = match self.scrolled {
            Some(room) => (self.words.bottom(), room.height),
            None => (self.lines.len() as u16, self.words.height),
        };
        (usize::from(lines), usize::from(room))
    }

    /// Draws the picture and its words from one of their lines on.
    fn draw(&self, pen: &mut Pen, from: usize) {
        picture(pen, self.drawing, &self.shown.drawing);
        let style = pen.theme.text();
        for (y, line) in (0..self.words.height).zip(&self.lines[from..]) {
            pen.text(line_of(self.words, y), line, style);
        }
    }
}

/// Draws it.
pub fn view(pictures: &Pictures, pen: &mut Pen, area: Rect) {
    let area = pen.clip(area);
    let layout = Layout::of(pictures, area, pen.small);
    let place = format!(" {} of {}", pictures.at + 1, pictures.many());
    let head = line_of(area, 0);
    let faint = pen.theme.faint();
    pen.aligned(head, &place, text::Align::Right, faint);
    let title = Rect {
        width: head.width.saturating_sub(text::width(&place) as u16),
        ..head
    };
    let style = pen.theme.title();
    pen.text(title, &layout.shown.title, style);
    let (lines, room) = layout.extent();
    let from = pictures.scroll.top(lines, room);
    match layout.scrolled {
        Some(room) => pen.scrolled(room, lines as u16, from as u16, |pen, _| {
            layout.draw(pen, 0);
        }),
        None => layout.draw(pen, from),
    }
    let alone = pictures.many() == 1;
    let buttons = [
        Button::new("Back", Action::Back).key("Esc"),
        Button::new("Picture <", Action::PrevSection)
            .key("←")
            .off(alone),
        Button::new("Picture >", Action::NextSection)
            .key("→")
            .off(alone),
        Button::new("Words <", Action::Up).key("↑").off(from == 0),
        Button::new("Words >", Action::Down)
            .key("↓")
            .off(from + room >= lines),
    ];
    button_bar(pen, below(area, area.height.saturating_sub(BAR)), &buttons);
}

#[cfg(test)]
mod tests {
    use insta::assert_snapshot;

    use super::*;
    use crate::demo;
    use crate::report::document::pictures::{self, Labels, inspect, on_paper, rows_on_paper};
    use crate::store::Store;
    use crate::tui::features::testing::{Orchard, drawn, press, shown, touch};
    use crate::tui::runtime::Runtime;
    use crate::tui::trial::{start, today};
    use crate::tui::{Key, Theme};

    const SCREENS: [Key; 4] = [Key::F(4), Key::F(5), Key::F(6), Key::F(7)];

    fn filled() -> Store {
        let store = Store::in_memory().unwrap();
        demo::fill(&store, 1, today()).unwrap();
        store
    }

    #[test]
    fn each_screen_has_its_pictures_and_the_way_back() {
        let store = filled();
        for size in [(80, 24), (120, 40), (200, 60)] {
            for screen in SCREENS {
                let mut desk = Runtime::new(&store, start(), size).unwrap();
                press(&mut desk, &[screen]);
                let before = shown(&desk);
                touch(&mut desk, Action::Pictures);
                let first = shown(&desk);
                let many = opened(&desk).many();
                for _ in 0..many {
                    let (buf, hits) = drawn(&desk);
                    assert_eq!(hits.too_small(), []);
                    let braille = |cell: &&ratatui::buffer::Cell| {
                        cell.symbol()
                            .chars()
                            .all(|c| ('\u{2801}'..='\u{28ff}').contains(&c))
                    };
                    let dots = buf.content.iter().filter(braille).count();
                    assert!(dots > 60, "{}", shown(&desk));
                    press(&mut desk, &[Key::Right]);
                }
                assert_eq!(shown(&desk), first, "a round");
                press(&mut desk, &[Key::Char('v')]);
                assert_eq!(shown(&desk), before);
            }
        }
    }

    fn opened<'d>(desk: &'d Runtime<'_>) -> &'d Pictures {
        match desk.model.layers.last() {
            Some(Layer::Pictures(pictures)) => pictures,
            other => panic!("no pictures: {other:?}"),
        }
    }

    #[test]
    fn the_part_that_is_open_is_the_picture_that_opens() {
        let store = filled();
        let mut desk = Runtime::new(&store, start(), (80, 24)).unwrap();
        press(
            &mut desk,
            &[Key::F(5), Key::Enter, Key::Left, Key::Char('v')],
        );
        let rows = shown(&desk);
        assert!(rows.contains("The rows from above: Chapel Field"), "{rows}");
        assert_snapshot!("rows", rows);
    }

    #[test]
    fn pictures_as_they_look() {
        let store = filled();
        let mut desk = Runtime::new(&store, start(), (80, 24)).unwrap();
        press(&mut desk, &[Key::F(4), Key::Down, Key::Char('v')]);
        assert_snapshot!("mix", shown(&desk));
        press(&mut desk, &[Key::Right]);
        assert_snapshot!("buds", shown(&desk));
    }

    #[test]
    fn the_words_below_can_be_read_to_their_end() {
        let store = filled();
        let mut desk = Runtime::new(&store, start(), (80, 24)).unwrap();
        press(
            &mut desk,
            &[Key::F(4), Key::Char('v'), Key::Right, Key::Right],
        );
        let said = opened(&desk).drawn(Room::cells(80, 17)).text;
        let end = text::wrap(&said, 80).pop().unwrap();
        assert!(
            !shown(&desk).contains(&end),
            "there are more than two lines"
        );
        press(&mut desk, &[Key::Down; 200]);
        assert!(shown(&desk).contains(&end), "{}", shown(&desk));
        press(&mut desk, &[Key::Up; 200]);
        assert!(shown(&desk).contains("one-year: accepted"));
    }

    #[test]
    fn without_a_winter_there_is_no_picture() {
        let orchard = Orchard::bare();
        for screen in SCREENS {
            let mut desk = orchard.desk(Theme::Dark, (80, 24));
            press(&mut desk, &[screen, Key::Char('v')]);
            if screen != Key::F(6) {
                assert!(
                    shown(&desk).contains("nothing here yet"),
                    "{}",
                    shown(&desk)
                );
            }
        }
    }

    #[test]
    fn on_paper_nothing_of_the_demo_leaves_its_field() {
        let store = filled();
        let winter = store.winters().unwrap().pop().unwrap();
        let season = crate::report::Season::load(&store, winter).unwrap();
        let labels = Labels::english();
        let (crew, blocks) = season.all_standings(crate::report::Period::so_far(today()));
        for standing in crew.iter().chain(&blocks) {
            inspect::check(&pictures::mix(standing, &labels, on_paper::MIX));
            inspect::check(&pictures::ternary(standing, &labels, on_paper::TERNARY));
            inspect::check(&pictures::buds(standing, &labels, on_paper::BUDS));
            inspect::check(&pictures::trend(standing, &labels, on_paper::TREND));
        }
        let progress = season.winter_progress(today());
        inspect::check(&pictures::progress(&progress, &labels, on_paper::PROGRESS));
        let wood = season.wood(crate::report::Period::so_far(today()));
        for block in &season.blocks {
            let map = season.row_map(block.id, today()).unwrap();
            inspect::check(&pictures::rows(&map, &labels, rows_on_paper(&map)));
            let taken = crate::report::Taken::default();
            let sheet = season.outlook(block.id, &wood, &taken, today()).unwrap();
            inspect::check(&pictures::ages_ahead(&sheet, &labels, on_paper::AGES_AHEAD));
            inspect::check(&pictures::crop_ahead(&sheet, &labels, on_paper::CROP_AHEAD));
        }
    }

    #[test]
    fn on_a_screen_of_any_size_nothing_leaves_the_field() {
        let store = filled();
        for screen in SCREENS {
            let mut desk = Runtime::new(&store, start(), (80, 24)).unwrap();
            press(&mut desk, &[screen, Key::Char('v')]);
            for _ in 0..opened(&desk).many() {
                for (columns, lines) in (80..240).step_by(9).zip((18..70).cycle().step_by(7)) {
                    inspect::check(&opened(&desk).drawn(Room::cells(columns, lines)));
                }
                press(&mut desk, &[Key::Right]);
            }
        }
    }
}
