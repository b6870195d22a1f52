//! Values that are one word each in forms, sheets and files.

/// Gives an enum all of its values, the word of each, and the reading of it.
macro_rules! words {
    ($type:ident, $field:literal, $($variant:ident = $word:literal),+) => {
        impl $type {
            /// All values, in the order that forms show them.
            pub const ALL: [Self; [$($word),+].len()] = [$(Self::$variant),+];

            /// The word in forms, sheets and files.
            pub fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }

            /// Reads the word.
            pub fn parse(raw: &str) -> Result<Self, Invalid> {
                match raw.trim() {
                    $($word => Ok(Self::$variant),)+
                    other => Err(Invalid::new($field, format!("{other:?} is none of: {}", [$($word),+].join(", ")))),
                }
            }
        }
    };
}
pub(super) use words;
