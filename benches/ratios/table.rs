//! The one table that all parts write into.

use std::fmt::{self, Display, Formatter};
use std::time::Duration;

use crate::common::{forget_peak, held};

struct Row {
    what: String,
    ours: Duration,
    beside: String,
    reference: Duration,
    aim: Option<f64>,
}

struct Memory {
    part: &'static str,
    before: usize,
    most: usize,
}

/// Times beside their references, and the memory of each part.
#[derive(Default)]
pub struct Table {
    rows: Vec<Row>,
    memory: Vec<Memory>,
}

impl Table {
    /// `ours` beside a reference, without an aim.
    pub fn row(&mut self, what: &str, ours: Duration, beside: &str, reference: Duration) {
        self.add(what, ours, beside, reference, None);
    }

    /// `ours` beside a reference: the ratio is to be at most `aim`.
    pub fn aimed(
        &mut self,
        what: &str,
        ours: Duration,
        aim: f64,
        (beside, took): (&str, Duration),
    ) {
        self.add(what, ours, beside, took, Some(aim));
    }

    fn add(
        &mut self,
        what: &str,
        ours: Duration,
        beside: &str,
        reference: Duration,
        aim: Option<f64>,
    ) {
        self.rows.push(Row {
            what: what.to_owned(),
            ours,
            beside: beside.to_owned(),
            reference,
            aim,
        });
    }

    /// Runs a part, and notes the most memory that this process held meanwhile.
    pub fn watch(&mut self, part: &'static str, run: fn(&mut Self)) {
        forget_peak();
        let before = held("VmRSS");
        run(self);
        let most = held("VmHWM");
        self.memory.push(Memory { part, before, most });
    }
}

impl Display for Table {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "{:<54}{:>10}  {:<44}{:>10}{:>8}{:>6}",
            "", "ms", "beside", "ms", "ratio", "aim"
        )?;
        for row in &self.rows {
            let (ours, reference) = (row.ours.as_secs_f64(), row.reference.as_secs_f64());
            let ratio = ours / reference;
            write!(
                f,
                "{:<54}{:>10.3}  {:<44}{:>10.3}{ratio:>8.2}",
                row.what,
                ours * 1e3,
                row.beside,
                reference * 1e3,
            )?;
            match row.aim {
                Some(aim) if ratio <= aim => writeln!(f, "{aim:>6}  reached")?,
                Some(aim) => writeln!(f, "{aim:>6}  NOT REACHED")?,
                None => writeln!(f)?,
            }
        }
        for Memory { part, before, most } in &self.memory {
            writeln!(
                f,
                "memory of {part}: {before} MiB before, {most} MiB at most"
            )?;
        }
        Ok(())
    }
}
