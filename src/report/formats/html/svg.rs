//! A picture as SVG, to stand in a page of HTML (which gives it its namespace): no style sheet, script, font or file
//! from elsewhere.
//!
//! SVG 1.1, and WAI-ARIA's `role="img"` with `<title>` and `<desc>` (from memory).

use std::collections::BTreeSet;
use std::fmt::Write as _;

use crate::report::document::palette::{self, Rgb};
use crate::report::document::{Anchor, Drawing, Fill, Ink, OUTLINE, Picture, Shape};
use crate::report::fit;

/// Letters are searched for in these fonts.
const FONTS: &str = "Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', sans-serif";

/// The picture as an `<svg>` element. `prefix` begins each id in it: a letter, then letters, digits and `-`; it must be
/// different for each picture of a document. What else it holds is left out.
pub fn svg(picture: &Picture, prefix: &str) -> String {
    let prefix: String = prefix
        .chars()
        .filter(|c| c.is_ascii_alphanumeric() || *c == '-')
        .collect();
    let drawing = &picture.drawing;
    let (width, height) = (number(drawing.width), number(drawing.height));
    let mut out = String::with_capacity(256 + 120 * drawing.shapes.len());
    // writing to a String does not fail
    let _ = write!(
        out,
        "<svg role=\"img\" viewBox=\"0 0 {width} {height}\" \
         width=\"{width}\" height=\"{height}\" aria-labelledby=\"{prefix}-title {prefix}-desc\" \
         font-family=\"{FONTS}\"><title id=\"{prefix}-title\">{}</title><desc id=\"{prefix}-desc\">{}</desc>",
        escaped(&picture.title),
        escaped(&picture.text)
    );
    patterns(&mut out, drawing, &prefix);
    for shape in &drawing.shapes {
        draw(&mut out, shape, &prefix);
    }
    out.push_str("</svg>");
    out
}

/// A text as it may stand between and within elements: no markup, and only characters that XML allows.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in fit::safe(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            // XML 1.0, production 2 (Char), from memory
            '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

/// A number with at most two decimals.
fn number(value: f64) -> String {
    fit::decimals(if value.is_finite() { value } else { 0.0 }, 2)
}

fn hex((r, g, b): Rgb) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// A quarter of a colour on white.
fn light((r, g, b): Rgb) -> Rgb {
    let quarter = |v: u8| 255 - (255 - v) / 4;
    (quarter(r), quarter(g), quarter(b))
}

/// A hatch needs a pattern.
fn is_hatch(fill: Fill) -> bool {
    matches!(fill, Fill::Rising | Fill::Falling | Fill::Dotted)
}

fn pattern_id(prefix: &str, ink: Ink, fill: Fill) -> String {
    format!("{prefix}-{ink:?}-{fill:?}").to_lowercase()
}

fn look(shape: &Shape) -> Option<(Ink, Fill)> {
    match shape {
        Shape::Path {
            ink,
            fill,
            closed: true,
            ..
        }
        | Shape::Circle { ink, fill, .. } => Some((*ink, *fill)),
        _ => None,
    }
}

/// The hatches that the drawing uses, each once.
fn patterns(out: &mut String, drawing: &Drawing, prefix: &str) {
    let mut known = BTreeSet::new();
    let looks = drawing.shapes.iter().filter_map(look);
    for (ink, fill) in looks.filter(|(_, fill)| is_hatch(*fill)) {
        let id = pattern_id(prefix, ink, fill);
        if !known.insert(id.clone()) {
            continue;
        }
        if known.len() == 1 {
            out.push_str("<defs>");
        }
        let colour = hex(palette::shape(ink));
        let inside = match fill {
            Fill::Rising => format!(
                "<path d=\"M-1 1L1 -1M0 5L5 0M4 6L6 4\" stroke=\"{colour}\" stroke-width=\"1.6\"/>"
            ),
            Fill::Falling => format!(
                "<path d=\"M-1 4L1 6M0 0L5 5M4 -1L6 1\" stroke=\"{colour}\" stroke-width=\"1.6\"/>"
            ),
            _ => format!(
                "<circle cx=\"1.25\" cy=\"1.25\" r=\"0.95\" fill=\"{colour}\"/>\
                 <circle cx=\"3.75\" cy=\"3.75\" r=\"0.95\" fill=\"{colour}\"/>"
            ),
        };
        let _ = write!(
            out,
            "<pattern id=\"{id}\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\">\
             <rect width=\"5\" height=\"5\" fill=\"#ffffff\"/>{inside}</pattern>"
        );
    }
    if !known.is_empty() {
        out.push_str("</defs>");
    }
}

/// What a closed shape is filled with.
fn paint(prefix: &str, ink: Ink, fill: Fill) -> String {
    let colour = palette::shape(ink);
    match fill {
        Fill::Empty => "none".to_owned(),
        Fill::Solid => hex(colour),
        Fill::Light => hex(light(colour)),
        Fill::Rising | Fill::Falling | Fill::Dotted => {
            format!("url(#{})", pattern_id(prefix, ink, fill))
        }
    }
}

/// From point to point.
fn steps(points: &[(f64, f64)], closed: bool) -> String {
    let mut steps = String::new();
    for (n, (x, y)) in points.iter().enumerate() {
        let step = if n == 0 { 'M' } else { 'L' };
        let _ = write!(steps, "{step}{} {}", number(*x), number(*y));
    }
    if closed {
        steps.push('Z');
    }
    steps
}

/// The attributes of an outline; none where it has no width.
fn outline(stroke: f64, dashed: bool, ink: Ink) -> String {
    if stroke > 0.0 {
        let (colour, width) = (hex(palette::shape(ink)), number(stroke));
        let dashes = if dashed {
            " stroke-dasharray=\"4 3\""
        } else {
            ""
        };
        format!(" stroke=\"{colour}\" stroke-width=\"{width}\"{dashes}")
    } else {
        String::new()
    }
}

fn draw(out: &mut String, shape: &Shape, prefix: &str) {
    match shape {
        Shape::Path {
            points,
            closed,
            stroke,
            dashed,
            ink,
            fill,
        } => {
            let fill = if *closed { *fill } else { Fill::Empty };
            let _ = write!(
                out,
                "<path d=\"{}\" fill=\"{}\"{}/>",
                steps(points, *closed),
                paint(prefix, *ink, fill),
                outline(*stroke, *dashed, *ink)
            );
        }
        Shape::Circle {
            at,
            radius,
            ink,
            fill,
        } => {
            let _ = write!(
                out,
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{}\"{}/>",
                number(at.0),
                number(at.1),
                number(*radius),
                paint(prefix, *ink, *fill),
                outline(OUTLINE, false, *ink)
            );
        }
        Shape::Text {
            at,
            anchor,
            size,
            bold,
            ink,
            words,
        } => {
            let anchor = match anchor {
                Anchor::Start => "",
                Anchor::Middle => " text-anchor=\"middle\"",
                Anchor::End => " text-anchor=\"end\"",
            };
            let weight = if *bold { " font-weight=\"bold\"" } else { "" };
            let _ = write!(
                out,
                "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{anchor}{weight} fill=\"{}\">{}</text>",
                number(at.0),
                number(at.1),
                number(*size),
                hex(palette::letters(*ink)),
                escaped(words)
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::document::pictures::inspect::{standing, standing_of};
    use crate::report::document::pictures::{Labels, Room, buds, mix, on_paper, ternary};

    /// Whether a text is one well-formed XML element, by the parts of XML 1.0 that are written here: elements, quoted
    /// attributes that differ, and the five named or numbered entities. Gives the ids.
    fn well_formed(text: &str) -> Result<Vec<String>, String> {
        let (mut open, mut ids, mut rest, mut roots) = (Vec::new(), Vec::new(), text, 0);
        while !rest.is_empty() {
            let Some(inside) = rest.strip_prefix('<') else {
                let end = rest.find('<').unwrap_or(rest.len());
                characters(&rest[..end])?;
                if open.is_empty() {
                    return Err(format!("text outside: {}", &rest[..end]));
                }
                rest = &rest[end..];
                continue;
            };
            let end = inside.find('>').ok_or("a tag is not closed")?;
            let tag = &inside[..end];
            rest = &inside[end + 1..];
            if let Some(name) = tag.strip_prefix('/') {
                if open.pop() != Some(name) {
                    return Err(format!("{name} closes another"));
                }
                continue;
            }
            let (tag, empty) = tag
                .strip_suffix('/')
                .map_or((tag, false), |tag| (tag, true));
            let name = tag.split(' ').next().unwrap_or_default();
            attributes(&tag[name.len()..], &mut ids)?;
            roots += usize::from(open.is_empty());
            if !empty {
                open.push(name);
            }
        }
        if open.is_empty() && roots == 1 {
            Ok(ids)
        } else {
            Err("no single element".to_owned())
        }
    }

    fn attributes(mut rest: &str, ids: &mut Vec<String>) -> Result<(), String> {
        let mut names = BTreeSet::new();
        while !rest.trim().is_empty() {
            let (name, after) = rest
                .split_once("=\"")
                .ok_or(format!("no attribute: {rest}"))?;
            let (value, after) = after.split_once('"').ok_or("a quote is open")?;
            let name = name.trim();
            let plain = |c: char| c.is_ascii_alphabetic() || c == '-' || c == ':';
            if name.is_empty() || !name.chars().all(plain) || !names.insert(name) {
                return Err(format!("attribute {name}"));
            }
            characters(value)?;
            if name == "id" {
                ids.push(value.to_owned());
            }
            rest = after;
        }
        Ok(())
    }

    fn characters(text: &str) -> Result<(), String> {
        if text
            .contains(|c: char| c.is_control() || matches!(c, '<' | '>' | '\u{fffe}' | '\u{ffff}'))
        {
            return Err(format!("characters: {text:?}"));
        }
        for entity in text.split('&').skip(1) {
            let known = ["amp;", "lt;", "gt;", "quot;", "#39;"];
            if !known.iter().any(|known| entity.starts_with(known)) {
                return Err(format!("entity: &{entity}"));
            }
        }
        Ok(())
    }

    #[test]
    fn the_check_finds_what_is_not_well_formed() {
        assert!(well_formed("<a b=\"1\"><c/>x &amp; y</a>").is_ok());
        for wrong in [
            "<a>",
            "<a></b>",
            "<a b=1/>",
            "<a b=\"1\" b=\"2\"/>",
            "<a>&nbsp;</a>",
            "<a/><a/>",
            "x",
            "<a>\u{1}</a>",
        ] {
            assert!(well_formed(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn hostile_names_stay_words() {
        let names = [
            "<script>alert(1)</script>",
            "\"><img onerror='x'>&amp;&#0;",
            "\u{1b}[2J\u{0}\u{202e}\u{fffe}\u{ffff}",
            "]]><!--",
            "",
        ];
        let tallies: Vec<_> = (0..4)
            .map(|_| crate::orchard::Tally {
                ages: [9, 9, 9, 1],
                ..crate::orchard::Tally::default()
            })
            .collect();
        for name in names {
            let picture = mix(
                &standing_of(name, &tallies),
                &Labels::english(),
                on_paper::MIX,
            );
            let svg = svg(&picture, "p1");
            let ids = well_formed(&svg).unwrap_or_else(|why| panic!("{why}\n{svg}"));
            assert!(!svg.contains("<script") && !svg.contains("<img"), "{svg}");
            assert!(ids.iter().all(|id| id.starts_with("p1-")), "{ids:?}");
        }
        let mut labels = Labels::english();
        labels.tree = names[0].into();
        labels.without_four_plus = names[2].into();
        let picture = ternary(
            &standing(10, [0.3, 0.3, 0.3, 0.1]),
            &labels,
            on_paper::TERNARY,
        );
        well_formed(&svg(&picture, "p2")).unwrap();
    }

    #[test]
    fn ids_are_those_of_the_picture_alone() {
        let standing = standing(20, [0.3, 0.3, 0.3, 0.1]);
        let picture = buds(&standing, &Labels::english(), Room::paper(260.0));
        let (one, other) = (svg(&picture, "a"), svg(&picture, "b"));
        let ids: BTreeSet<String> = [&one, &other]
            .into_iter()
            .flat_map(|s| well_formed(s).unwrap())
            .collect();
        let each = well_formed(&one).unwrap().len();
        assert_eq!(ids.len(), 2 * each);
        assert!(each >= 3, "title, desc and a hatch");
        for used in one.split("url(#").skip(1) {
            let id = used.split(')').next().unwrap();
            assert!(ids.contains(id), "{id}");
        }
        assert!(svg(&picture, "x\" onload=\"y").contains("id=\"xonloady-title\""));
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!(number(1.0 / 3.0), "0.33");
        assert_eq!(number(-0.001), "0");
        assert_eq!(number(120.0), "120");
        assert_eq!(number(f64::NAN), "0");
    }
}
