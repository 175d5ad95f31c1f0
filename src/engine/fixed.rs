//! Numbers with a fixed count of decimals, written fast: a history has millions of sentences.

/// Powers of ten by decimals.
const SCALES: [f64; 7] = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6];
/// Scaled numbers below this are whole in a double, with room to spare.
const SCALED_MAX: f64 = 1e12;
/// The number scaled to its last decimal and rounded as the library does: to the nearest, and to
/// the even one only where it lies exactly halfway.
fn scaled(value: f64, decimals: usize) -> Option<i64> {
    let scale = *SCALES.get(decimals)?;
    let product = value * scale;
    if !(-SCALED_MAX..=SCALED_MAX).contains(&product) {
        return None;
    }
    let floor = product.floor();
    #[expect(clippy::cast_possible_truncation, reason = "bounded just above")]
    let whole = floor as i64;
    let above = product - floor;
    // Where the product was rounded onto the halfway mark, its own error says which side it is of.
    let beyond =
        if above < 0.5 || 0.5 < above { above - 0.5 } else { value.mul_add(scale, -product) };
    let rounds_up = if beyond < 0.0 { false } else { 0.0 < beyond || whole % 2 != 0 };
    Some(whole + i64::from(rounds_up))
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

/// Whether so many decimals write the number as it is, but for the last bits of a sum.
#[must_use]
pub fn is_exact(value: f64, decimals: usize) -> bool {
    SCALES.get(decimals).is_some_and(|scale| {
        let scaled = value * scale;
        (scaled - scaled.round()).abs() < 1e-6
    })
}
