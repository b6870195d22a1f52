//! The two faces that come with the program, and how wide their letters are.

use krilla::text::{Font, GlyphId, KrillaGlyph};
use skrifa::MetadataProvider;
use skrifa::charmap::Charmap;
use skrifa::instance::{LocationRef, Size};
use skrifa::metrics::GlyphMetrics;

use super::PdfError;

static REGULAR: &[u8] = include_bytes!("../../../../assets/fonts/DejaVuSans.ttf");
static BOLD: &[u8] = include_bytes!("../../../../assets/fonts/DejaVuSans-Bold.ttf");

/// Stands for a character that the faces do not have: visible, so that nobody takes the name for whole.
const UNKNOWN: char = '\u{fffd}';
const CUT: &str = "…";

/// Characters that only say how those beside them are drawn: joiners and variants. They have no look of their own.
fn joins(letter: char) -> bool {
    matches!(letter, '\u{200c}' | '\u{200d}' | '\u{fe00}'..='\u{fe0f}')
}

/// One face.
pub(super) struct Face {
    font: Font,
    chars: Charmap<'static>,
    widths: GlyphMetrics<'static>,
    units: f32,
    unknown: skrifa::GlyphId,
}

impl Face {
    fn open(bytes: &'static [u8]) -> Option<Self> {
        let read = skrifa::FontRef::new(bytes).ok()?;
        let chars = read.charmap();
        Some(Self {
            font: Font::new(bytes.into(), 0)?,
            widths: read.glyph_metrics(Size::unscaled(), LocationRef::default()),
            units: f32::from(
                read.metrics(Size::unscaled(), LocationRef::default())
                    .units_per_em,
            ),
            unknown: chars.map(UNKNOWN)?,
            chars,
        })
    }

    /// The glyph of a letter and its width, as a share of the letters' size.
    fn glyph(&self, letter: char) -> (skrifa::GlyphId, f32) {
        let glyph = self.chars.map(letter).unwrap_or(self.unknown);
        let width = self.widths.advance_width(glyph).unwrap_or_default();
        (glyph, width / self.units)
    }

    /// Whether the face has a letter of its own for the character.
    pub fn has(&self, letter: char) -> bool {
        self.chars.map(letter).is_some()
    }

    /// The width of a text in points, its letters `size` points high.
    pub fn width(&self, text: &str, size: f32) -> f32 {
        let drawn = text.chars().filter(|letter| !joins(*letter));
        size * drawn.map(|letter| self.glyph(letter).1).sum::<f32>()
    }

    /// The text's glyphs one after the other, each tied to the character it stands for: text that is
    /// copied from the page has the character, also where the page shows that the face has none.
    pub fn glyphs(&self, text: &str) -> Vec<KrillaGlyph> {
        let set = |(at, letter): (usize, char)| {
            let (glyph, width) = self.glyph(letter);
            let range = at..at + letter.len_utf8();
            KrillaGlyph::new(
                GlyphId::new(glyph.to_u32()),
                width,
                0.0,
                0.0,
                0.0,
                range,
                None,
            )
        };
        let drawn = text.char_indices().filter(|(_, letter)| !joins(*letter));
        drawn.map(set).collect()
    }

    /// The text if it fits in `room` points, else as much as fits with `…` at its end.
    pub fn cut(&self, text: &str, size: f32, room: f32) -> String {
        if self.width(text, size) <= room {
            return text.to_owned();
        }
        let room = room - self.width(CUT, size);
        let mut used = 0.0;
        let fits = |letter: &char| {
            used += self.width(letter.encode_utf8(&mut [0; 4]), size);
            used <= room
        };
        let kept: String = text.chars().take_while(fits).collect();
        kept.trim_end().to_owned() + CUT
    }

    /// The face as the printer takes it.
    pub fn font(&self) -> Font {
        self.font.clone()
    }
}

/// The faces of a document.
pub(super) struct Faces {
    regular: Face,
    bold: Face,
}

impl Faces {
    /// Opens both.
    pub fn open() -> Result<Self, PdfError> {
        Ok(Self {
            regular: Face::open(REGULAR).ok_or(PdfError::Letters)?,
            bold: Face::open(BOLD).ok_or(PdfError::Letters)?,
        })
    }

    /// Whether both have what it takes to show the character.
    pub fn have(&self, letter: char) -> bool {
        joins(letter) || (self.regular.has(letter) && self.bold.has(letter))
    }

    /// The one that is bold, or the one that is not.
    pub fn face(&self, bold: bool) -> &Face {
        if bold { &self.bold } else { &self.regular }
    }
}
