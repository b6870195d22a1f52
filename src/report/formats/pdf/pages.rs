//! Strips shared out over pages.

use super::strip::{Flow, Strip};

/// A strip on a page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Placed {
    /// Which one.
    pub strip: usize,
    /// Its top, in points below the page's upper edge.
    pub top: f32,
    /// Whether it is a table's head once more.
    pub again: bool,
}

/// The room for strips, in points below a page's upper edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Room {
    /// Where they begin on the first page.
    pub first: f32,
    /// Where they begin on further pages.
    pub next: f32,
    /// Where they end.
    pub end: f32,
}

/// A head that takes more of a page than this is not repeated.
const HEAD_AT_MOST: f32 = 0.25;

/// The strips on their pages. Glued strips stay together unless a whole page cannot hold them; no strip is left out.
pub(super) fn share(flow: &Flow<'_>, room: Room) -> Vec<Vec<Placed>> {
    let mut sharing = Sharing {
        flow,
        room,
        pages: vec![Vec::new()],
        at: room.first,
        own: 0,
    };
    let mut start = 0;
    while start < flow.strips.len() {
        let glued = |strip: &&Strip<'_>| strip.glued;
        let end = start + 1 + flow.strips[start + 1..].iter().take_while(glued).count();
        sharing.group(start, end);
        start = end;
    }
    sharing.pages
}

struct Sharing<'a> {
    flow: &'a Flow<'a>,
    room: Room,
    pages: Vec<Vec<Placed>>,
    /// Where the next strip goes.
    at: f32,
    /// Strips on this page that are not repeated heads.
    own: usize,
}

impl Sharing<'_> {
    fn group(&mut self, start: usize, end: usize) {
        if !self.fits(start, end) {
            self.turn(start);
        }
        for strip in start..end {
            if !self.fits(strip, strip + 1) {
                self.turn(strip);
            }
            self.place(strip, false);
        }
    }

    /// Whether strips fit below what is on this page already.
    fn fits(&self, start: usize, end: usize) -> bool {
        let strips = &self.flow.strips[start..end];
        let need: f32 = strips.iter().map(|strip| strip.gap + strip.height).sum();
        let gap = if self.own == 0 { strips[0].gap } else { 0.0 };
        self.at + need - gap <= self.room.end
    }

    fn place(&mut self, strip: usize, again: bool) {
        let Strip { gap, height, .. } = self.flow.strips[strip];
        if self.own > 0 {
            self.at += gap;
        }
        if let Some(page) = self.pages.last_mut() {
            page.push(Placed {
                strip,
                top: self.at,
                again,
            });
        }
        self.at += height;
        self.own += usize::from(!again);
    }

    /// A new page, unless this one is still empty; with the head of the table that the strip goes on with.
    fn turn(&mut self, strip: usize) {
        if self.own == 0 {
            return;
        }
        self.pages.push(Vec::new());
        (self.at, self.own) = (self.room.next, 0);
        let Some(head) = self.head_of(strip) else {
            return;
        };
        let strips = &self.flow.strips[head.clone()];
        let height: f32 = strips.iter().map(|strip| strip.height).sum();
        if height <= HEAD_AT_MOST * (self.room.end - self.room.next) {
            head.for_each(|strip| self.place(strip, true));
        }
    }

    fn head_of(&self, strip: usize) -> Option<std::ops::Range<usize>> {
        let table = self.flow.strips[strip].table?;
        self.flow.heads.get(table).cloned()
    }
}
