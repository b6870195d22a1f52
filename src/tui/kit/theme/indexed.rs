//! For terminals that show 256 colours and not all of them.

use ratatui::buffer::Buffer;
use ratatui::style::Color;

/// Turns every full colour of a drawn frame into the nearest of the 256 (the terminal's `COLORTERM`
/// says neither `truecolor` nor `24bit`). Done once after drawing, so that no widget need know.
pub fn reduce(buf: &mut Buffer) {
    let (mut letters, mut ground) = (Last::new(), Last::new());
    for cell in &mut buf.content {
        cell.fg = letters.nearest(cell.fg);
        cell.bg = ground.nearest(cell.bg);
    }
}

/// The last colour and what is nearest to it: most cells have their neighbour's.
struct Last {
    colour: Color,
    nearest: Color,
}

impl Last {
    fn new() -> Self {
        Self {
            colour: Color::Reset,
            nearest: Color::Reset,
        }
    }

    fn nearest(&mut self, colour: Color) -> Color {
        if colour != self.colour {
            *self = Self {
                colour,
                nearest: nearest(colour),
            };
        }
        self.nearest
    }
}

/// The six steps of each colour in the terminal's cube (indices 16 to 231), as in xterm.
const STEPS: [u8; 6] = [0, 95, 135, 175, 215, 255];

/// The nearest colour of the cube or of the grey ramp (indices 232 to 255: 8, 18, ... 238). The
/// first sixteen are left out, since people change them.
fn nearest(colour: Color) -> Color {
    let Color::Rgb(r, g, b) = colour else {
        return colour;
    };
    let step = |v: u8| {
        let by_distance = (0u8..6).min_by_key(|i| STEPS[usize::from(*i)].abs_diff(v));
        by_distance.unwrap_or(0)
    };
    let (ri, gi, bi) = (step(r), step(g), step(b));
    let grey = (0u8..24).min_by_key(|i| away((r, g, b), rgb(232 + i)));
    let cube = 16 + 36 * ri + 6 * gi + bi;
    let grey = 232 + grey.unwrap_or(0);
    if away((r, g, b), rgb(grey)) < away((r, g, b), rgb(cube)) {
        Color::Indexed(grey)
    } else {
        Color::Indexed(cube)
    }
}

/// What an index from 16 up looks like.
pub(super) fn rgb(index: u8) -> (u8, u8, u8) {
    if index >= 232 {
        let grey = 8 + 10 * (index - 232);
        return (grey, grey, grey);
    }
    let cube = index.saturating_sub(16);
    let step = |i: u8| STEPS[usize::from(i % 6)];
    (step(cube / 36), step(cube / 6), step(cube))
}

fn away(a: (u8, u8, u8), b: (u8, u8, u8)) -> u32 {
    let d = |x: u8, y: u8| u32::from(x.abs_diff(y)).pow(2);
    d(a.0, b.0) + d(a.1, b.1) + d(a.2, b.2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use ratatui::layout::Rect;
    use ratatui::style::Style;

    #[test]
    fn full_colours_become_the_nearest_of_256() {
        assert_eq!(nearest(Color::Rgb(0, 0, 0)), Color::Indexed(16));
        assert_eq!(nearest(Color::Rgb(255, 255, 255)), Color::Indexed(231));
        assert_eq!(nearest(Color::Rgb(0x30, 0x30, 0x30)), Color::Indexed(236));
        assert_eq!(nearest(Color::Rgb(0, 0x72, 0xB2)), Color::Indexed(25));
        assert_eq!(nearest(Color::Reset), Color::Reset);
        assert_eq!((rgb(25), rgb(236)), ((0, 95, 175), (48, 48, 48)));
    }

    #[test]
    fn a_frame_is_reduced_whole() {
        let mut buf = Buffer::empty(Rect::new(0, 0, 2, 1));
        buf.set_style(buf.area, Style::new().bg(Color::Rgb(255, 255, 255)));
        reduce(&mut buf);
        assert!(buf.content.iter().all(|c| c.bg == Color::Indexed(231)));
    }

    #[test]
    fn neighbours_keep_colours_of_their_own() {
        let (white, blue) = (Color::Rgb(255, 255, 255), Color::Rgb(0, 0x72, 0xB2));
        let mut buf = Buffer::empty(Rect::new(0, 0, 5, 1));
        for (cell, colour) in buf.content.iter_mut().zip([white, white, blue, white]) {
            cell.set_fg(colour).set_bg(blue);
        }
        reduce(&mut buf);
        let seen: Vec<Color> = buf.content.iter().map(|cell| cell.fg).collect();
        let (white, blue) = (Color::Indexed(231), Color::Indexed(25));
        assert_eq!(seen, [white, white, blue, white, Color::Reset]);
        let grounds: Vec<Color> = buf.content.iter().map(|cell| cell.bg).collect();
        assert_eq!(grounds, [blue, blue, blue, blue, Color::Reset]);
    }
}
