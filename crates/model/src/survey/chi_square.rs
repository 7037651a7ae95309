//! The chi-square distribution's upper tail: how often honest readings fit a straight line as badly as these did.

use std::f64::consts::PI;

/// Terms after which a sum is given up. Both expansions need about `sqrt(degrees)` terms, far fewer than this.
const MOST_TERMS: usize = 100_000;

/// The chance that a chi-square variable with `degrees_of_freedom` exceeds `chi2`.
///
/// `chi2` has no unit. It is 1 at zero and below, and falls towards 0. It is held to 1e-10 of its value, far
/// tail included, up to 40 degrees of freedom; a survey has a few. With no degrees of freedom the variable is always zero, so nothing above
/// zero is ever exceeded. NaN gives NaN.
///
/// Source of the formulas: Abramowitz and Stegun, *Handbook of Mathematical Functions*, 26.4.19 (chi-square as
/// an incomplete gamma function), 6.5.29 (series) and 6.5.31 (continued fraction).
/// Status of the numbers: from memory.
pub fn survival(chi2: f64, degrees_of_freedom: usize) -> f64 {
    if chi2 <= 0.0 {
        return 1.0;
    }
    if degrees_of_freedom == 0 || chi2 == f64::INFINITY {
        return 0.0;
    }
    let a = degrees_of_freedom as f64 / 2.0;
    let x = chi2 / 2.0;
    let front = (a * x.ln() - x - ln_gamma_of_half(degrees_of_freedom)).exp();
    // Each expansion converges fast on its own side, and the subtraction below only happens where the
    // tail is large, so it costs no digits.
    if x < a + 1.0 { 1.0 - front * lower_series(a, x) } else { front * upper_fraction(a, x) }
}

/// `ln(gamma(n / 2))`, by the recurrence up from gamma(1/2) = sqrt(pi) or gamma(1) = 1. `n` is at least 1.
fn ln_gamma_of_half(n: usize) -> f64 {
    let odd = n % 2 == 1;
    let (start, first) = if odd { (PI.ln() / 2.0, 0.5) } else { (0.0, 1.0) };
    let steps = if odd { (n - 1) / 2 } else { n / 2 - 1 };
    start + (0..steps).map(|k| (first + k as f64).ln()).sum::<f64>()
}

/// The sum of `x^k / (a (a+1) .. (a+k))`: the lower incomplete gamma function without its front factor.
fn lower_series(a: f64, x: f64) -> f64 {
    let mut term = 1.0 / a;
    let mut sum = term;
    for k in 1..MOST_TERMS {
        term *= x / (a + k as f64);
        sum += term;
        if term < sum * f64::EPSILON {
            break;
        }
    }
    sum
}

/// The continued fraction of the upper incomplete gamma function without its front factor, in its even form,
/// worked from the top down (Lentz's method). Its denominators stay positive for `x >= a + 1`.
fn upper_fraction(a: f64, x: f64) -> f64 {
    let mut b = x + 1.0 - a;
    let mut d = 1.0 / b;
    let mut value = d;
    // The first partial denominator of the other recurrence is infinite; its inverse is zero.
    let mut c_inverse = 0.0;
    for k in 1..MOST_TERMS {
        let k = k as f64;
        let numerator = -k * (k - a);
        b += 2.0;
        d = 1.0 / (b + numerator * d);
        let c = b + numerator * c_inverse;
        c_inverse = 1.0 / c;
        let step = c * d;
        value *= step;
        if (step - 1.0).abs() < f64::EPSILON {
            break;
        }
    }
    value
}

#[cfg(test)]
mod tests {
    use super::survival;

    /// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, upper critical values of the
    /// chi-square distribution, printed to three decimals. Status: from memory.
    #[test]
    fn critical_values_of_the_handbook() {
        for (degrees, five_percent, one_percent) in [
            (1, 3.841, 6.635),
            (2, 5.991, 9.210),
            (3, 7.815, 11.345),
            (4, 9.488, 13.277),
            (5, 11.070, 15.086),
            (10, 18.307, 23.209),
            (30, 43.773, 50.892),
            (100, 124.342, 135.807),
        ] {
            for (critical, chance) in [(five_percent, 0.05), (one_percent, 0.01)] {
                // The printed value stands for half a thousandth either way.
                assert!(survival(critical - 0.0006, degrees) > chance, "{degrees} degrees, {critical}");
                assert!(survival(critical + 0.0006, degrees) < chance, "{degrees} degrees, {critical}");
            }
        }
    }

    /// Two degrees of freedom have the closed form exp(-x/2). Source: any handbook of statistics.
    #[test]
    fn two_degrees_are_an_exponential() {
        for chi2 in [1e-9, 0.1, 1.0, 3.9, 4.0, 4.1, 20.0, 700.0] {
            let exact = f64::exp(-chi2 / 2.0);
            assert!((survival(chi2, 2) / exact - 1.0).abs() < 1e-13, "{chi2}");
        }
    }

    #[test]
    fn ends_of_the_scale() {
        assert_eq!(survival(0.0, 3), 1.0);
        assert_eq!(survival(-1.0, 3), 1.0);
        assert_eq!(survival(f64::INFINITY, 3), 0.0);
        assert_eq!(survival(1.0, 0), 0.0);
        assert!(survival(f64::NAN, 3).is_nan());
    }
}
