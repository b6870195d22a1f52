//! Pages put into a file.

use krilla::configure::Configuration;
use krilla::geom::{PathBuilder, Point, Rect};
use krilla::metadata::{Metadata, TextDirection};
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule};
use krilla::surface::Surface;
use krilla::tagging::{ArtifactType, ContentTag, Identifier, SpanTag, TagTree};
use krilla::{SerializeSettings, destination::XyzDestination};

use super::font::Faces;
use super::frame::{Frame, MARGIN, joined};
use super::pages::{Placed, share};
use super::strip::{Flow, Mark, Thing};
use super::tags::{Printed, section};
use super::{PageSize, PdfError, ink, picture, set};
use crate::report::document::{Document, Sheet};
use crate::report::fit::safe;

/// The paper as a file that keeps what `configuration` asks for.
pub(super) fn paper(
    paper: &Document,
    page: PageSize,
    configuration: Configuration,
) -> Result<Vec<u8>, PdfError> {
    if paper.sheets.is_empty() {
        return Err(PdfError::NoSheets);
    }
    let mut press = Press {
        document: krilla::Document::new_with(SerializeSettings {
            enable_tagging: true,
            configuration,
            ..SerializeSettings::default()
        }),
        faces: Faces::open()?,
        frame: Frame::new(page),
        pages: 0,
    };
    let mut outline = Outline::new();
    let mut tree = TagTree::new().with_lang(Some(paper.lang.to_owned()));
    for sheet in &paper.sheets {
        let top = XyzDestination::new(press.pages, Point::from_xy(0.0, 0.0));
        outline.push_child(OutlineNode::new(bookmark(sheet), top));
        tree.push(press.sheet(sheet)?);
    }
    press.document.set_outline(outline);
    press.document.set_tag_tree(tree);
    press.document.set_metadata(metadata(paper));
    let broken = |why| PdfError::Broken(format!("{why:?}"));
    press.document.finish().map_err(broken)
}

fn bookmark(sheet: &Sheet) -> String {
    joined(&[&sheet.title, &sheet.day])
}

fn metadata(paper: &Document) -> Metadata {
    let first = paper.sheets.first().map(bookmark);
    let title = match safe(paper.title.trim()) {
        title if title.is_empty() => first.unwrap_or_default(),
        title => title.into_owned(),
    };
    Metadata::new()
        .title(title)
        .language(paper.lang.to_owned())
        .creator("Thirdwood".to_owned())
        .text_direction(TextDirection::LeftToRight)
}

/// A document in the making.
struct Press {
    document: krilla::Document,
    faces: Faces,
    frame: Frame,
    /// Pages printed so far.
    pages: usize,
}

impl Press {
    /// Prints a sheet and tells its structure.
    fn sheet(&mut self, sheet: &Sheet) -> Result<krilla::tagging::TagGroup, PdfError> {
        let flow = set::sheet(sheet, &self.faces, self.frame);
        let pages = share(&flow, self.frame.room());
        let mut printed: Vec<Printed> = flow.nodes.iter().map(|_| Printed::default()).collect();
        for (at, placed) in pages.iter().enumerate() {
            self.page(sheet, &flow, (at + 1, pages.len()), placed, &mut printed)?;
        }
        Ok(section(sheet.lang, &flow.nodes, printed))
    }

    fn page(
        &mut self,
        sheet: &Sheet,
        flow: &Flow<'_>,
        (number, of): (usize, usize),
        placed: &[Placed],
        printed: &mut [Printed],
    ) -> Result<(), PdfError> {
        let Frame { width, height } = self.frame;
        let settings = PageSettings::from_wh(width, height)
            .ok_or_else(|| PdfError::Broken("the page has no size".to_owned()))?;
        let mut page = self.document.start_page_with(settings);
        {
            let mut pen = Pen {
                surface: page.surface(),
                faces: &self.faces,
                page: self.pages,
            };
            let head = self.frame.head(sheet, number, &self.faces);
            pen.adorn(&head, (0.0, 0.0), ArtifactType::Header);
            for place in placed {
                let at = (MARGIN, place.top);
                let marks = &flow.strips[place.strip].marks;
                if place.again {
                    pen.adorn(marks, at, ArtifactType::Other);
                } else {
                    pen.strip(marks, at, printed);
                }
            }
            let foot = self.frame.foot(sheet, (number, of), &self.faces);
            pen.adorn(&foot, (0.0, 0.0), ArtifactType::Footer);
            pen.surface.finish();
        }
        page.finish();
        self.pages += 1;
        Ok(())
    }
}

/// Prints marks on one page.
struct Pen<'s, 'f> {
    surface: Surface<'s>,
    faces: &'f Faces,
    /// The page, counted from 0.
    page: usize,
}

impl Pen<'_, '_> {
    /// Marks that belong to no piece of the sheet.
    fn adorn(&mut self, marks: &[Mark<'_>], at: (f32, f32), kind: ArtifactType) {
        if marks.is_empty() {
            return;
        }
        self.surface.start_tagged(ContentTag::Artifact(kind));
        for mark in marks {
            self.thing(&mark.thing, at);
        }
        self.surface.end_tagged();
    }

    fn strip(&mut self, marks: &[Mark<'_>], at: (f32, f32), printed: &mut [Printed]) {
        for mark in marks {
            match mark.node {
                None => self.adorn(std::slice::from_ref(mark), at, ArtifactType::Other),
                Some(node) => {
                    let identifier = self.tagged(&mark.thing, at);
                    printed[node].marks.push(identifier);
                    if let Some(rect) = edges(&mark.thing, at) {
                        printed[node].place = Some((self.page, rect));
                    }
                }
            }
        }
    }

    fn tagged(&mut self, thing: &Thing<'_>, at: (f32, f32)) -> Identifier {
        let tag = match thing {
            Thing::Words { .. } => ContentTag::Span(SpanTag::empty()),
            Thing::Bar { .. } | Thing::Drawing { .. } => ContentTag::Other,
        };
        let identifier = self.surface.start_tagged(tag);
        self.thing(thing, at);
        self.surface.end_tagged();
        identifier
    }

    fn thing(&mut self, thing: &Thing<'_>, origin: (f32, f32)) {
        let moved = |at: &(f32, f32)| (origin.0 + at.0, origin.1 + at.1);
        match thing {
            Thing::Words {
                at,
                text,
                size,
                bold,
                dark,
            } => self.words(moved(at), text, *size, *bold, *dark),
            Thing::Bar { at, size, dark } => self.bar(moved(at), *size, *dark),
            Thing::Drawing { at, scale, drawing } => {
                picture::print(&mut self.surface, self.faces, drawing, moved(at), *scale);
            }
        }
    }

    fn ink(&mut self, dark: f32) {
        self.surface.set_stroke(None);
        self.surface.set_fill(Some(Fill {
            paint: ink::grey(dark).into(),
            opacity: krilla::num::NormalizedF32::ONE,
            rule: FillRule::default(),
        }));
    }

    fn words(&mut self, at: (f32, f32), text: &str, size: f32, bold: bool, dark: f32) {
        if text.is_empty() {
            return;
        }
        self.ink(dark);
        let face = self.faces.face(bold);
        let start = Point::from_xy(at.0, at.1);
        self.surface
            .draw_glyphs(start, &face.glyphs(text), face.font(), text, size, false);
    }

    fn bar(&mut self, at: (f32, f32), size: (f32, f32), dark: f32) {
        let mut path = PathBuilder::new();
        let Some(rect) = Rect::from_xywh(at.0, at.1, size.0, size.1) else {
            return;
        };
        path.push_rect(rect);
        if let Some(path) = path.finish() {
            self.ink(dark);
            self.surface.draw_path(&path);
        }
    }
}

/// Where a drawing stands; none for anything else.
fn edges(thing: &Thing<'_>, origin: (f32, f32)) -> Option<Rect> {
    let Thing::Drawing { at, scale, drawing } = thing else {
        return None;
    };
    Rect::from_xywh(
        origin.0 + at.0,
        origin.1 + at.1,
        drawing.width as f32 * scale,
        drawing.height as f32 * scale,
    )
}
