//! Square matrices of age and stage models: projection, growth rate and stable structure.
//!
//! No figure is made by them: they are the published form of the model, which [`super::winter()`] is held against.

use serde::Serialize;

/// An N × N projection matrix, row by row: entry (i, j) is what one of class j becomes, or brings, in class i.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Matrix<const N: usize>(pub [[f64; N]; N]);

/// The dominant eigenvalue and its right eigenvector.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dominant<const N: usize> {
    /// Factor by which the whole grows in one step once its structure is stable.
    pub lambda: f64,
    /// Stable structure; adds to 1.
    pub structure: [f64; N],
}

/// Change in a step below which the iteration has settled.
const SETTLED: f64 = 1e-14;
const MOST_STEPS: usize = 100_000;
/// Steps from which the growth rate is guessed for the shift.
const GUESS_STEPS: i32 = 16;

impl<const N: usize> Matrix<N> {
    /// One step: M v.
    #[must_use]
    pub fn step(&self, v: &[f64; N]) -> [f64; N] {
        self.0
            .map(|row| row.iter().zip(v).map(|(m, x)| m * x).sum())
    }

    /// The state at each of `steps` steps, beginning with `start` itself.
    pub fn project(&self, start: &[f64; N], steps: usize) -> Vec<[f64; N]> {
        let mut states = vec![*start];
        for _ in 0..steps {
            let next = self.step(&states[states.len() - 1]);
            states.push(next);
        }
        states
    }

    /// Dominant eigenvalue and stable structure of a matrix without negative entries, by power iteration on M + c I:
    /// the shift leaves the vector as it is, and lets classes that come round in turns settle too (c is half of the
    /// growth that some first steps show). None where nothing is left in the long run, or it does not settle.
    pub fn dominant(&self) -> Option<Dominant<N>> {
        let shift = 0.5 * self.first_growth()?;
        let mut v = [1.0 / N as f64; N];
        for _ in 0..MOST_STEPS {
            let mut next = self.step(&v);
            for (x, old) in next.iter_mut().zip(&v) {
                *x += shift * old;
            }
            let total: f64 = next.iter().sum();
            let next = next.map(|x| x / total);
            let change: f64 = next.iter().zip(&v).map(|(a, b)| (a - b).abs()).sum();
            v = next;
            if change < SETTLED {
                return Some(Dominant {
                    lambda: total - shift,
                    structure: v,
                });
            }
        }
        None
    }

    /// Mean growth a step over the first steps; none where nothing is left.
    fn first_growth(&self) -> Option<f64> {
        let mut v = [1.0 / N as f64; N];
        let mut log = 0.0;
        for _ in 0..GUESS_STEPS {
            let next = self.step(&v);
            let total: f64 = next.iter().sum();
            if !total.is_finite() || total <= 0.0 {
                return None;
            }
            log += total.ln();
            v = next.map(|x| x / total);
        }
        Some((log / f64::from(GUESS_STEPS)).exp())
    }
}

impl<const N: usize> Serialize for Matrix<N> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.0.iter().map(<[f64; N]>::as_slice))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn classes_that_come_round_in_turns_settle() {
        // everything is of one class each year: without the shift the iteration would never settle
        let found = Matrix([[0.0, 0.0, 8.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
            .dominant()
            .unwrap();
        assert!((found.lambda - 2.0).abs() < 1e-10, "{found:?}");
        for (share, wanted) in found
            .structure
            .iter()
            .zip([4.0 / 7.0, 2.0 / 7.0, 1.0 / 7.0])
        {
            assert!((share - wanted).abs() < 1e-10, "{found:?}");
        }
    }

    #[test]
    fn where_nothing_grows_nothing_is_left() {
        assert_eq!(Matrix([[0.0, 0.0], [0.9, 0.0]]).dominant(), None);
    }

    #[test]
    fn a_projection_begins_with_its_start() {
        let states = Matrix([[0.0, 2.0], [0.5, 0.0]]).project(&[4.0, 1.0], 2);
        assert_eq!(states, [[4.0, 1.0], [2.0, 2.0], [4.0, 1.0]]);
    }
}
