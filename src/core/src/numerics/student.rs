//! Student's t, Fisher's F and the normal distribution: coverage factors and tests of a fit.
//!
//! All of them stand on the regularised incomplete beta function (continued fraction, Lentz's method)
//! and on `libm`, so that native and wasm agree to the last bit. Sources: DLMF §8.17 (incomplete beta and its
//! continued fraction), §5.11 (asymptotic series of ln Γ): from memory; values are tested against tables.

use core::f64::consts::{FRAC_1_SQRT_2, FRAC_2_SQRT_PI, TAU};

use crate::scalar::Scalar;

/// From this many degrees of freedom on, Student's t is the normal distribution to the last bit.
const NORMAL_FROM: f64 = 1e17;

/// The t for which −t … t holds this share of Student's distribution: 0.95 and 18 degrees of freedom give
/// 2.1009. `nu` need not be whole; infinity gives the normal distribution.
///
/// 0 for a level of 0, infinity for 1 and where it is beyond the range of numbers (`nu` far below one), not a
/// number for other levels or for `nu` not above zero.
#[must_use]
pub fn t_quantile(level: f64, nu: f64) -> f64 {
    if !(0.0..=1.0).contains(&level) || nu.is_nan() || nu <= 0.0 {
        return f64::NAN;
    }
    if level == 0.0 {
        return 0.0;
    }
    if level == 1.0 {
        return f64::INFINITY;
    }
    if nu >= NORMAL_FROM {
        return -normal_quantile(0.5 * (1.0 - level));
    }
    // Newton's method on the logarithm of the smaller share over ln t. That logarithm is concave for the tails
    // and for the middle (the density of ln t is log-concave), so the steps cannot run away; and from the normal
    // quantile, which is never above the one wanted, a few are enough.
    let inner = level < 0.5;
    let wanted = Scalar::ln(if inner { level } else { 1.0 - level });
    let furthest = 0.5 * (700.0 + Scalar::ln(nu));
    let mut ln_t = Scalar::ln(-normal_quantile(0.5 * (1.0 - level)));
    for _ in 0..100 {
        let t = t_shares(Scalar::exp(ln_t), nu);
        let step = if inner {
            (wanted - Scalar::ln(t.middle)) * t.middle / t.density
        } else {
            (Scalar::ln(t.tails) - wanted) * t.tails / t.density
        };
        ln_t += step;
        if step.abs() < 1e-9 {
            // The next step would be about the square of this one.
            return Scalar::exp(ln_t);
        }
        if ln_t > furthest {
            return f64::INFINITY;
        }
    }
    f64::NAN
}

/// Probability that Student's t with `nu` degrees of freedom is below `t`.
#[must_use]
pub fn t_cdf(t: f64, nu: f64) -> f64 {
    let tails = t_shares(t, nu).tails;
    if t < 0.0 {
        0.5 * tails
    } else {
        1.0 - 0.5 * tails
    }
}

/// Density of Student's t; infinite degrees of freedom give the normal distribution's.
#[must_use]
pub fn t_density(t: f64, nu: f64) -> f64 {
    if nu >= NORMAL_FROM {
        return normal_density(t);
    }
    let fall = -0.5 * (nu + 1.0) * Scalar::ln_1p(t * t / nu);
    Scalar::exp(fall - ln_beta(0.5, 0.5 * nu)) / nu.sqrt()
}

/// Student's distribution outside and inside −t … t.
struct TShares {
    tails: f64,
    middle: f64,
    /// Change of either with ln t.
    density: f64,
}

fn t_shares(t: f64, nu: f64) -> TShares {
    let shares = |tails, middle, density| TShares {
        tails,
        middle,
        density,
    };
    if t.is_nan() || nu.is_nan() || nu <= 0.0 {
        return shares(f64::NAN, f64::NAN, f64::NAN);
    }
    if nu >= NORMAL_FROM {
        let z = t.abs() * FRAC_1_SQRT_2;
        return shares(
            libm::erfc(z),
            libm::erf(z),
            2.0 * t.abs() * normal_density(t),
        );
    }
    // t² over ν, kept from overflowing.
    let ratio = (t / nu.sqrt()).squared();
    if ratio == f64::INFINITY {
        return shares(0.0, 1.0, 0.0);
    }
    let beta = beta_shares(0.5 * nu, 0.5, 1.0 / (1.0 + ratio), ratio / (1.0 + ratio));
    shares(beta.lower, beta.upper, 2.0 * beta.front)
}

/// Probability that Fisher's F is below `f`. The degrees of freedom are finite and need not be whole.
#[must_use]
pub fn f_cdf(f: f64, numerator_dof: f64, denominator_dof: f64) -> f64 {
    f_shares(f, numerator_dof, denominator_dof).lower
}

/// Probability that Fisher's F is above `f`: the p value of an F test, exact also where it is small.
#[must_use]
pub fn f_survival(f: f64, numerator_dof: f64, denominator_dof: f64) -> f64 {
    f_shares(f, numerator_dof, denominator_dof).upper
}

fn f_shares(f: f64, numerator_dof: f64, denominator_dof: f64) -> BetaShares {
    let usable = |dof: f64| dof.is_finite() && dof > 0.0;
    if f.is_nan() || !usable(numerator_dof) || !usable(denominator_dof) {
        return BetaShares::all(f64::NAN, f64::NAN);
    }
    if f <= 0.0 {
        return BetaShares::all(0.0, 1.0);
    }
    let ratio = f * (numerator_dof / denominator_dof);
    if ratio == f64::INFINITY {
        return BetaShares::all(1.0, 0.0);
    }
    let (x, y) = (ratio / (1.0 + ratio), 1.0 / (1.0 + ratio));
    beta_shares(0.5 * numerator_dof, 0.5 * denominator_dof, x, y)
}

/// Probability that a standard normal variable is below `z`.
#[must_use]
pub fn normal_cdf(z: f64) -> f64 {
    0.5 * libm::erfc(-z * FRAC_1_SQRT_2)
}

fn normal_density(z: f64) -> f64 {
    0.5 * FRAC_2_SQRT_PI * FRAC_1_SQRT_2 * Scalar::exp(-0.5 * z * z)
}

/// The z below which a standard normal variable lies with probability `p`: 0.975 gives 1.95996.
///
/// Infinite for 0 and 1, not a number outside.
#[must_use]
pub fn normal_quantile(p: f64) -> f64 {
    if !(0.0..=1.0).contains(&p) {
        return f64::NAN;
    }
    if p > 0.5 {
        return -normal_quantile(1.0 - p);
    }
    if p == 0.0 {
        return f64::NEG_INFINITY;
    }
    // ln of the tail is concave and the tail is below ½ exp(−z²/2): Newton from there falls onto the root
    // without ever passing it.
    let wanted = Scalar::ln(p);
    let mut z = (-2.0 * Scalar::ln(2.0 * p)).max(0.0).sqrt();
    for _ in 0..20 {
        let tail = normal_cdf(-z);
        let density = normal_density(z);
        let step = (Scalar::ln(tail) - wanted) * tail / density;
        z += step;
        if step.abs() <= 1e-16 * z.abs() {
            break;
        }
    }
    -z
}

/// The regularised incomplete beta function.
struct BetaShares {
    /// I_x(a, b).
    lower: f64,
    /// 1 − I_x(a, b).
    upper: f64,
    /// x^a y^b / B(a, b).
    front: f64,
}

impl BetaShares {
    /// At or beyond an end, where nothing changes any more.
    fn all(lower: f64, upper: f64) -> BetaShares {
        let front = 0.0;
        BetaShares {
            lower,
            upper,
            front,
        }
    }
}

/// Both shares at x, where y = 1 − x is passed too so that neither end loses digits. The share on the side of x
/// that is away from the mean is the one computed.
fn beta_shares(a: f64, b: f64, x: f64, y: f64) -> BetaShares {
    if x <= 0.0 {
        return BetaShares::all(0.0, 1.0);
    }
    if y <= 0.0 {
        return BetaShares::all(1.0, 0.0);
    }
    // Each logarithm is taken from the smaller of x and y.
    let (ln_x, ln_y) = if x < y {
        (Scalar::ln(x), Scalar::ln_1p(-x))
    } else {
        (Scalar::ln_1p(-y), Scalar::ln(y))
    };
    let front = Scalar::exp(a * ln_x + b * ln_y - ln_beta(a, b));
    // (a + b) (a/(a + b) − x): how far x lies below the mean.
    let below_mean = a * y - b * x;
    if below_mean >= 0.0 {
        let lower = front * beta_fraction(a, b, x, y, below_mean);
        let upper = 1.0 - lower;
        BetaShares {
            lower,
            upper,
            front,
        }
    } else {
        let upper = front * beta_fraction(b, a, y, x, -below_mean);
        let lower = 1.0 - upper;
        BetaShares {
            lower,
            upper,
            front,
        }
    }
}

/// The continued fraction of the incomplete beta function below the mean, DLMF 8.17.22 with every second
/// convergent only, written in `below_mean` = a y − b x: in x alone it cancels for large a.
fn beta_fraction(a: f64, b: f64, x: f64, y: f64, below_mean: f64) -> f64 {
    // Far more than any fraction needs: the number of terms grows with the square root of the smaller of a and b.
    const MOST_TERMS: u32 = 20_000;
    let mut result = a / (a + 1.0) * (below_mean + 1.0);
    let mut c = result;
    let mut d = 0.0;
    for n in 1..MOST_TERMS {
        let n = f64::from(n);
        let s = a + 2.0 * n - 1.0;
        let numerator = (a + n - 1.0) / s * ((a + b + n - 1.0) / s) * n * (b - n) * x * x;
        let denominator = n
            + n * (b - n) * x / s
            + (a + n) / (a + 2.0 * n + 1.0) * (below_mean + 1.0 + n * (1.0 + y));
        d = 1.0 / (denominator + numerator * d);
        c = denominator + numerator / c;
        let change = c * d;
        result *= change;
        if (change - 1.0).abs() <= f64::EPSILON {
            break;
        }
    }
    1.0 / result
}

/// ln B(a, b). Differences of large ln Γ would cancel, so their leading parts are combined by hand.
fn ln_beta(a: f64, b: f64) -> f64 {
    let (small, large) = if a < b { (a, b) } else { (b, a) };
    let sum = small + large;
    if large < STIRLING_FROM {
        return libm::lgamma(small) + libm::lgamma(large) - libm::lgamma(sum);
    }
    // ln Γ(large) − ln Γ(sum)
    let ratio = -(large - 0.5) * Scalar::ln_1p(small / large) - small * Scalar::ln(sum)
        + small
        + stirling_rest(large)
        - stirling_rest(sum);
    if small < STIRLING_FROM {
        return libm::lgamma(small) + ratio;
    }
    let half_ln_two_pi = 0.5 * Scalar::ln(TAU);
    -(large - 0.5) * Scalar::ln_1p(small / large) + small * Scalar::ln(small / sum)
        - 0.5 * Scalar::ln(small)
        + half_ln_two_pi
        + stirling_rest(large)
        + stirling_rest(small)
        - stirling_rest(sum)
}

/// From here on eight terms of [`stirling_rest`] reach the last bit.
const STIRLING_FROM: f64 = 10.0;

/// ln Γ(x) − [(x − ½) ln x − x + ½ ln 2π], asymptotic series with Bernoulli numbers.
fn stirling_rest(x: f64) -> f64 {
    const TERMS: [f64; 8] = [
        1.0 / 12.0,
        -1.0 / 360.0,
        1.0 / 1260.0,
        -1.0 / 1680.0,
        1.0 / 1188.0,
        -691.0 / 360_360.0,
        1.0 / 156.0,
        -3617.0 / 122_400.0,
    ];
    let inverse_square = 1.0 / (x * x);
    TERMS
        .iter()
        .rev()
        .fold(0.0, |sum, term| sum * inverse_square + term)
        / x
}
