use super::*;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Relative luminance and contrast ratio: W3C, Web Content Accessibility Guidelines 2.1,
/// definitions of "relative luminance" and "contrast ratio" (from memory).
fn luminance(colour: Color) -> f64 {
    let (r, g, b) = match colour {
        Color::Rgb(r, g, b) => (r, g, b),
        Color::Indexed(i) => indexed::rgb(i),
        other => panic!("{other} has no luminance"),
    };
    let linear = |v: u8| {
        let v = f64::from(v) / 255.0;
        if v <= 0.03928 {
            v / 12.92
        } else {
            ((v + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b)
}

fn contrast(a: Color, b: Color) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

fn written(theme: Theme) -> Vec<(String, Style)> {
    let mut all = vec![
        ("text".into(), theme.text()),
        ("faint".into(), theme.faint()),
        ("title".into(), theme.title()),
        ("button".into(), theme.button()),
        ("button_active".into(), theme.button_active()),
        ("good".into(), theme.good()),
        ("low".into(), theme.low()),
        ("high".into(), theme.high()),
        ("undecided".into(), theme.undecided()),
        ("error".into(), theme.error()),
        ("field".into(), theme.field()),
        ("field_focus".into(), theme.field_focus()),
        ("selected".into(), theme.selected()),
    ];
    all.extend(Age::ALL.map(|a| (a.word().to_owned(), theme.age(a))));
    all.extend(Size::ALL.map(|s| (s.word().to_owned(), theme.size(s))));
    all
}

const STROKES: [Stroke; 5] = [
    Stroke::Frame,
    Stroke::Band,
    Stroke::Target,
    Stroke::Point,
    Stroke::Mean,
];

/// The colours as a terminal of 256 colours would show them.
fn reduced(style: Style) -> Style {
    let mut buf = Buffer::empty(Rect::new(0, 0, 1, 1));
    buf.set_style(buf.area, style);
    reduce(&mut buf);
    Style::new().fg(buf.content[0].fg).bg(buf.content[0].bg)
}

fn ratio(style: Style) -> f64 {
    match (style.fg, style.bg) {
        (Some(fg), Some(bg)) => contrast(fg, bg),
        _ => 0.0,
    }
}

#[test]
fn black_on_white_has_the_highest_contrast() {
    // WCAG 2.1: ratios range from 1 to 21.
    assert!((contrast(BLACK, WHITE) - 21.0).abs() < 1e-9);
}

#[test]
fn letters_can_be_read_on_their_ground() {
    // WCAG 2.1, success criterion 1.4.3 (AA): at least 4.5 to 1.
    for theme in [Theme::Dark, Theme::Bright] {
        for (name, style) in written(theme) {
            assert!(ratio(style) >= 4.5, "{theme:?} {name}: {:.2}", ratio(style));
            let few = ratio(reduced(style));
            assert!(few >= 4.5, "{theme:?} {name} in 256 colours: {few:.2}");
        }
    }
}

#[test]
fn lines_of_pictures_can_be_seen() {
    // WCAG 2.1, success criterion 1.4.11 (AA): at least 3 to 1 for graphics.
    for theme in [Theme::Dark, Theme::Bright] {
        for stroke in STROKES {
            let style = theme.line(stroke);
            assert!(ratio(style) >= 3.0, "{theme:?} {stroke:?}");
            assert!(ratio(reduced(style)) >= 3.0, "{theme:?} {stroke:?} in 256");
        }
        for ink in Ink::ALL {
            let style = theme.text().fg(theme.ink(ink));
            assert!(ratio(style) >= 3.0, "{theme:?} {ink:?}");
            assert!(ratio(reduced(style)) >= 3.0, "{theme:?} {ink:?} in 256");
        }
    }
}

#[test]
fn plain_has_no_colour() {
    for (name, style) in written(Theme::Plain) {
        assert_eq!((style.fg, style.bg), (None, None), "{name}");
    }
    for stroke in STROKES {
        assert_eq!(Theme::Plain.stroke(stroke), Color::Reset);
    }
    for ink in Ink::ALL {
        assert_eq!(Theme::Plain.ink(ink), Color::Reset);
    }
}

#[test]
fn ages_and_sizes_look_different_in_every_theme() {
    for theme in Theme::ALL {
        for (i, a) in Age::ALL.into_iter().enumerate() {
            for b in &Age::ALL[i + 1..] {
                assert_ne!(theme.age(a), theme.age(*b), "{theme:?}");
            }
        }
        let sizes = Size::ALL.map(|s| theme.size(s));
        assert!(sizes[0] != sizes[1] && sizes[1] != sizes[2] && sizes[0] != sizes[2]);
    }
}

#[test]
fn settings_words_lead_back_to_their_theme() {
    for theme in Theme::ALL {
        assert_eq!(Theme::from_word(theme.word()), Some(theme));
    }
    assert_eq!(Theme::from_word("pink"), None);
}
