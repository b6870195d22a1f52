//! The form that chooses trees to be counted again, blind.

use crate::orchard::{Faults, Invalid, Stage, optional_name, parse_day};
use crate::report::Period;
use crate::tui::app::Model;
use crate::tui::features::count::tree::counter_field;
use crate::tui::features::forms::{FormSpec, NO_WINTER, Reading, whole_within};
use crate::tui::{Field, Form};

pub fn spec() -> FormSpec {
    FormSpec::new(form, |model, form, _| read(model, form))
}

/// Trees where nothing else is said: as many as anything is said for.
const TREES: &str = "5";

/// Asks how many of which days' counted trees, and who counts.
fn form(model: &Model) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    let counted = season.standing_counts(Stage::After, Period::so_far(model.now.day));
    let last = counted.iter().map(|count| count.head.at.day).max();
    let last = last.ok_or("no tree is counted yet, so there is none to count again")?;
    let fields = vec![
        Field::whole("trees", "Trees").with(TREES).hint(
            "drawn at random out of those counted; of fewer than 5 in all nothing can be said",
        ),
        Field::day("since", "Counted since")
            .with(last.to_string())
            .hint("the first day of the counts to draw from"),
        Field::day("until", "until")
            .with(last.to_string())
            .hint("its last day"),
        counter_field(model),
    ];
    Ok(Form::new(
        "Count trees again, without sight of the first count",
        fields,
    ))
}

/// Reads the form and draws the trees.
fn read(model: &Model, form: &Form) -> Result<Reading, Faults> {
    let season = model
        .season
        .as_ref()
        .ok_or_else(|| Invalid::new("trees", NO_WINTER))?;
    let mut faults = Faults::default();
    let trees = faults.take(whole_within(form, "trees", (1, 200)));
    let since = faults.take(parse_day("since", form.value("since")));
    let until = faults.take(parse_day("until", form.value("until")));
    if until < since {
        let problem = format!("{until} is before {since}");
        faults.add(Invalid::new("until", problem).against(&["since"]));
    }
    let counter = faults.take(optional_name("counter", form.value("counter")));
    faults.or(())?;
    let period = Period {
        since: Some(since),
        until,
    };
    let drawn = season.draw_repeats(period, usize::from(trees));
    if drawn.is_empty() {
        return Err(Invalid::new(
            "since",
            "no tree counted on these days is left to be counted again",
        )
        .into());
    }
    Ok(Reading::Again(drawn, counter))
}
