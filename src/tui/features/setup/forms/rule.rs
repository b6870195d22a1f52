//! The form of a rule: of a winter, or of one block in it.

use crate::orchard::{Age, BlockId, BudLimit, Faults, Invalid, Rule, RuleDraft, Size};
use crate::report::words;
use crate::store::Thing;
use crate::tui::app::Model;
use crate::tui::features::forms::numbers::{decimal, number};
use crate::tui::features::forms::{FormSpec, NO_WINTER, Reading, winter};
use crate::tui::{Field, Form};

pub fn spec(block: Option<BlockId>) -> FormSpec {
    FormSpec::new(
        move |model| form(model, block),
        move |model, form, _| read(model, form, block),
    )
    .summary(|_, reading| match reading.thing() {
        Some(Thing::Rule(_, _, rule)) => summary(rule),
        _ => String::new(),
    })
    .says("the rule is saved; all verdicts of the winter are worked out by it")
}

/// The ages that may be the oldest.
const OLDEST: [Age; 3] = [Age::Two, Age::Three, Age::FourPlus];
/// The fields of the bud limits, by size.
const BUDS: [(&str, &str); 3] = [
    ("thin", "Buds, thin unit"),
    ("medium", "Buds, medium unit"),
    ("thick", "Buds, thick unit"),
];

/// The form, filled with the rule that holds now.
fn form(model: &Model, block: Option<BlockId>) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    let rule = block.map_or(&season.rules.general, |block| season.rules.of(block));
    let whom = block.map_or("all blocks", |block| season.block_name(block));
    if block.is_some_and(|id| model.house.blocks.iter().all(|known| known.id != id)) {
        return Err("this block is gone".to_owned());
    }
    let title = format!("Rule for {whom}, winter {}", season.winter.label);
    Ok(Form::new(title, fields(rule)).with_summary())
}

fn fields(rule: &Rule) -> Vec<Field> {
    let oldest = OLDEST.iter().position(|age| *age == rule.oldest);
    let mut fields = vec![
        Field::choice_of(
            "oldest",
            "Oldest wood to stay",
            OLDEST.map(|age| age.word().to_owned()).to_vec(),
        )
        .chosen(oldest.unwrap_or(1))
        .hint("older wood should go; a little slips through"),
        Field::text("parts", "Parts of the wood")
            .written_with("0123456789 ")
            .with(parts_text(rule))
            .hint("of one-, two-, three-year and four-plus wood: 1 1 1 0 is a third of each of the first three"),
        Field::text("tolerance", "May be off by, %")
            .written_with("0123456789 ")
            .with(tolerance_text(rule))
            .hint("percent points that each share may be off, in the same order; of older wood, the most that may slip through"),
    ];
    for ((key, label), limit) in BUDS.into_iter().zip(rule.buds) {
        let field = Field::text(key, label)
            .written_with("0123456789-")
            .with(limit.text());
        fields.push(field.hint(
            "to leave on a unit, that is a piece of two-year wood: 4, or 3-4 where both are right",
        ));
    }
    let [medium, thick] = rule.diameters_mm;
    fields.push(
        Field::text("diameters_mm", "Medium and thick from, mm")
            .written_with("0123456789 ")
            .with(format!("{medium} {thick}"))
            .hint("the diameters of the two-year wood from which a unit is medium, and thick"),
    );
    fields.push(
        Field::number("compliance", "Units to be right, %")
            .with(percent(rule.compliance))
            .hint("of 100 units (pieces of two-year wood), how many must have the right number of buds"),
    );
    fields
}

/// The parts as the form has them: `1 1 1 0`.
pub fn parts_text(rule: &Rule) -> String {
    rule.parts.map(|part| part.to_string()).join(" ")
}

/// The tolerances as the form has them, percent points: `10 10 10 5`.
pub fn tolerance_text(rule: &Rule) -> String {
    rule.tolerance.map(percent).join(" ")
}

/// A share in percent, without needless decimals.
pub fn percent(share: f64) -> String {
    ((share * 1e6).round() / 1e4).to_string()
}

/// Reads the form.
fn read(model: &Model, form: &Form, block: Option<BlockId>) -> Result<Reading, Faults> {
    let winter = winter(model)?;
    let mut faults = Faults::default();
    let known = RuleDraft::default();
    let mut buds = known.buds;
    for ((key, _), limit) in BUDS.into_iter().zip(&mut buds) {
        *limit = faults.take(BudLimit::parse(key, form.value(key)));
    }
    let oldest = OLDEST.get(form.choice("oldest")).copied();
    let oldest = oldest.unwrap_or(known.oldest);
    let draft = RuleDraft {
        oldest,
        parts: faults.take(parts(form)),
        tolerance: faults.take(tolerance(form)),
        buds,
        diameters_mm: faults.take(numbers(form, "diameters_mm", "8 12")),
        compliance: faults.take(decimal(form, "compliance").map(|percent| percent / 100.0)),
    };
    let rule = faults.made(Rule::new(draft).map_err(|faults| faults.told(in_percent)))?;
    Ok(Reading::save(Thing::Rule(winter, block, rule)))
}

fn parts(form: &Form) -> Result<[u16; 4], Invalid> {
    let wrong = || Invalid::new("parts", "four whole numbers go here, such as 1 1 1 0");
    let read: Vec<u16> = list(form.value("parts"))
        .map(|word| word.parse().map_err(|_| wrong()))
        .collect::<Result<_, _>>()?;
    read.try_into().map_err(|_| wrong())
}

fn tolerance(form: &Form) -> Result<[f64; 4], Invalid> {
    Ok(numbers(form, "tolerance", "10 10 10 5")?.map(|percent: f64| percent / 100.0))
}

/// So many numbers with blanks between.
fn numbers<const N: usize>(
    form: &Form,
    key: &'static str,
    such_as: &str,
) -> Result<[f64; N], Invalid> {
    let wrong = || Invalid::new(key, format!("{N} numbers go here, such as {such_as}"));
    let read: Vec<f64> = list(form.value(key))
        .map(|word| number(key, word).map_err(|_| wrong()))
        .collect::<Result<_, _>>()?;
    read.try_into().map_err(|_| wrong())
}

/// The entries of a list. A comma within a word is a decimal one; at its end it only parts it from the next.
fn list(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| c.is_whitespace() || matches!(c, '/' | ';' | ':'))
        .map(|word| word.trim_matches(','))
        .filter(|word| !word.is_empty())
}

/// The form asks for percent where the rule has shares: its refusals are told in percent too.
fn in_percent(refused: Invalid) -> Invalid {
    match refused.field {
        "tolerance" => Invalid::new("tolerance", "each must be 1 to 50 percent points"),
        "compliance" => Invalid::new("compliance", "must be 10 to 99 percent"),
        _ => refused,
    }
}

/// The rule in words, two lines of a narrow screen at most.
pub fn summary(rule: &Rule) -> String {
    let target = rule.target();
    let wood = Age::ALL.map(|age| {
        let [share, around] = [target, rule.tolerance].map(|of| 100.0 * of[age.index()]);
        if age > rule.oldest {
            format!("{} to {:.0} %", age.word(), around)
        } else {
            let (least, most) = ((share - around).max(0.0), (share + around).min(100.0));
            format!("{} {least:.0}-{most:.0} %", age.word())
        }
    });
    let [thin, medium, thick] = Size::ALL.map(|size| rule.bud_limit(size).text());
    let [medium_from, thick_from] = rule.diameters_mm;
    format!(
        "{}. Buds: thin {thin}, medium (from {medium_from} mm) {medium}, thick (from {thick_from} mm) {thick}.",
        words::sentence(&wood.join(", "))
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::app::FormKind;
    use crate::tui::trial::{fill, orchard, refusal, saved};

    fn rule(model: &Model, form: &Form, job: FormKind) -> Rule {
        match saved(model, form, job) {
            Thing::Rule(_, _, rule) => rule,
            other => panic!("not a rule: {other:?}"),
        }
    }

    #[test]
    fn the_rule_reads_back_unchanged() {
        let model = orchard();
        let block = model.house.blocks[0].id;
        for block in [None, Some(block)] {
            let form = form(&model, block).unwrap();
            assert_eq!(rule(&model, &form, FormKind::Rule(block)), Rule::default());
        }
        assert!(super::form(&crate::tui::trial::model(), None).is_err());
    }

    #[test]
    fn a_rule_is_read_as_typed() {
        let model = orchard();
        let mut form = form(&model, None).unwrap();
        fill(
            &mut form,
            &[
                ("oldest", "two-year"),
                ("parts", "2/3/0/0"),
                ("tolerance", "7,5 10, 5; 4"),
                ("thick", "3-4"),
                ("diameters_mm", "7,5 11"),
                ("compliance", "75"),
            ],
        );
        let rule = rule(&model, &form, FormKind::Rule(None));
        assert_eq!(rule.parts, [2, 3, 0, 0]);
        assert_eq!(tolerance_text(&rule), "7.5 10 5 4");
        assert_eq!(rule.buds[2], BudLimit { least: 3, most: 4 });
        assert_eq!(rule.diameters_mm.map(|mm| mm.to_string()), ["7.5", "11"]);
        assert_eq!(percent(rule.compliance), "75");
        assert_eq!(
            summary(&rule),
            "One-year 32-48 %, two-year 50-70 %, three-year to 5 %, four-plus to 4 %. \
             Buds: thin 2, medium (from 7.5 mm) 3, thick (from 11 mm) 3-4."
        );
    }

    #[test]
    fn each_wrong_field_is_named() {
        let model = orchard();
        for (key, wrong) in [
            ("oldest", "two-year"),
            ("parts", ""),
            ("parts", "1 1 1"),
            ("parts", "1 1 1 0 0"),
            ("parts", "1 1 1 1"),
            ("parts", "1.5 1 1 0"),
            ("tolerance", "10 10 10 0"),
            ("tolerance", "10 10 10 60"),
            ("tolerance", "a b c d"),
            ("thin", ""),
            ("medium", "4-3"),
            ("thick", "9"),
            ("diameters_mm", "12 8"),
            ("diameters_mm", "8"),
            ("compliance", ""),
            ("compliance", "100"),
        ] {
            let mut form = form(&model, None).unwrap();
            fill(&mut form, &[(key, wrong)]);
            let refused = refusal(&model, &form, FormKind::Rule(None));
            // an older age is asked for than may stay: told where the parts are
            let field = if key == "oldest" { "parts" } else { key };
            assert_eq!(refused.field, field, "{wrong}: {refused}");
        }
        let unset = refusal(
            &crate::tui::trial::model(),
            &Form::new("", vec![]),
            FormKind::Rule(None),
        );
        assert_eq!(unset.field, "winter");
    }
}
