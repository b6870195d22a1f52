//! Inputs made of others: bits flipped, pieces moved, and words put in that readers stumble over.

use rand::RngExt;
use rand_chacha::ChaCha20Rng;

/// The longest input that is made, bytes.
const LONGEST: usize = 32 << 10;

const WORDS: [&str; 32] = [
    "\u{1b}[2J",
    "\u{202e}",
    "\u{7f}",
    "\0",
    "\r\n",
    "\"",
    ",",
    ";",
    "\t",
    "=1+1",
    "'",
    "\u{feff}",
    "梨",
    "-1",
    "0",
    "65535",
    "65536",
    "4294967296",
    "9223372036854775807",
    "18446744073709551616",
    "1e308",
    "1e-308",
    "NaN",
    "inf",
    "0,5",
    "null",
    "true",
    "{}",
    "[]",
    "9999-12-31",
    "0000-00-00",
    "2027-01-12",
];

/// One input, some mutations away from those given.
pub fn one(random: &mut ChaCha20Rng, inputs: &[Vec<u8>]) -> Vec<u8> {
    let mut input = pick(random, inputs).clone();
    // small changes leave most of what was well made, so that much of it is taken in
    if random.random_bool(0.5) {
        for _ in 0..random.random_range(1..4) {
            small_change(random, &mut input);
        }
    } else {
        for _ in 0..random.random_range(1..6) {
            change(random, &mut input, inputs);
        }
    }
    input.truncate(LONGEST);
    input
}

fn pick<'i>(random: &mut ChaCha20Rng, inputs: &'i [Vec<u8>]) -> &'i Vec<u8> {
    &inputs[random.random_range(0..inputs.len())]
}

/// Another digit or letter for one that stands there, or a line more or less.
fn small_change(random: &mut ChaCha20Rng, input: &mut Vec<u8>) {
    if input.len() < 2 {
        return;
    }
    let at = random.random_range(1..input.len());
    if random.random_bool(0.8) {
        let like = |byte: &u8| byte.is_ascii_alphanumeric();
        let Some(found) = input[at..].iter().position(like) else {
            return;
        };
        let byte = &mut input[at + found];
        *byte = if byte.is_ascii_digit() {
            random.random_range(b'0'..=b'9')
        } else {
            random.random_range(b'a'..=b'z')
        };
        return;
    }
    let end = |from: usize| input[from..].iter().position(|byte| *byte == b'\n');
    let Some(from) = end(at).map(|found| at + found + 1) else {
        return;
    };
    let to = end(from).map_or(input.len(), |found| from + found + 1);
    if random.random_bool(0.5) {
        input.drain(from..to);
    } else {
        let line = input[from..to].to_vec();
        input.splice(from..from, line);
    }
}

fn change(random: &mut ChaCha20Rng, input: &mut Vec<u8>, inputs: &[Vec<u8>]) {
    let at = random.random_range(0..=input.len());
    let piece = piece(random, input);
    match random.random_range(0..8) {
        0 if at < input.len() => input[at] ^= 1 << random.random_range(0..8),
        1 if at < input.len() => input[at] = random.random(),
        2 => drop(input.drain(piece)),
        3 => {
            let copy = input[piece].to_vec();
            input.splice(at..at, copy);
        }
        4 => {
            let word = WORDS[random.random_range(0..WORDS.len())];
            input.splice(piece, word.bytes());
        }
        5 => {
            let other = pick(random, inputs);
            let part = self::piece(random, other);
            input.splice(piece, other[part].iter().copied());
        }
        6 => {
            let word = WORDS[random.random_range(0..WORDS.len())];
            input.splice(at..at, word.bytes());
        }
        _ => {
            let times = random.random_range(1..64);
            let again = input[piece].repeat(times);
            input.splice(at..at, again.into_iter().take(4096));
        }
    }
}

/// A stretch of up to 40 bytes.
fn piece(random: &mut ChaCha20Rng, input: &[u8]) -> std::ops::Range<usize> {
    let from = random.random_range(0..=input.len());
    let to = (from + random.random_range(0..40)).min(input.len());
    from..to
}
