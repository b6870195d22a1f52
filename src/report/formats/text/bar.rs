//! A mix of ages as a bar of digits.

/// A bar such as `[1111|2222|3333|4]`: `cells` digits shared out over the ages by their shares, so that they add up.
pub(super) fn digits(mix: [f64; 4], cells: usize) -> String {
    let sum: f64 = mix.iter().map(|share| share.max(0.0)).sum();
    if !sum.is_finite() || sum <= 0.0 {
        return "[]".to_owned();
    }
    let exact = mix.map(|share| share.max(0.0) / sum * cells as f64);
    let mut whole = exact.map(|share| share.floor() as usize);
    let mut order = [0, 1, 2, 3];
    order.sort_by(|a, b| exact[*b].fract().total_cmp(&exact[*a].fract()));
    let left = cells.saturating_sub(whole.iter().sum());
    for age in order.into_iter().take(left) {
        whole[age] += 1;
    }
    let parts: Vec<String> = (["1", "2", "3", "4"].iter().zip(whole))
        .filter(|(_, cells)| *cells > 0)
        .map(|(digit, cells)| digit.repeat(cells))
        .collect();
    format!("[{}]", parts.join("|"))
}

#[cfg(test)]
mod tests {
    use super::digits;

    #[test]
    fn cells_follow_the_shares() {
        assert_eq!(digits([0.25, 0.25, 0.40, 0.10], 10), "[111|22|3333|4]");
        let third = 1.0 / 3.0;
        assert_eq!(digits([third, third, third, 0.0], 9), "[111|222|333]");
        assert_eq!(digits([0.0; 4], 9), "[]");
        assert_eq!(digits([f64::NAN; 4], 9), "[]");
    }
}
