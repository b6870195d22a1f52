//! Briefs and outlooks as tables.

use super::columns::{AGES, Columns};
use super::{ChartForm, DataTable, Kind, Title};
use crate::outlook::{
    BudsRow, ByAge, Potential, Range, Scenario, SeasonYield, Source, Wanted, Winter, Year,
};
use crate::report::words::Tongue;
use crate::report::{BriefSheet, FactorLine, OutlookSheet, words};

const TWO: Kind = Kind::Decimal(2);

/// The tables of briefs: a line for each block with what to leave on a tree and on a stem; other numbers of buds a
/// unit; the factors; yields by season.
pub fn briefs(sheets: &[BriefSheet]) -> Vec<DataTable> {
    type Buds<'a> = (&'a BriefSheet, &'a BudsRow);
    type Season<'a> = (&'a BriefSheet, &'a SeasonYield);
    let buds: Vec<Buds<'_>> = (sheets.iter())
        .filter_map(|sheet| Some((sheet, sheet.brief.as_ref()?)))
        .flat_map(|(sheet, brief)| brief.by_buds.iter().map(move |row| (sheet, row)))
        .collect();
    let yields: Vec<Season<'_>> = (sheets.iter())
        .flat_map(|sheet| sheet.yields.iter().map(move |season| (sheet, season)))
        .collect();
    let mut tables = vec![
        leave(sheets),
        Columns::<Buds<'_>>::new()
            .text("block", |(sheet, _)| sheet.block_name.clone())
            .number("buds_per_unit", |(_, row)| row.buds_per_unit)
            .number("units_per_tree", |(_, row)| row.units_per_tree)
            .number("units_per_stem", |(_, row)| row.units_per_stem)
            .ages("pieces_", TWO, |(_, row)| Some(row.pieces))
            .number("tonnes_with_same_units", |(_, row)| {
                row.tonnes_with_same_units
            })
            .table("buds_a_unit", &buds),
        factors(
            "brief_factors",
            sheets.iter().map(|s| (s.block_name.as_str(), &s.factors)),
        ),
        Columns::<Season<'_>>::new()
            .text("block", |(sheet, _)| sheet.block_name.clone())
            .whole("season", |(_, of)| of.season)
            .number("tonnes_per_ha", |(_, of)| of.amount)
            .table("yields", &yields),
    ];
    tables.extend(
        sheets
            .first()
            .map(|sheet| super::winter::about(&sheet.orchard, &sheet.winter, None, sheet.day)),
    );
    tables
}

fn leave(sheets: &[BriefSheet]) -> DataTable {
    let columns = Columns::<BriefSheet>::new()
        .text("block", |s| s.block_name.clone())
        .whole("season", |s| s.season)
        .number("trees_per_ha", |s| s.trees_per_ha)
        .whole("stems", |s| s.stems)
        .text("aim", |s| s.aim.map(words::aim))
        .text("what_if", |s| words::what_if(&s.what_if))
        .number("buds_per_unit", |s| s.buds_per_unit)
        .text("buds_from", |s| Tongue::english().buds_from(s.buds_from))
        .text("bud_rule", |s| Tongue::english().bud_rule(&s.bud_limits))
        .ages("rule_", Kind::Share, |s| Some(s.rule_target))
        .number("tonnes_per_ha", |s| Some(s.brief?.tonnes_per_ha))
        .number("kg_per_tree", |s| Some(s.brief?.kg_per_tree));
    let columns = wanted(columns, "tree", |s| Some(s.brief?.tree));
    wanted(columns, "stem", |s| Some(s.brief?.stem))
        .number("grown", |s| s.growth.grown)
        .ages("survival_", Kind::Share, |s| Some(s.growth.survival))
        .text("growth_from", |s| {
            Tongue::english().growth_from(s.growth.from)
        })
        .share("bearing_mean_of_ratios", |s| {
            Some(s.bearing?.mean_of_ratios)
        })
        .share("bearing_ratio_of_sums", |s| Some(s.bearing?.ratio_of_sums))
        .whole("bearing_pairs", |s| Some(s.bearing?.pairs))
        .whole("bearing_left_out", |s| Some(s.bearing?.left_out))
        .share("caution_ratio", |s| s.caution.ratio())
        .text("caution", |s| Tongue::english().caution(s.caution))
        .table("brief", sheets)
}

fn wanted<'a>(
    columns: Columns<'a, BriefSheet>,
    on: &str,
    of: impl Fn(&BriefSheet) -> Option<Wanted> + Copy + 'a,
) -> Columns<'a, BriefSheet> {
    columns
        .number(format!("{on}_fruit"), move |s| Some(of(s)?.fruit))
        .number(format!("{on}_fruit_set"), move |s| Some(of(s)?.fruit_set))
        .number(format!("{on}_clusters"), move |s| Some(of(s)?.clusters))
        .number(format!("{on}_fruit_buds"), move |s| Some(of(s)?.fruit_buds))
        .number(format!("{on}_buds"), move |s| Some(of(s)?.buds))
        .number(format!("{on}_units"), move |s| Some(of(s)?.units))
        .ages(&format!("{on}_pieces_"), TWO, move |s| Some(of(s)?.pieces))
        .number(format!("{on}_extra_one_year"), move |s| {
            Some(of(s)?.extra_one_year)
        })
}

fn factors<'s>(
    name: &str,
    blocks: impl Iterator<Item = (&'s str, &'s Vec<FactorLine>)>,
) -> DataTable {
    type Line<'a> = (&'a str, &'a FactorLine);
    let lines: Vec<Line<'_>> = blocks
        .flat_map(|(block, lines)| lines.iter().map(move |line| (block, line)))
        .collect();
    Columns::<Line<'_>>::new()
        .text("block", |(block, _)| (*block).to_owned())
        .text("factor", |(_, of)| words::factor(of.kind))
        .number("value", |(_, of)| of.value)
        .number("lo", |(_, of)| of.lo)
        .number("hi", |(_, of)| of.hi)
        .text("source", |(_, of)| Tongue::english().factor_source(of))
        .whole("own_counted", |(_, of)| own(of).map(|(n, ..)| n))
        .whole("own_seasons", |(_, of)| {
            own(of).map(|(_, seasons, _)| seasons)
        })
        .share("own_weight", |(_, of)| own(of).map(|(.., weight)| weight))
        .table(name, &lines)
}

/// What a factor that own counts have moved rests on: things counted, seasons, and the weight of the own counts.
fn own(line: &FactorLine) -> Option<(u32, u32, f64)> {
    match line.from? {
        Source::Own {
            n,
            seasons,
            own_weight,
        } => Some((n, seasons, own_weight)),
        Source::Published(_) | Source::Memory | Source::CommonPractice | Source::Entered => None,
    }
}

/// A block's wood after one winter's pruning, in one scenario; none: back in balance soonest.
type Ahead<'a> = (&'a OutlookSheet, Option<Scenario>, &'a Year);

/// The tables of outlooks: a line for each block, scenario and winter; what was left, the crop it bears and what to
/// leave to be back in balance soonest; how the wood comes about; the factors.
pub fn outlooks(sheets: &[OutlookSheet]) -> Vec<DataTable> {
    let mut lines: Vec<Ahead<'_>> = Vec::new();
    for sheet in sheets {
        for ahead in &sheet.ahead {
            let years = ahead.years.iter();
            lines.extend(years.map(|year| (sheet, Some(ahead.scenario), year)));
        }
    }
    let mut all = lines.clone();
    for sheet in sheets {
        let soonest = sheet.mend.iter().flat_map(|mend| &mend.years);
        all.extend(soonest.map(|year| (sheet, None, year)));
    }
    let mut tables = vec![
        ahead(&lines),
        crop(sheets),
        account(&all),
        factors(
            "outlook_factors",
            sheets.iter().map(|s| (s.block_name.as_str(), &s.factors)),
        ),
    ];
    tables.extend(
        sheets
            .first()
            .map(|sheet| super::winter::about(&sheet.orchard, &sheet.winter, None, sheet.day)),
    );
    tables
}

fn head<'a>() -> Columns<'a, Ahead<'a>> {
    Columns::new()
        .text("block", |(sheet, ..): &Ahead<'_>| sheet.block_name.clone())
        .text("scenario", |(_, scenario, _)| {
            scenario.map_or("soonest in balance", Scenario::words)
        })
        .whole("winters_ahead", |(.., year)| year.ahead)
}

fn ahead(lines: &[Ahead<'_>]) -> DataTable {
    let columns = head()
        .ages("", TWO, |(.., year)| Some(year.pieces))
        .share("wrong_age_share", |(.., year)| year.wrong_age)
        .number("units", |(.., year)| year.units)
        .number("buds", |(.., year)| year.buds)
        .number("tonnes_per_ha", |(.., year)| year.crop.tonnes_per_ha.mean)
        .number("tonnes_per_ha_lo", |(.., year)| year.crop.tonnes_per_ha.lo)
        .number("tonnes_per_ha_hi", |(.., year)| year.crop.tonnes_per_ha.hi)
        .ages("share_", Kind::Share, |(.., year)| Some(year.mix));
    let mut table = columns.table("outlook", lines);
    for rows in table.runs(&["block", "scenario"]) {
        if lines
            .get(rows.start)
            .is_some_and(|line| line.1 == Some(Scenario::AsPruned))
        {
            let title = (Title::Cell(rows.start, 0), "pieces a tree, as pruned");
            table = table.with_chart(ChartForm::Stacked, title, rows, "winters_ahead", &AGES);
        }
    }
    table
}

/// How the wood comes about, and what all of it bears.
fn account(lines: &[Ahead<'_>]) -> DataTable {
    type Part = (&'static str, fn(&Winter) -> ByAge);
    let parts: [Part; 8] = [
        ("start", |of| of.start),
        ("lost", |of| of.lost),
        ("aged", |of| of.aged),
        ("offered", |of| of.offered),
        ("cut", |of| of.cut),
        ("held", |of| of.held),
        ("short", |of| of.short),
        ("end", |of| of.end),
    ];
    let mut columns = head().number("grown", |(.., year)| Some(year.account?.grown));
    for (name, part) in parts {
        columns = columns.ages(&format!("{name}_"), TWO, move |(.., year): &Ahead<'_>| {
            year.account.as_ref().map(part)
        });
    }
    columns = columns
        .ages("left_", TWO, |(.., year)| Some(year.pieces))
        .ages("share_", Kind::Share, |(.., year)| Some(year.mix))
        .share("wrong_age_share", |(.., year)| year.wrong_age);
    potential(columns, |(.., year)| Some(year.crop)).table("wood_account", lines)
}

fn crop(sheets: &[OutlookSheet]) -> DataTable {
    let columns = Columns::<OutlookSheet>::new()
        .text("block", |s| s.block_name.clone())
        .whole("season", |s| s.season)
        .text("what_if", |s| words::what_if(&s.what_if))
        .whole("trees", |s| Some(s.left.as_ref()?.trees))
        .whole("in_part", |s| Some(s.left.as_ref()?.in_part))
        .ages("left_", TWO, |s| Some(s.left.as_ref()?.pieces))
        .whole("offered_trees", |s| Some(s.left.as_ref()?.offered?.trees))
        .ages("offered_", TWO, |s| Some(s.left.as_ref()?.offered?.pieces))
        .ages("kept_", Kind::Share, |s| Some(s.left.as_ref()?.kept))
        .number("units", |s| Some(s.crop?.units.mean))
        .number("units_se", |s| s.crop?.units.se)
        .whole("units_trees", |s| Some(s.crop?.units.n))
        .number("buds_per_unit", |s| Some(s.crop?.buds_per_unit.mean))
        .number("buds_per_unit_se", |s| s.crop?.buds_per_unit.se)
        .whole("buds_per_unit_trees", |s| Some(s.crop?.buds_per_unit.n));
    potential(columns, |s| Some(s.crop?.potential))
        .number("units_wanted", |s| s.units_wanted)
        .text("units_from_aim", |s| s.units_from_aim)
        .number("grown", |s| s.growth.grown)
        .ages("survival_", Kind::Share, |s| Some(s.growth.survival))
        .text("growth_from", |s| {
            Tongue::english().growth_from(s.growth.from)
        })
        .ages("leave_", TWO, |s| Some(s.mend.as_ref()?.leave))
        .ages("cut_", TWO, |s| Some(s.mend.as_ref()?.cut))
        .ages("not_there_", TWO, |s| Some(s.mend.as_ref()?.not_there))
        .whole("balanced_in", |s| s.mend.as_ref()?.balanced_in)
        .table("crop", sheets)
}

/// The crop that wood can bear, with its range.
pub(super) fn potential<'a, T: 'a>(
    columns: Columns<'a, T>,
    of: impl Fn(&T) -> Option<Potential> + Copy + 'a,
) -> Columns<'a, T> {
    type Named = (&'static str, fn(Potential) -> Range);
    let ranges: [Named; 3] = [
        ("fruit_per_tree", |of| of.fruit_per_tree),
        ("kg_per_tree", |of| of.kg_per_tree),
        ("tonnes_per_ha", |of| of.tonnes_per_ha),
    ];
    let mut columns = columns.number("buds_per_tree", move |t| Some(of(t)?.buds_per_tree));
    for (name, range) in ranges {
        columns = columns
            .number(name, move |t| Some(range(of(t)?).mean))
            .number(format!("{name}_sd"), move |t| Some(range(of(t)?).sd))
            .number(format!("{name}_lo"), move |t| Some(range(of(t)?).lo))
            .number(format!("{name}_hi"), move |t| Some(range(of(t)?).hi));
    }
    columns = columns.number("counts_cv", move |t| of(t)?.counts_cv);
    let kinds = crate::outlook::FactorKind::ALL.map(crate::outlook::FactorKind::field);
    for (at, kind) in kinds.into_iter().enumerate() {
        columns = columns.number(format!("{kind}_cv"), move |t| Some(of(t)?.factor_cv[at]));
    }
    columns
}
