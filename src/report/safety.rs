//! The cautions that every sheet for the crew carries, said in one place.

/// Two short cautions, from common practice (no source). Local codes and licensed practice come first, and say more.
pub const SAFETY: [&str; 2] = [
    "Stand ladders and platforms firm and do not overreach; keep your free hand clear of sharp and powered secateurs.",
    "Where canker or fire blight is about, keep fresh wounds out of wet weather and disinfect tools between trees. \
     Local codes and licensed practice come first.",
];
