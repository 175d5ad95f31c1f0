//! Numbers with a fixed count of decimals, written fast: a history has millions of sentences.

/// Powers of ten by decimals.
const SCALES: [f64; 7] = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6];
/// Scaled numbers below this are whole in a double, with room to spare.
const SCALED_MAX: f64 = 1e12;
/// Nearer than this to halfway between two digits, the digits are left to the library, which
/// knows the number exactly.
const HALFWAY: f64 = 1e-3;

/// The number scaled to its last decimal and rounded, where that is sure.
fn scaled(value: f64, decimals: usize) -> Option<i64> {
    let scaled = value * SCALES.get(decimals)?;
    let is_halfway = (scaled.abs().fract() - 0.5).abs() < HALFWAY;
    if is_halfway || !(-SCALED_MAX..=SCALED_MAX).contains(&scaled) {
        return None;
    }
    #[expect(clippy::cast_possible_truncation, reason = "bounded just above")]
    Some(scaled.round() as i64)
}

/// Appends a number with so many decimals; what rounds to nothing has no sign.
pub fn push(text: &mut String, value: f64, decimals: usize) {
    let Some(scaled) = scaled(value, decimals) else {
        let number = format!("{value:.decimals$}");
        let is_nothing = !number.contains(|it| matches!(it, '1'..='9' | 'a'..='z'));
        text.push_str(if is_nothing { number.trim_start_matches('-') } else { &number });
        return;
    };
    if scaled < 0 {
        text.push('-');
    }
    let digits = scaled.unsigned_abs();
    let scale = 10_u64.pow(u32::try_from(decimals).unwrap_or(0));
    let mut place = scale;
    while place <= digits / 10 {
        place *= 10;
    }
    while place > 0 {
        let digit = u8::try_from(digits / place % 10).unwrap_or(0);
        text.push(char::from(b'0' + digit));
        if place == scale && decimals > 0 {
            text.push('.');
        }
        place /= 10;
    }
}

/// Whether two numbers are written alike.
#[must_use]
pub fn look_alike(one: f64, other: f64, decimals: usize) -> bool {
    if let (Some(one), Some(other)) = (scaled(one, decimals), scaled(other, decimals)) {
        return one == other;
    }
    let (mut left, mut right) = (String::new(), String::new());
    push(&mut left, one, decimals);
    push(&mut right, other, decimals);
    left == right
}
