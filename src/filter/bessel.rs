//! Bessel filters: the squared magnitude of the reverse Bessel polynomials, scaled to half power at the corner.
//!
//! The reverse Bessel polynomial of order n is
//!
//! ```text
//! theta_n(s) = sum over k of (2n - k)! / (2^(n-k) k! (n-k)!) s^k
//! ```
//!
//! (Thomson, "Delay networks having maximally flat frequency characteristics", 1949), so theta_2 = s^2 + 3s + 3,
//! theta_3 = s^3 + 6s^2 + 15s + 15, theta_4 = s^4 + 10s^3 + 45s^2 + 105s + 105. On the imaginary axis, with v = w^2,
//! |theta_n(jw)|^2 is a polynomial in v whose coefficients are all positive, so attenuation only grows with w.

/// |theta_n(jw)|^2 as coefficients of v = w^2, highest power first, without the constant; and the constant.
struct Polynomial {
    coefficients: &'static [f64],
    constant: f64,
    /// The v at which power is halved: |theta_n|^2 = 2 theta_n(0)^2.
    half_power: f64,
}

/// Half-power points: 3 (sqrt 5 - 1) / 2 in closed form for order 2; for orders 3 and 4 the squares of 1.7556723687 and
/// 2.1139176749 rad/s of the published tables, carried to full precision (the tests hold them to the polynomials).
const ORDERS: [Polynomial; 3] = [
    Polynomial { coefficients: &[1.0, 3.0], constant: 9.0, half_power: 1.854_101_966_249_684_4 },
    Polynomial { coefficients: &[1.0, 6.0, 45.0], constant: 225.0, half_power: 3.082_385_466_150_692_6 },
    Polynomial { coefficients: &[1.0, 10.0, 135.0, 1575.0], constant: 11025.0, half_power: 4.468_647_936_272_446 },
];

/// 1/|H|^2 - 1 and its derivative, at u = (corner / tone)^2, for order 2, 3 or 4.
pub(super) fn excess(order: u32, u: f64) -> (f64, f64) {
    let polynomial = &ORDERS[order.clamp(2, 4) as usize - 2];
    let v = u * polynomial.half_power;
    // Horner's scheme for the polynomial p(v), whose constant is zero, and p'(v).
    let (mut value, mut slope) = (0.0, 0.0);
    for coefficient in polynomial.coefficients.iter().chain(&[0.0]) {
        slope = slope * v + value;
        value = value * v + coefficient;
    }
    (value / polynomial.constant, slope * polynomial.half_power / polynomial.constant)
}

/// Newton steps at most; the start is close enough that a dozen do.
const NEWTON_STEPS: usize = 60;

/// The u above zero at which a Bessel filter of order 2, 3 or 4 has this excess, which must be positive.
///
/// The excess is convex and rises from zero, so it lies above its tangent at zero and above its highest power: the
/// smaller of the two solutions is a start on the right, from where Newton's method never overshoots.
pub(super) fn solve(order: u32, target: f64) -> f64 {
    let polynomial = &ORDERS[order.clamp(2, 4) as usize - 2];
    let (_, slope_at_zero) = excess(order, 0.0);
    let by_highest_power = (target * polynomial.constant).powf(f64::from(order).recip()) / polynomial.half_power;
    let mut u = by_highest_power.min(target / slope_at_zero);
    for _ in 0..NEWTON_STEPS {
        let (value, slope) = excess(order, u);
        let next = u - (value - target) / slope;
        if !next.is_finite() || next >= u {
            break;
        }
        u = next;
    }
    u
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn power_is_halved_at_the_corner() {
        for order in 2..=4 {
            let (excess, _) = excess(order, 1.0);
            assert!((excess - 1.0).abs() < 4e-16, "order {order}: {excess}");
        }
    }

    /// Half-power frequencies in rad/s of the unit-delay filter: order 2 from a published discussion of the
    /// polynomials (1.36165412871613), orders 3 and 4 from the Bessel tables of the handbooks (written from memory).
    #[test]
    fn half_power_frequencies_are_the_published_ones() {
        let published = [1.361_654_128_7, 1.755_672_368_7, 2.113_917_674_9];
        for (polynomial, published) in ORDERS.iter().zip(published) {
            assert!((polynomial.half_power.sqrt() - published).abs() < 5e-11);
        }
    }

    #[test]
    fn solving_finds_the_way_back_at_every_size() {
        for order in 2..=4 {
            for exponent in -14..=30 {
                let target = 10f64.powi(exponent);
                let (back, _) = excess(order, solve(order, target));
                assert!((back / target - 1.0).abs() < 1e-12, "order {order}, excess {target}: {back}");
            }
        }
    }

    #[test]
    fn the_derivative_is_the_slope_of_the_value() {
        for order in 2..=4 {
            for u in [0.01, 0.3, 1.0, 4.0, 50.0] {
                let h = u * 1e-6;
                let numeric = (excess(order, u + h).0 - excess(order, u - h).0) / (2.0 * h);
                let (_, slope) = excess(order, u);
                assert!((slope / numeric - 1.0).abs() < 1e-8, "order {order} at {u}: {slope} against {numeric}");
            }
        }
    }
}
