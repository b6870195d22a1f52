//! The winters ahead as a table (CSV): a line for each block, scenario and winter.

use std::fmt::Write as _;

use super::OutlookSheet;

/// The columns.
const HEAD: &str = "block,scenario,winters_ahead,one_year,two_year,three_year,four_plus,wrong_age_share,units,buds,\
                    tonnes_per_ha,tonnes_per_ha_lo,tonnes_per_ha_hi\n";

/// The table. Pieces, units and buds are a tree; `lo` and `hi` are the 10 and 90 % points. Blocks without counts have
/// no line.
pub fn outlook_csv(sheets: &[OutlookSheet]) -> String {
    let mut text = HEAD.to_owned();
    for sheet in sheets {
        for ahead in &sheet.ahead {
            for year in &ahead.years {
                let [one, two, three, four] = year.pieces;
                let crop = year.crop.tonnes_per_ha;
                let _ = writeln!(
                    text,
                    "{},{},{},{one:.3},{two:.3},{three:.3},{four:.3},{:.4},{:.3},{:.3},{:.3},{:.3},{:.3}",
                    quoted(&sheet.block_name),
                    ahead.scenario.words(),
                    year.ahead,
                    year.wrong_age,
                    year.units,
                    year.buds,
                    crop.mean,
                    crop.lo,
                    crop.hi
                );
            }
        }
    }
    text
}

/// A name as a cell: in quotes where it has to be; a name that a spreadsheet would take for a formula is made text.
fn quoted(name: &str) -> String {
    let formula = name.starts_with(['=', '+', '-', '@']);
    let name = if formula {
        format!("'{name}")
    } else {
        name.to_owned()
    };
    if name.contains([',', '"', '\n']) {
        format!("\"{}\"", name.replace('"', "\"\""))
    } else {
        name
    }
}
