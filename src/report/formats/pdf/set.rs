//! The parts of a sheet set as strips.

use super::font::Faces;
use super::frame::{Frame, joined};
use super::lines::{Style, wrap};
use super::strip::{Flow, Mark, Role, Strip, Thing};
use crate::report::document::{Part, Picture, Sheet};
use crate::report::fit::safe;

/// Height of a line and of its baseline, for letters of height 1.
pub(super) const LINE: f32 = 1.35;
pub(super) const BASE: f32 = 1.03;
/// How much of a page a picture may take, so that its heading stays with it.
const PICTURE_AT_MOST: f32 = 0.85;

/// How a paragraph looks. Lengths in points.
#[derive(Debug, Clone, Copy)]
pub(super) struct Look {
    /// Height of the letters.
    pub size: f32,
    /// Whether they are bold.
    pub bold: bool,
    /// Their darkness.
    pub dark: f32,
    /// Room above.
    pub gap: f32,
    /// How far it is moved to the right.
    pub indent: f32,
}

const fn look(size: f32, bold: bool, gap: f32) -> Look {
    let (dark, indent) = (1.0, 0.0);
    Look {
        size,
        bold,
        dark,
        gap,
        indent,
    }
}

const ORCHARD: Look = look(9.5, false, 0.0);
const TITLE: Look = look(17.0, true, 3.0);
const DAY: Look = look(11.0, false, 1.0);
const HEADING: Look = look(12.5, true, 14.0);
const LEAD: Look = look(14.0, true, 8.0);
const PARA: Look = look(10.0, false, 5.0);
const ITEM: Look = look(10.0, false, 3.0);
pub(super) const CAPTION: Look = look(9.5, true, 11.0);
const NOTE: Look = Look {
    dark: 0.75,
    ..look(8.5, false, 5.0)
};
const CAUTION: Look = Look {
    indent: 22.0,
    ..look(10.0, false, 8.0)
};

/// A sheet as strips for pages of a size.
pub(super) fn sheet<'a>(sheet: &'a Sheet, faces: &Faces, frame: Frame) -> Flow<'a> {
    let mut setter = Setter {
        faces,
        width: frame.text(),
        body: frame.body(),
        flow: Flow::default(),
        glue: false,
    };
    setter.masthead(sheet);
    for part in &sheet.parts {
        setter.part(part);
    }
    setter.flow
}

/// Strips in the making.
pub(super) struct Setter<'f, 'a> {
    /// The faces.
    pub faces: &'f Faces,
    /// How wide text is.
    pub width: f32,
    /// How much a page holds.
    pub body: f32,
    /// What is set so far.
    pub flow: Flow<'a>,
    /// Whether the next strip stays with the one before.
    pub glue: bool,
}

impl<'a> Setter<'_, 'a> {
    fn masthead(&mut self, sheet: &Sheet) {
        let title = safe(sheet.title.trim());
        for (text, look, role) in [
            (
                joined(&[&sheet.orchard, &sheet.winter]),
                ORCHARD,
                Role::Para,
            ),
            (
                title.to_string(),
                TITLE,
                Role::Heading(1, title.into_owned()),
            ),
            (joined(&[&sheet.day]), DAY, Role::Para),
        ] {
            if !text.is_empty() {
                self.paragraph(&text, look, None, role);
                self.glue = true;
            }
        }
        let rule = Mark::bar((0.0, 0.0), (self.width, 1.2), 1.0);
        self.push(Strip {
            gap: 5.0,
            height: 4.0,
            marks: vec![rule],
            ..Strip::default()
        });
        self.glue = true;
    }

    fn part(&mut self, part: &'a Part) {
        match part {
            Part::Heading(text) => {
                let role = Role::Heading(2, safe(text).into_owned());
                self.paragraph(text, HEADING, None, role);
                self.glue = true;
            }
            Part::Lead(text) => self.paragraph(text, LEAD, None, Role::Para),
            Part::Para(text) => self.paragraph(text, PARA, None, Role::Para),
            Part::Note(text) => self.paragraph(text, NOTE, None, Role::Para),
            Part::Caution(text) => self.caution(text),
            Part::List { numbered, items } => self.list(*numbered, items),
            Part::Table(table) => self.table(table),
            Part::Picture(picture) => self.picture(picture),
        }
    }

    /// Lines of text. The first two stay together, and the last two.
    pub fn paragraph(&mut self, text: &str, look: Look, within: Option<usize>, role: Role) {
        let node = self.flow.node(within, role);
        self.text(text, look, node);
    }

    fn text(&mut self, text: &str, look: Look, node: usize) {
        let style = Style {
            face: self.faces.face(look.bold),
            size: look.size,
        };
        let lines = wrap(text, style, self.width - look.indent);
        let last = lines.len() - 1;
        for (at, line) in lines.into_iter().enumerate() {
            let words = Thing::Words {
                at: (look.indent, BASE * look.size),
                text: line.text,
                size: look.size,
                bold: look.bold,
                dark: look.dark,
            };
            self.push(Strip {
                gap: if at == 0 { look.gap } else { 0.0 },
                height: LINE * look.size,
                glued: at > 0 && (at == 1 || at == last),
                table: None,
                marks: vec![Mark {
                    node: Some(node),
                    thing: words,
                }],
            });
        }
    }

    /// A paragraph with a heavy bar and a sign beside it.
    fn caution(&mut self, text: &str) {
        let first = self.flow.strips.len();
        self.paragraph(text, CAUTION, None, Role::Para);
        let sign = Thing::Words {
            at: (7.0, BASE * CAUTION.size),
            text: "\u{26a0}".to_owned(),
            size: CAUTION.size,
            bold: false,
            dark: 1.0,
        };
        for at in first..self.flow.strips.len() {
            let height = self.flow.strips[at].height;
            let bar = Mark::bar((0.0, 0.0), (3.0, height), 1.0);
            let marks = &mut self.flow.strips[at].marks;
            marks.insert(0, bar);
            if at == first {
                marks.insert(
                    1,
                    Mark {
                        node: None,
                        thing: sign.clone(),
                    },
                );
            }
        }
    }

    fn list(&mut self, numbered: bool, items: &[String]) {
        let list = self.flow.node(None, Role::List(numbered));
        let label = |at: usize| {
            if numbered {
                format!("{}.", at + 1)
            } else {
                "•".to_owned()
            }
        };
        let face = self.faces.face(false);
        let indent = face.width(&label(items.len()), ITEM.size) + 6.0;
        for (at, text) in items.iter().enumerate() {
            let item = self.flow.node(Some(list), Role::Item);
            let labelled = self.flow.node(Some(item), Role::Label);
            let body = self.flow.node(Some(item), Role::Body);
            let first = self.flow.strips.len();
            let gap = if at == 0 { PARA.gap } else { ITEM.gap };
            let look = Look {
                gap,
                indent,
                ..ITEM
            };
            self.text(text, look, body);
            let thing = Thing::Words {
                at: (0.0, BASE * ITEM.size),
                text: label(at) + " ",
                size: ITEM.size,
                bold: false,
                dark: 1.0,
            };
            let node = Some(labelled);
            self.flow.strips[first]
                .marks
                .insert(0, Mark { node, thing });
        }
    }

    fn picture(&mut self, picture: &'a Picture) {
        let title = safe(picture.title.trim());
        if !title.is_empty() {
            self.paragraph(&title, CAPTION, None, Role::Caption);
            self.glue = true;
        }
        let (wide, high) = (picture.drawing.width as f32, picture.drawing.height as f32);
        let scale = (self.width / wide)
            .min(PICTURE_AT_MOST * self.body / high)
            .min(1.0);
        if !(scale > 0.0 && wide.is_finite() && high.is_finite()) {
            return self.paragraph(&picture.text, PARA, None, Role::Para);
        }
        let text = if picture.text.trim().is_empty() {
            &title
        } else {
            picture.text.as_str()
        };
        let node = self.flow.node(None, Role::Figure(safe(text).into_owned()));
        let thing = Thing::Drawing {
            at: (0.0, 0.0),
            scale,
            drawing: &picture.drawing,
        };
        self.push(Strip {
            gap: 4.0,
            height: high * scale,
            marks: vec![Mark {
                node: Some(node),
                thing,
            }],
            ..Strip::default()
        });
    }

    /// Adds a strip, glued to the one before if that asked for it.
    pub fn push(&mut self, mut strip: Strip<'a>) {
        strip.glued |= std::mem::take(&mut self.glue) && !self.flow.strips.is_empty();
        self.flow.strips.push(strip);
    }
}
