//! The counted trees in the triangle of the three ages.

use ratatui::layout::Rect;

use super::Sheet;
use crate::report::Standing;
use crate::tui::Pen;
use crate::tui::pen::right_of;
use crate::tui::widgets::{Ternary, ternary};

const EXPLAINED: &str = "Each dot is a counted tree. Only the first three ages are taken, as shares of one another; four-plus wood is left out. \
    A tree in a corner has wood of one age only. Inside the outline around + all three are as the rule accepts them. ◆ is the mean.";
/// Columns of the words beside the picture.
const WORDS: u16 = 27;

/// Draws the part.
pub fn view(sheet: &Sheet, pen: &mut Pen, area: Rect) {
    let standing = sheet.standing;
    if standing.tree_mixes.is_empty() {
        let faint = pen.theme.faint();
        pen.wrapped(area, "No tree was counted in these days.", faint);
        return;
    }
    let trees: Vec<[f64; 3]> = standing.tree_mixes.iter().map(three).collect();
    let beside = area.width >= 24 + 2 + WORDS + 16;
    let picture = Rect {
        width: area.width - if beside { WORDS + 2 } else { 0 },
        ..area
    };
    ternary(
        pen,
        picture,
        &Ternary {
            trees: &trees,
            target: three(&standing.target),
            tolerance: tolerance(standing),
            mean: standing.mix.as_ref().map(three),
        },
    );
    if beside {
        let faint = pen.theme.faint();
        pen.wrapped(right_of(area, picture.width + 2), EXPLAINED, faint);
    }
}

fn three([one, two, three, _]: &[f64; 4]) -> [f64; 3] {
    [*one, *two, *three]
}

/// How far each share may be from its target, on the scale of the picture: the three targets add up
/// to 1 there, also where the rule lets some older wood stay.
fn tolerance(standing: &Standing) -> [f64; 3] {
    let whole: f64 = three(&standing.target).iter().sum();
    [0, 1, 2].map(|age| {
        let band = standing.bands[age];
        (band.hi - band.target).max(band.target - band.lo) / whole
    })
}
