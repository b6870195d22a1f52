//! The charts of a table, two beside each other, on a sheet of their own. They are drawn by the spreadsheet from the
//! table's cells.

use rust_xlsxwriter::{
    Chart, ChartFormat, ChartLine, ChartMarker, ChartMarkerType, ChartPatternFill,
    ChartPatternFillType, ChartRange, ChartSeries, ChartSolidFill, ChartType, ColNum, RowNum,
    Worksheet, XlsxError,
};

use super::MAX_NAME;
use crate::report::document::tables::{ChartForm, DataTable, TableChart, Title};

/// Width of a chart, pixels.
const WIDTH: u32 = 620;
/// Height of a chart, pixels.
const HEIGHT: u32 = 340;
/// Height of a bar with the room around it, pixels.
const BAR: u32 = 26;
/// Size of a cell of the sheet, pixels.
const CELL: (u32, u32) = (64, 20);

/// Colours of the series: one-, two-, three-year wood, older, buds. Palette: Masataka Okabe and Kei Ito, "Color
/// Universal Design", 2008; the values are from memory.
const COLOURS: [u32; 5] = [0x0056_B4E9, 0x0000_9E73, 0x00E6_9F00, 0x00D5_5E00, 0];
/// What tells the series apart without colour.
const HATCHES: [Option<ChartPatternFillType>; 5] = [
    None,
    Some(ChartPatternFillType::DiagonalStripesWideUpwards),
    Some(ChartPatternFillType::Dotted20Percent),
    Some(ChartPatternFillType::SmallGrid),
    None,
];
const MARKERS: [ChartMarkerType; 5] = [
    ChartMarkerType::Circle,
    ChartMarkerType::Triangle,
    ChartMarkerType::Square,
    ChartMarkerType::X,
    ChartMarkerType::Diamond,
];

/// Puts all charts of a table on a sheet.
pub(super) fn write(
    sheet: &mut Worksheet,
    table_name: &str,
    table: &DataTable,
) -> Result<(), XlsxError> {
    sheet.set_name(chart_sheet(table_name))?;
    let mut top = 0;
    for pair in table.charts.chunks(2) {
        let mut lowest = 0;
        for (chart, left) in pair.iter().zip([0, WIDTH / CELL.0 + 1]) {
            let height = height(chart);
            let mut drawn = drawn(table_name, table, chart);
            drawn.set_width(WIDTH).set_height(height);
            sheet.insert_chart(top, ColNum::try_from(left).unwrap_or(0), &drawn)?;
            lowest = lowest.max(height);
        }
        top += lowest / CELL.1 + 2;
    }
    sheet.set_landscape().set_print_fit_to_pages(1, 0);
    Ok(())
}

/// The name of the sheet with the charts of a table.
fn chart_sheet(table_name: &str) -> String {
    const END: &str = " charts";
    let room = MAX_NAME - END.len();
    let head: String = table_name.chars().take(room).collect();
    head + END
}

fn height(chart: &TableChart) -> u32 {
    match chart.form {
        ChartForm::MixBars => {
            let rows = u32::try_from(chart.rows.len()).unwrap_or(u32::MAX);
            rows.saturating_mul(BAR)
                .saturating_add(120)
                .clamp(HEIGHT, 4_000)
        }
        _ => HEIGHT,
    }
}

/// The cells of a column over the chart's rows; row 0 of the sheet has the headings.
fn cells(sheet: &str, chart: &TableChart, column: usize) -> ChartRange {
    let row = |at: usize| RowNum::try_from(at).unwrap_or(RowNum::MAX);
    let column = ColNum::try_from(column).unwrap_or(ColNum::MAX);
    ChartRange::new_from_range(
        sheet,
        row(chart.rows.start + 1),
        column,
        row(chart.rows.end),
        column,
    )
}

fn drawn(sheet: &str, table: &DataTable, of: &TableChart) -> Chart {
    let mut chart = match of.form {
        ChartForm::MixBars => Chart::new(ChartType::BarPercentStacked),
        ChartForm::ShareLines => Chart::new(ChartType::Line),
        ChartForm::DoneByDay => Chart::new(ChartType::Column),
        ChartForm::Stacked => Chart::new(ChartType::ColumnStacked),
    };
    let mut second = Chart::new(ChartType::Line);
    for (at, column) in of.series.iter().enumerate() {
        let mut series = series(sheet, of, *column);
        look(&mut series, of.form, at);
        if of.form == ChartForm::DoneByDay && at > 0 {
            series.set_secondary_axis(true);
            second.push_series(&series);
        } else {
            chart.push_series(&series);
        }
    }
    if of.form == ChartForm::DoneByDay {
        chart.combine(&second);
        chart.y2_axis().set_name("in all");
    }
    title(&mut chart, sheet, of);
    axes(&mut chart, of);
    chart.set_alt_text(alt_text(table, of));
    chart
}

fn series(sheet: &str, of: &TableChart, column: usize) -> ChartSeries {
    let mut series = ChartSeries::new();
    series
        .set_name((sheet, 0, ColNum::try_from(column).unwrap_or(ColNum::MAX)))
        .set_categories(&cells(sheet, of, of.label))
        .set_values(&cells(sheet, of, column));
    series
}

/// Colour, and what stands for it in black and white.
fn look(series: &mut ChartSeries, form: ChartForm, at: usize) {
    let colour = COLOURS[at % COLOURS.len()];
    let is_line = form == ChartForm::ShareLines || (form == ChartForm::DoneByDay && at > 0);
    let mut format = ChartFormat::new();
    if is_line {
        format.set_line(ChartLine::new().set_color(colour).set_width(1.75));
        let mut marker = ChartMarker::new();
        marker.set_type(MARKERS[at % MARKERS.len()]).set_size(6);
        series.set_marker(&marker);
    } else {
        format.set_border(ChartLine::new().set_color(0x0033_3333).set_width(0.75));
        match HATCHES[at % HATCHES.len()] {
            Some(hatch) => format.set_pattern_fill(
                ChartPatternFill::new()
                    .set_pattern(hatch)
                    .set_foreground_color(0x0033_3333)
                    .set_background_color(colour),
            ),
            None => format.set_solid_fill(ChartSolidFill::new().set_color(colour)),
        };
        series.set_gap(60);
    }
    series.set_format(&mut format);
}

/// A name that a user gave is taken from its cell: as words of its own it could be read as a formula.
fn title(chart: &mut Chart, sheet: &str, of: &TableChart) {
    match of.title {
        Title::Words(words) => chart.title().set_name(words),
        Title::Cell(row, column) => {
            let row = RowNum::try_from(row + 1).unwrap_or(RowNum::MAX);
            let column = ColNum::try_from(column).unwrap_or(ColNum::MAX);
            chart.title().set_name((sheet, row, column))
        }
    };
}

fn axes(chart: &mut Chart, of: &TableChart) {
    chart.y_axis().set_name(of.measure);
    match of.form {
        // the first row at the top, as in the table
        ChartForm::MixBars => {
            chart.x_axis().set_reverse();
        }
        ChartForm::ShareLines => {
            chart.x_axis().set_date_axis(true).set_num_format("mm-dd");
            chart.y_axis().set_min(0).set_max(1).set_num_format("0%");
        }
        ChartForm::DoneByDay => {
            chart.x_axis().set_date_axis(true).set_num_format("mm-dd");
        }
        ChartForm::Stacked => {
            chart.x_axis().set_name("winters ahead");
        }
    }
}

/// For who cannot see it: what is drawn, over which rows. No name of a person.
fn alt_text(table: &DataTable, of: &TableChart) -> String {
    let drawn: Vec<&str> = (of.series.iter())
        .filter_map(|at| Some(table.columns.get(*at)?.title.as_str()))
        .collect();
    format!(
        "{}: columns {} of rows {} to {} of the table beside it",
        of.measure,
        drawn.join(", "),
        of.rows.start + 2,
        of.rows.end + 1
    )
}
