//! Halving: where along a range something begins to hold.

/// Halvings of a metre, to less than a millionth of a millimetre.
const HALVINGS: u32 = 40;

/// The least value of a range from which on something holds up to its end; the end itself where it holds nowhere before.
pub fn least([mut fails, mut holds]: [f64; 2], is_so: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(fails, holds);
        *(if is_so(middle) { &mut holds } else { &mut fails }) = middle;
    }
    holds
}
