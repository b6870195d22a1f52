//! From the size of a fruit to its weight, as published (`tests/published.rs`). No form asks for a size yet.

use crate::orchard::{Invalid, within};

/// Mean weight of a fruit, g, from the count size: fruit per box of `box_kg` kilograms net.
///
/// `per_box` 5 to 1,000, `box_kg` 1 to 1,000. Arithmetic: 1,000 × kg / fruit. A pear box of about 44 lb holds 20 kg.
pub fn count_size_weight_g(per_box: f64, box_kg: f64) -> Result<f64, Invalid> {
    within("fruit_per_box", per_box, &(5.0..=1_000.0))?;
    within("box_kg", box_kg, &(1.0..=1_000.0))?;
    Ok(1_000.0 * box_kg / per_box)
}

/// Weight of a 'Williams' pear, g, from its largest diameter, cm (3 to 12): W = 0.8236 D^2.778.
///
/// Source: `HortScience` 30(4):887B, 1995 (R² 0.98). The paper's units are inferred. Other varieties differ in shape.
pub fn williams_weight_g(diameter_cm: f64) -> Result<f64, Invalid> {
    within("diameter_cm", diameter_cm, &(3.0..=12.0))?;
    Ok(0.8236 * diameter_cm.powf(2.778))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn odd_sizes_are_refused() {
        assert_eq!(
            count_size_weight_g(0.0, 20.0).unwrap_err().field,
            "fruit_per_box"
        );
        assert_eq!(count_size_weight_g(80.0, 0.0).unwrap_err().field, "box_kg");
        assert_eq!(williams_weight_g(60.0).unwrap_err().field, "diameter_cm");
    }
}
