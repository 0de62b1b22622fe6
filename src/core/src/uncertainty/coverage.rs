//! From a standard uncertainty to an expanded one.

use crate::numerics::student;

/// Coverage probability of k = 2 with a normal distribution, to the digits of JCGM 100:2008, table G.2.
const PROBABILITY: f64 = 0.9545;

/// The coverage factor for about 95 %: 2, or t of 95.45 % for a finite number of effective degrees of freedom, which is
/// truncated to the next lower whole number (JCGM 100:2008, G.4.1 note 1, G.6.4 and table G.2). Below one degree of
/// freedom, that of one.
#[must_use]
pub fn coverage_factor(degrees_of_freedom: f64) -> f64 {
    // From here on, t differs from 2 by a thousandth at most.
    const MANY: f64 = 2500.0;
    if degrees_of_freedom.is_nan() || degrees_of_freedom >= MANY {
        return 2.0;
    }
    student::t_quantile(PROBABILITY, degrees_of_freedom.floor().max(1.0))
}
