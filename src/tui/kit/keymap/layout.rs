//! Keyboards: which 24 letters lie in the three rows under the hand.

/// The keys of the bud field on one keyboard layout: three rows of eight, by where they lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct BudKeys {
    /// The word in the settings.
    word: &'static str,
    /// Rows for thin, medium and thick units; in each, 0 to 6 and 7 or more buds.
    rows: [[char; 8]; 3],
    /// What the digit row types without shift, from the keys 1 to 9 and 0, where that is not digits.
    unshifted: Option<[char; 10]>,
}

impl BudKeys {
    /// The usual English layout.
    pub const QWERTY: Self = Self {
        word: "qwerty",
        rows: [
            ['q', 'w', 'e', 'r', 't', 'y', 'u', 'i'],
            ['a', 's', 'd', 'f', 'g', 'h', 'j', 'k'],
            ['z', 'x', 'c', 'v', 'b', 'n', 'm', ','],
        ],
        unshifted: None,
    };
    /// The usual French layout. Its digits want shift, so the same keys count without it.
    pub const AZERTY: Self = Self {
        word: "azerty",
        rows: [
            ['a', 'z', 'e', 'r', 't', 'y', 'u', 'i'],
            ['q', 's', 'd', 'f', 'g', 'h', 'j', 'k'],
            ['w', 'x', 'c', 'v', 'b', 'n', ',', ';'],
        ],
        unshifted: Some(['&', 'é', '"', '\'', '(', '-', 'è', '_', 'ç', 'à']),
    };
    /// The usual German layout.
    pub const QWERTZ: Self = Self {
        word: "qwertz",
        rows: [
            ['q', 'w', 'e', 'r', 't', 'z', 'u', 'i'],
            ['a', 's', 'd', 'f', 'g', 'h', 'j', 'k'],
            ['y', 'x', 'c', 'v', 'b', 'n', 'm', ','],
        ],
        unshifted: None,
    };
    /// The simplified layout of Dvorak.
    pub const DVORAK: Self = Self {
        word: "dvorak",
        rows: [
            ['\'', ',', '.', 'p', 'y', 'f', 'g', 'c'],
            ['a', 'o', 'e', 'u', 'i', 'd', 'h', 't'],
            [';', 'q', 'j', 'k', 'x', 'b', 'm', 'w'],
        ],
        unshifted: None,
    };
    /// The Colemak layout.
    pub const COLEMAK: Self = Self {
        word: "colemak",
        rows: [
            ['q', 'w', 'f', 'p', 'g', 'j', 'l', 'u'],
            ['a', 'r', 's', 't', 'd', 'h', 'n', 'e'],
            ['z', 'x', 'c', 'v', 'b', 'k', 'm', ','],
        ],
        unshifted: None,
    };
    /// All layouts, the most common first.
    pub const ALL: [Self; 5] = [
        Self::QWERTY,
        Self::AZERTY,
        Self::QWERTZ,
        Self::DVORAK,
        Self::COLEMAK,
    ];

    /// The word in the settings, such as `qwerty`.
    pub fn word(&self) -> &'static str {
        self.word
    }

    /// The layout of a setting's word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|keys| keys.word == word)
    }

    /// The key of a size (0 thin to 2 thick) and a number of buds (0 to 7); the last key of the row
    /// for more.
    pub fn key(&self, size: usize, buds: usize) -> char {
        self.rows[size.min(2)][buds.min(7)]
    }

    /// Size (0 to 2) and buds (0 to 7) of a typed letter, in either case.
    pub fn cell(&self, typed: char) -> Option<(usize, usize)> {
        let typed = lower(typed);
        let place = |row: &[char; 8]| row.iter().position(|c| *c == typed);
        (0..)
            .zip(&self.rows)
            .find_map(|(size, row)| Some((size, place(row)?)))
    }

    /// The digit that lies on the key of a typed character, where the digit row types others.
    pub fn digit(&self, typed: char) -> Option<char> {
        let place = self.unshifted?.iter().position(|c| *c == lower(typed))?;
        char::from_digit(((place + 1) % 10) as u32, 10)
    }
}

impl Default for BudKeys {
    fn default() -> Self {
        Self::QWERTY
    }
}

/// The lower case of a letter, where that is one character.
fn lower(c: char) -> char {
    let mut lower = c.to_lowercase();
    match (lower.next(), lower.next()) {
        (Some(one), None) => one,
        _ => c,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn every_layout_has_24_keys_apart_from_digits() {
        for keys in BudKeys::ALL {
            let all: HashSet<char> = keys.rows.iter().flatten().copied().collect();
            assert_eq!(all.len(), 24, "{}", keys.word);
            assert!(!all.iter().any(|c| c.is_numeric() || c.is_uppercase()));
            for c in keys.unshifted.into_iter().flatten() {
                assert!(!all.contains(&c), "{}: {c} is a digit key too", keys.word);
            }
            assert_eq!(BudKeys::from_word(keys.word), Some(keys));
        }
    }

    #[test]
    fn letters_of_either_case_are_their_place() {
        assert_eq!(BudKeys::QWERTY.cell('q'), Some((0, 0)));
        assert_eq!(BudKeys::QWERTY.cell('K'), Some((1, 7)));
        assert_eq!(BudKeys::QWERTY.cell(','), Some((2, 7)));
        assert_eq!(BudKeys::QWERTY.cell('o'), None);
        assert_eq!(BudKeys::AZERTY.cell('W'), Some((2, 0)));
        assert_eq!(BudKeys::QWERTY.key(2, 4), 'b');
    }

    #[test]
    fn french_digits_need_no_shift() {
        assert_eq!(BudKeys::AZERTY.digit('&'), Some('1'));
        assert_eq!(BudKeys::AZERTY.digit('É'), Some('2'));
        assert_eq!(BudKeys::AZERTY.digit('à'), Some('0'));
        assert_eq!(BudKeys::QWERTY.digit('&'), None);
    }
}
