//! Integrals of products of measured curves, such as a spectrum times a response.
//!
//! Each curve is a straight line between its points and zero outside them. The integral is the sum of trapezoids
//! between all points of all curves: coarse points of one never hide the lines of another.

use super::curve::Curve;
use crate::scalar::Scalar;

/// All x of some curves, in ascending order.
#[must_use]
pub fn grid(curves: &[&Curve]) -> Vec<f64> {
    let mut grid: Vec<f64> = curves
        .iter()
        .flat_map(|curve| curve.x().iter().copied())
        .collect();
    // A stable sort merges what is in order already.
    grid.sort_by(f64::total_cmp);
    grid.dedup();
    grid
}

/// The running integral of a product of curves, from the first x at which all of them are known.
#[derive(Clone, Debug, PartialEq)]
pub struct Running {
    x: Vec<f64>,
    product: Vec<f64>,
    sums: Vec<f64>,
}

impl Running {
    /// Of the product of these curves and a weight, on those points of a [`grid`] where all curves are known; none where
    /// there are fewer than two.
    pub fn of(curves: &[&Curve], grid: &[f64], weight: impl Fn(f64) -> f64) -> Option<Running> {
        let ends = |curve: &&Curve| Some((*curve.x().first()?, *curve.x().last()?));
        let mut common = (f64::NEG_INFINITY, f64::INFINITY);
        for curve in curves {
            let (first, last) = ends(curve)?;
            common = (common.0.max(first), common.1.min(last));
        }
        let within = |x: &&f64| common.0 <= **x && **x <= common.1;
        let x: Vec<f64> = grid.iter().filter(within).copied().collect();
        let mut product: Vec<f64> = x.iter().copied().map(weight).collect();
        for curve in curves {
            for (product, y) in product.iter_mut().zip(curve.sample(&x).ok()?) {
                *product *= y;
            }
        }
        let mut sum = 0.0;
        let trapezoids = (1..x.len()).map(|i| {
            sum += (x[i] - x[i - 1]) * (product[i - 1] + product[i]) / 2.0;
            sum
        });
        let sums: Vec<f64> = core::iter::once(0.0).chain(trapezoids).collect();
        (x.len() > 1).then_some(Running { x, product, sums })
    }

    /// Where the product is known, in ascending order.
    #[must_use]
    pub fn x(&self) -> &[f64] {
        &self.x
    }

    /// The product at each x.
    #[must_use]
    pub fn product(&self) -> &[f64] {
        &self.product
    }

    /// The integral up to each x.
    #[must_use]
    pub fn sums(&self) -> &[f64] {
        &self.sums
    }

    /// The whole integral.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.sums.last().copied().unwrap_or(0.0)
    }

    /// The integral up to `end`, with the product on a straight line between its points.
    pub fn up_to<S: Scalar>(&self, end: S) -> S {
        let at = end.value();
        let right = self.x.partition_point(|x| *x <= at);
        let Some(left) = right.checked_sub(1) else {
            return S::constant(0.0);
        };
        let (sum, product) = (self.sums[left], self.product[left]);
        let Some((x, next)) = self.x.get(right).zip(self.product.get(right)) else {
            return S::constant(sum);
        };
        let past = at - self.x[left];
        let here = product + (next - product) * past / (x - self.x[left]);
        end.chain(sum + past * (product + here) / 2.0, here)
    }

    /// The integral between two ends.
    pub fn between<S: Scalar>(&self, from: S, to: S) -> S {
        self.up_to(to) - self.up_to(from)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scalar::Dual;

    fn curve(points: &[(f64, f64)]) -> Curve {
        let (x, y): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
        Curve::new(&x, &y).unwrap()
    }

    fn running(curves: &[&Curve]) -> Running {
        Running::of(curves, &grid(curves), |_| 1.0).unwrap()
    }

    #[test]
    fn products_end_where_the_shortest_curve_ends() {
        let long = curve(&[(0.0, 2.0), (10.0, 2.0)]);
        let short = curve(&[(3.0, 1.0), (5.0, 3.0)]);
        let both = running(&[&long, &short]);
        assert_eq!(both.x(), [3.0, 5.0]);
        assert_eq!(both.total(), 8.0);
        assert_eq!(running(&[&short, &long]).total(), 8.0);
        assert_eq!(both.between(0.0, 20.0), 8.0);
        let apart = curve(&[(11.0, 1.0), (12.0, 1.0)]);
        let curves = [&long, &apart];
        assert_eq!(Running::of(&curves, &grid(&curves), |_| 1.0), None);
    }

    #[test]
    fn lines_of_one_curve_are_not_lost_between_points_of_another() {
        let spectrum = curve(&[(0.0, 0.0), (4.0, 0.0), (5.0, 10.0), (6.0, 0.0), (10.0, 0.0)]);
        let response = curve(&[(0.0, 0.5), (10.0, 0.5)]);
        assert_eq!(running(&[&spectrum, &response]).total(), 5.0);
    }

    #[test]
    fn the_derivative_is_the_product() {
        let one = running(&[&curve(&[(0.0, 0.0), (2.0, 4.0), (3.0, 0.0)])]);
        // Inside: 2·x integrated to 1.5; at a point and beyond both ends.
        for (end, value, slope) in [
            (1.5, 2.25, 3.0),
            (2.0, 4.0, 4.0),
            (-1.0, 0.0, 0.0),
            (9.0, 6.0, 0.0),
        ] {
            let found = one.up_to(Dual::seed(end));
            assert_eq!((found.value, found.slope), (value, slope), "{end}");
        }
    }
}
