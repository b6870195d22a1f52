//! How many minutes of the supervisor it takes to know a crew, over whole winters.

use crate::spread;
use crate::winter::{Course, Plan, Played, Truth, Way, play};

const SEED: u64 = 20_270_104;
/// Working days of a winter.
const DAYS: u16 = 60;
/// Winters of a crew of 8 where no number is given; of 20, a third of them.
pub const WINTERS: u64 = 60;
/// What was aimed at, by an earlier simulation of our own: a crew of 8 at 60 minutes a day, medians of the priced draw for
/// the first leaning, each off surely known, all known and all settled.
const AIMS: [&str; 6] = ["164", "", "594", "", "788", "1370"];

/// Prints the table.
pub fn print(winters: u64) {
    println!(
        "{winters} winters of a crew of 8, {} of 20, {DAYS} days at most, seed {SEED}. One of 8 (two of 20) leaves one-year wood\n\
         0.15, one keeps the buds on 0.55 of the units, the others are on target. Minutes of the supervisor, median / 90 %;\n\
         -: not within the winter.\n",
        of_twenty(winters)
    );
    print!("{:<44}", "crew, minutes a day, way");
    for head in HEADS {
        print!("{head:>15}");
    }
    println!("{:>10}{:>8}{:>12}", "trees a", "m a", "min a day");
    println!("{:>144}{:>8}{:>12}", "day", "tree", "10-90 %");
    for minutes in [60, 90] {
        for way in [Way::WholeStems, Way::Priced] {
            row(&crew(8, minutes, way, false), winters);
        }
        if minutes == 60 {
            aims();
            row(&crew(8, minutes, Way::Priced, true), winters);
        }
    }
    for minutes in [60, 90] {
        for way in [Way::WholeStems, Way::Priced] {
            row(&crew(20, minutes, way, false), of_twenty(winters));
        }
    }
    errors(winters);
}

fn of_twenty(winters: u64) -> u64 {
    winters.div_ceil(3)
}

fn crew(size: usize, minutes: u16, way: Way, moving: bool) -> Plan {
    let mut crew = vec![Truth::OnTarget; size];
    crew[0] = Truth::BudsNotKept;
    let short = if size < 20 { 1 } else { 2 };
    crew[1..=short].fill(Truth::TooLittleYoung);
    Plan {
        way,
        crew,
        minutes,
        days: DAYS,
        moving,
    }
}

const HEADS: [&str; 6] = [
    "first leaning",
    "first light",
    "each off light",
    "half known",
    "all known",
    "all settled",
];

fn row(plan: &Plan, winters: u64) {
    let played = spread(winters, |winter| play(plan, SEED, winter));
    let way = match plan.way {
        Way::WholeStems => "whole stems, row by row",
        Way::Priced => "priced, two runs, by alleys",
    };
    let moving = if plan.moving { ", changing" } else { "" };
    let name = format!("{}, {}, {way}{moving}", plan.crew.len(), plan.minutes);
    print!("{name:<44}");
    let words: Vec<_> = played.iter().map(Played::words).collect();
    for at in 0..HEADS.len() {
        let at = |part| {
            let times = words.iter().map(|times| times[at].unwrap_or(f64::INFINITY));
            shown(percentile(times, part))
        };
        print!("{:>15}", format!("{} / {}", at(0.5), at(0.9)));
    }
    let (trees, metres): (u32, f64) = played
        .iter()
        .fold((0, 0.0), |sum, one| (sum.0 + one.trees, sum.1 + one.metres));
    let days = || played.iter().flat_map(|one| one.days.iter().copied());
    let lengths = [0.1, 0.9].map(|part| shown(percentile(days(), part)));
    println!(
        "{:>10.1}{:>8.0}{:>12}",
        f64::from(trees) / days().count() as f64,
        metres / f64::from(trees),
        lengths.join("-")
    );
    wrong(&played);
}

fn aims() {
    print!("{:<44}", "    aimed at, median");
    for aim in AIMS {
        print!("{aim:>15}");
    }
    println!();
}

impl Played {
    /// The minute of each word, in the order of [`HEADS`].
    fn words(&self) -> [Option<f64>; 6] {
        let never = f64::INFINITY;
        let at = |time: Option<f64>| time.unwrap_or(never);
        let off = || self.crew.iter().filter(|(truth, _)| truth.is_off());
        let out = |(_, course): &(Truth, Course)| at(course.out);
        let spoken = |(_, course): &(Truth, Course)| at(course.out).min(at(course.leaning));
        // of one who is off nothing is known until it is light
        let known = |one: &(Truth, Course)| {
            let well = at(one.1.fine).min(at(one.1.balance));
            if one.0.is_off() {
                out(one)
            } else {
                out(one).min(well)
            }
        };
        let settled = |one: &(Truth, Course)| out(one).min(at(one.1.balance));
        let half = self.crew.len().div_ceil(2) as f64 / self.crew.len() as f64;
        let times = [
            off().map(spoken).fold(never, f64::min),
            off().map(out).fold(never, f64::min),
            off().map(out).fold(0.0, f64::max),
            percentile(self.crew.iter().map(known), half),
            self.crew.iter().map(known).fold(0.0, f64::max),
            self.crew.iter().map(settled).fold(0.0, f64::max),
        ];
        times.map(|time| Some(time).filter(|time| time.is_finite()))
    }
}

/// The value that a share `part` of all reach at most.
fn percentile(values: impl Iterator<Item = f64>, part: f64) -> f64 {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    let place = ((values.len() as f64 * part).ceil() as usize).clamp(1, values.len());
    values[place - 1]
}

fn shown(time: f64) -> String {
    if time.is_finite() {
        format!("{time:.0}")
    } else {
        "-".to_owned()
    }
}

/// How many of those who were played of some truth had some word said of them.
fn ever(played: &[Played], of: impl Fn(Truth) -> bool, word: impl Fn(&Course) -> bool) -> String {
    let all = || {
        let crews = played.iter().flat_map(|one| &one.crew);
        crews.filter(|(truth, _)| of(*truth))
    };
    let said = all().filter(|(_, course)| word(course)).count();
    let number = all().count();
    let share = 100.0 * said as f64 / number as f64;
    format!("{said} of {number} ({share:.1} %)")
}

fn wrong(played: &[Played]) {
    let on_target = |truth| truth == Truth::OnTarget;
    println!(
        "    on target ever light or heavy {}, ever leaning {}; off ever in balance {}, ever nothing badly wrong {}",
        ever(played, on_target, |course| course.out.is_some()),
        ever(played, on_target, |course| course.leaning.is_some()),
        ever(played, Truth::is_off, |course| course.balance.is_some()),
        ever(played, Truth::is_off, |course| course.fine.is_some()),
    );
}

/// How often an innocent is blamed, where most of a crew stand at the edge and trees are aimed at those who seem off.
fn errors(winters: u64) {
    println!(
        "\none of 8 with one-year wood 0.15, the others at the lower edge (0.2333); 60 minutes a day, priced"
    );
    for moving in [false, true] {
        let mut plan = crew(8, 60, Way::Priced, moving);
        plan.crew = vec![Truth::AtEdge; 8];
        plan.crew[0] = Truth::TooLittleYoung;
        let played = spread(winters, |winter| play(&plan, SEED + 1, winter));
        let at_edge = |truth| truth == Truth::AtEdge;
        let each: f64 =
            played.iter().map(|one| f64::from(one.trees)).sum::<f64>() / (winters * 8) as f64;
        println!(
            "    {}: at the edge ever light or heavy {}, ever in balance {}; {each:.0} trees a pruner",
            if moving {
                "changing blocks each week"
            } else {
                "each in one block"
            },
            ever(&played, at_edge, |course| course.out.is_some()),
            ever(&played, at_edge, |course| course.balance.is_some()),
        );
    }
}
