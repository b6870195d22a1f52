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

/// Puts an enum of [`words!`] into reports as its word.
macro_rules! as_its_word {
    ($type:ident, $description:literal) => {
        impl schemars::JsonSchema for $type {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($type).into()
            }

            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                schemars::json_schema!({
                    "description": $description,
                    "type": "string",
                    "enum": Self::ALL.map(Self::word),
                })
            }
        }

        impl serde::Serialize for $type {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(self.word())
            }
        }
    };
}
pub(super) use as_its_word;
