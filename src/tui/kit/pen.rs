//! What a widget draws with: the cells, the colours, and the touchable places.

use super::room::{Folded, is_small};
use super::text::{self, Align};
use super::{Action, HitMap, Theme};
use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::{Position, Rect};
use ratatui::style::Style;

/// Draws on a frame's cells. Nothing is drawn outside them, whatever is asked for.
#[derive(Debug)]
pub struct Pen<'a> {
    /// The cells, for widgets of the drawing library.
    pub buf: &'a mut Buffer,
    /// The colours.
    pub theme: Theme,
    /// The touchable places of this frame.
    pub hits: &'a mut HitMap,
    /// The screen is small: see [`super::room`].
    pub small: bool,
    /// What finds no room is gathered here, for the menu; nothing is while a frame is drawn.
    folded: Option<Folded>,
}

impl<'a> Pen<'a> {
    /// A pen for a frame: `Pen::new(frame.buffer_mut(), theme, &mut hits)`.
    pub fn new(buf: &'a mut Buffer, theme: Theme, hits: &'a mut HitMap) -> Self {
        let small = is_small((buf.area.width, buf.area.height));
        Self {
            buf,
            theme,
            hits,
            small,
            folded: None,
        }
    }

    /// From now on, what finds no room is gathered.
    #[must_use]
    pub fn gathering(mut self) -> Self {
        self.folded = Some(Folded::default());
        self
    }

    /// What found no room so far.
    pub fn gathered(self) -> Folded {
        self.folded.unwrap_or_default()
    }

    /// What finds no room, where it is gathered.
    pub fn folded(&mut self) -> Option<&mut Folded> {
        self.folded.as_mut()
    }

    /// Draws what need not be told where it is cut.
    pub fn hushed(&mut self, draw: impl FnOnce(&mut Self)) {
        let folded = self.folded.take();
        draw(self);
        self.folded = folded;
    }

    /// Words that there is no room for here.
    pub fn left_out(&mut self, words: &str) {
        if let Some(folded) = &mut self.folded {
            folded.tell(words);
        }
    }

    /// Draws what is so many lines high in a room that may be lower, from the line that it is scrolled to; touch meets what
    /// is in sight.
    pub fn scrolled(
        &mut self,
        room: Rect,
        lines: u16,
        top: u16,
        draw: impl FnOnce(&mut Pen, Rect),
    ) {
        let room = self.clip(room);
        if lines <= room.height {
            return draw(self, room);
        }
        let all = Rect::new(0, 0, room.width, lines);
        let (mut buf, mut hits) = (Buffer::empty(all), HitMap::new());
        let mut pen = Pen {
            small: self.small,
            folded: self.folded.take(),
            ..Pen::new(&mut buf, self.theme, &mut hits)
        };
        pen.clear(all);
        draw(&mut pen, all);
        self.folded = pen.folded;
        let top = top.min(lines - room.height);
        for y in 0..room.height {
            for x in 0..room.width {
                self.buf[(room.x + x, room.y + y)] = buf[(x, top + y)].clone();
            }
        }
        self.hits.lay(&hits, room, top);
    }

    /// The part of an area that is on the frame.
    pub fn clip(&self, area: Rect) -> Rect {
        area.intersection(self.buf.area)
    }

    /// Blanks an area in the theme's own colours.
    pub fn clear(&mut self, area: Rect) {
        self.fill(area, ' ', self.theme.text());
    }

    /// Fills an area with one character.
    pub fn fill(&mut self, area: Rect, mark: char, style: Style) {
        let area = self.clip(area);
        if area.is_empty() {
            return;
        }
        let mut cell = Cell::default();
        cell.set_char(mark).set_style(style);
        for y in area.top()..area.bottom() {
            let from = self.buf.index_of(area.x, y);
            if area.x > self.buf.area.x {
                halve(&mut self.buf.content[from - 1]);
            }
            for there in &mut self.buf.content[from..from + usize::from(area.width)] {
                recolour(there, &cell);
            }
        }
    }

    /// Writes one character, if the place is on the frame.
    pub fn mark(&mut self, x: u16, y: u16, mark: char, style: Style) {
        if let Some(cell) = self.buf.cell_mut(Position::new(x, y)) {
            cell.set_char(mark).set_style(style);
        }
    }

    /// Writes a text on the first line of an area, cut to its width.
    pub fn text(&mut self, area: Rect, text: &str, style: Style) {
        self.aligned(area, text, Align::Left, style);
    }

    /// Writes a text on the first line of an area, cut to its width and aligned in it.
    pub fn aligned(&mut self, area: Rect, text: &str, align: Align, style: Style) {
        let area = self.clip(area);
        let columns = usize::from(area.width);
        if self.folded.is_some() && (area.is_empty() || text::width(text) > columns) {
            self.left_out(text);
        }
        // without letters, it would begin beyond the area at the right
        if area.is_empty() || text.is_empty() {
            return;
        }
        if text::plain(text) && text.len() <= columns {
            let x = begin(area, text.len(), align);
            let from = self.buf.index_of(x, area.y);
            for (cell, byte) in self.buf.content[from..].iter_mut().zip(text.bytes()) {
                cell.set_char(char::from(byte)).set_style(style);
            }
            return;
        }
        let words = text::cut(text, columns);
        let x = begin(area, text::width(&words), align);
        if x < area.right() {
            let room = usize::from(area.right() - x);
            self.buf.set_stringn(x, area.y, words, room, style);
        }
    }

    /// Writes a text broken between words over the lines of an area; says how many lines it took.
    pub fn wrapped(&mut self, area: Rect, text: &str, style: Style) -> u16 {
        let lines = text::wrap(text, usize::from(area.width));
        let shown = lines.len().min(usize::from(area.height)) as u16;
        if lines.len() > usize::from(shown) {
            self.left_out(text);
        }
        for (y, line) in (0..shown).zip(&lines) {
            self.text(line_of(area, y), line, style);
        }
        shown
    }

    /// Lays a style over an area and keeps what is written there.
    pub fn style(&mut self, area: Rect, style: Style) {
        self.buf.set_style(area, style);
    }

    /// Makes an area a button for touch.
    pub fn touch(&mut self, area: Rect, action: Action) {
        self.hits.record(self.clip(area), action);
    }

    /// Makes an area a line of a list for touch.
    pub fn touch_row(&mut self, area: Rect, action: Action) {
        self.hits.row(self.clip(area), action);
    }
}

/// The column where a text of so many columns begins.
fn begin(area: Rect, columns: usize, align: Align) -> u16 {
    let spare = area.width.saturating_sub(columns as u16);
    area.x
        + match align {
            Align::Left => 0,
            Align::Right => spare,
            Align::Centre => spare / 2,
        }
}

/// Makes a cell like another. Most are blank and stay so: their letter is not made anew, which would be a third of the
/// time that a frame takes.
fn recolour(cell: &mut Cell, like: &Cell) {
    if cell.symbol() == like.symbol() {
        (cell.fg, cell.bg, cell.modifier) = (like.fg, like.bg, like.modifier);
    } else {
        cell.clone_from(like);
    }
}

/// Blanks a wide letter left of an area that covers its right half: the terminal would draw it
/// over the edge.
fn halve(before: &mut Cell) {
    if text::width(before.symbol()) > 1 {
        before.set_symbol(" ");
    }
}

/// Line `y` of an area, counted from its top; empty when the area is not that high.
pub fn line_of(area: Rect, y: u16) -> Rect {
    let below = area.bottom().saturating_sub(area.y.saturating_add(y));
    Rect::new(area.x, area.y.saturating_add(y), area.width, below.min(1))
}

/// The area without its first `n` lines.
pub fn below(area: Rect, n: u16) -> Rect {
    let n = n.min(area.height);
    Rect::new(area.x, area.y + n, area.width, area.height - n)
}

/// The area without its first `n` columns.
pub fn right_of(area: Rect, n: u16) -> Rect {
    let n = n.min(area.width);
    Rect::new(area.x + n, area.y, area.width - n, area.height)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_drawn_outside_the_frame() {
        let mut buf = Buffer::empty(Rect::new(0, 0, 6, 2));
        let mut hits = HitMap::new();
        let mut pen = Pen::new(&mut buf, Theme::Plain, &mut hits);
        pen.text(Rect::new(4, 1, 40, 9), "abc", Style::new());
        pen.text(Rect::new(0, 7, 40, 9), "abc", Style::new());
        pen.fill(Rect::new(5, 0, 9, 1), '#', Style::new());
        pen.mark(60, 60, 'x', Style::new());
        pen.touch(Rect::new(4, 0, 20, 20), Action::Help);
        let hit = pen.hits.targets().next();
        assert_eq!(hit, Some((Rect::new(4, 0, 2, 2), Action::Help)));
        assert_eq!(buf, Buffer::with_lines(["     #", "    a…"]));
    }

    #[test]
    fn an_empty_text_may_stand_at_the_right_edge() {
        let mut buf = Buffer::empty(Rect::new(0, 0, 6, 1));
        let mut hits = HitMap::new();
        let mut pen = Pen::new(&mut buf, Theme::Plain, &mut hits);
        for align in [Align::Left, Align::Centre, Align::Right] {
            pen.aligned(Rect::new(0, 0, 6, 1), "", align, Style::new());
        }
        assert_eq!(buf, Buffer::with_lines(["      "]));
    }

    #[test]
    fn a_window_does_not_show_half_a_letter_at_its_edge() {
        let mut buf = Buffer::with_lines(["梨梨梨"]);
        let mut hits = HitMap::new();
        Pen::new(&mut buf, Theme::Plain, &mut hits).fill(Rect::new(3, 0, 3, 1), '#', Style::new());
        assert_eq!(buf, Buffer::with_lines(["梨 ###"]));
    }

    #[test]
    fn lines_end_with_the_area() {
        let area = Rect::new(1, 1, 5, 2);
        assert_eq!(line_of(area, 1), Rect::new(1, 2, 5, 1));
        assert!(line_of(area, 2).is_empty());
        assert_eq!(below(area, 9).height, 0);
        assert_eq!(right_of(area, 2), Rect::new(3, 1, 3, 2));
    }
}
