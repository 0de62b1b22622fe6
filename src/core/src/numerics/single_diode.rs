//! The current of a single-diode cell model with series and shunt resistance, and what is read from its curve.
//!
//! I = Iph − I0·(exp(u/a) − 1) − u/Rsh with the voltage across the diode u = V + I·Rs: the current stands on both sides.
//! With D = 1 + Rs/Rsh and c = (V + Rs·(Iph + I0))/D the equation reads z + ln z = ln(Rs·I0/(D·a)) + c/a for
//! z = (c − u)/a, Wright's omega function, which neither overflows nor needs a bracket. One Newton step in the current
//! then takes away what rounding left.
//!
//! All per cell or all per area: only the product of current and resistance has to be a voltage.

use super::root::{RootError, with_slope_at_root};
use crate::scalar::Scalar;

/// The five parameters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SingleDiode<S> {
    /// Photocurrent; zero in the dark.
    pub photo: S,
    /// Saturation current of the diode.
    pub saturation: S,
    /// n·k·T/q, times the cells in series: the voltage over which the diode's current grows e-fold.
    pub slope_voltage: S,
    /// Series resistance; zero where there is none.
    pub series: S,
    /// Shunt resistance; infinite where there is none.
    pub shunt: S,
}

/// A point of the curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point<S> {
    /// Voltage.
    pub voltage: S,
    /// Current, positive where the cell delivers.
    pub current: S,
}

/// The current at a voltage and its partial derivatives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Response {
    /// The current.
    pub current: f64,
    /// With respect to the voltage.
    pub by_voltage: f64,
    /// Twice with respect to the voltage.
    pub curvature: f64,
    /// With respect to the photocurrent.
    pub by_photo: f64,
    /// With respect to the saturation current.
    pub by_saturation: f64,
    /// With respect to the slope voltage.
    pub by_slope_voltage: f64,
    /// With respect to the series resistance.
    pub by_series: f64,
    /// With respect to the conductance of the shunt, 1/Rsh, which is finite also without a shunt.
    pub by_leak: f64,
}

impl SingleDiode<f64> {
    /// The current at a voltage and its derivatives. What the model has no meaning for (a negative series
    /// resistance, any other parameter but the photocurrent not above zero) and what is not a number gives what is not a
    /// number.
    #[must_use]
    pub fn response(&self, voltage: f64) -> Response {
        let SingleDiode {
            photo,
            saturation,
            slope_voltage,
            series,
            shunt,
        } = *self;
        let meant = saturation > 0.0 && slope_voltage > 0.0 && series >= 0.0 && shunt > 0.0;
        let voltage = if meant { voltage } else { f64::NAN };
        let leak = 1.0 / shunt;
        let divider = 1.0 + series * leak;
        let without_diode = (voltage + series * (photo + saturation)) / divider;
        let ln_ratio = libm::log(series * saturation / (divider * slope_voltage));
        let dropped = omega(ln_ratio + without_diode / slope_voltage);
        // The voltage across the diode, and I0·exp(u/a). Where little is left of a large voltage, the exponential comes
        // by the equation that `dropped` solves.
        let (across, diode, forward) = if dropped > 1.0 {
            let across = slope_voltage * (libm::log(dropped) - ln_ratio);
            let forward = dropped * divider * slope_voltage / series;
            (across, forward - saturation, forward)
        } else {
            let across = without_diode - slope_voltage * dropped;
            let diode = saturation * libm::expm1(across / slope_voltage);
            (across, diode, diode + saturation)
        };
        let conductance = forward / slope_voltage + leak;
        let fed_back = 1.0 + series * conductance;
        let slope = conductance / fed_back;
        let current = (photo - diode - across * leak) / fed_back + (across - voltage) * slope;
        Response {
            current,
            by_voltage: -slope,
            curvature: -forward
                / (slope_voltage * slope_voltage)
                / (fed_back * fed_back * fed_back),
            by_photo: 1.0 / fed_back,
            by_saturation: -diode / fed_back / saturation,
            by_slope_voltage: forward * across / (slope_voltage * slope_voltage) / fed_back,
            by_series: -slope * current,
            by_leak: -across / fed_back,
        }
    }
}

impl<S: Scalar> SingleDiode<S> {
    /// The parameters without their derivatives.
    #[must_use]
    pub fn values(&self) -> SingleDiode<f64> {
        SingleDiode {
            photo: self.photo.value(),
            saturation: self.saturation.value(),
            slope_voltage: self.slope_voltage.value(),
            series: self.series.value(),
            shunt: self.shunt.value(),
        }
    }

    /// The current at a voltage.
    #[must_use]
    pub fn current(&self, voltage: S) -> S {
        let at = self.values().response(voltage.value());
        // Zero, with the derivative of what it is taken of.
        let change = |of: S| of - of.value();
        S::constant(at.current)
            + change(voltage) * at.by_voltage
            + change(self.photo) * at.by_photo
            + change(self.saturation) * at.by_saturation
            + change(self.slope_voltage) * at.by_slope_voltage
            + change(self.series) * at.by_series
            + change(self.leak()) * at.by_leak
    }

    /// The current without voltage.
    #[must_use]
    pub fn short_circuit(&self) -> S {
        self.current(S::constant(0.0))
    }

    /// The voltage without current; zero in the dark.
    ///
    /// # Errors
    /// Where a parameter has no meaning.
    pub fn open_circuit(&self) -> Result<S, RootError> {
        let of = self.values();
        let voltage = of.without_current()?;
        // What diode and shunt leave of the photocurrent: without current no voltage is lost on the way.
        let held = S::constant(voltage);
        let diode = self.saturation * (held / self.slope_voltage).exp_m1();
        let left = self.photo - diode - held * self.leak();
        Ok(with_slope_at_root(voltage, left, of.left(voltage).1))
    }

    /// The point of most power between short and open circuit; in the dark that is the origin.
    ///
    /// # Errors
    /// As [`SingleDiode::open_circuit`].
    pub fn maximum_power(&self) -> Result<Point<S>, RootError> {
        let of = self.values();
        let voltage = of.most_power()?;
        let at = of.response(voltage);
        // dP/dV and its slope, with the voltage held constant.
        let held = S::constant(voltage);
        let current = self.current(held);
        let gain = current - held / self.slope_resistance_at(held, current);
        let slope = 2.0 * at.by_voltage + voltage * at.curvature;
        let voltage = with_slope_at_root(voltage, gain, slope);
        Ok(Point {
            voltage,
            current: current + (voltage - voltage.value()) * at.by_voltage,
        })
    }

    /// The most power over the product of open-circuit voltage and short-circuit current; not a number in the dark.
    ///
    /// # Errors
    /// As [`SingleDiode::maximum_power`].
    pub fn fill_factor(&self) -> Result<S, RootError> {
        let most = self.maximum_power()?;
        Ok(most.voltage * most.current / (self.open_circuit()? * self.short_circuit()))
    }

    /// −dV/dI at a voltage: at open circuit it is more than the series resistance, at short circuit nearly the shunt.
    #[must_use]
    pub fn slope_resistance(&self, voltage: S) -> S {
        self.slope_resistance_at(voltage, self.current(voltage))
    }

    fn slope_resistance_at(&self, voltage: S, current: S) -> S {
        let across = voltage + current * self.series;
        let forward = self.saturation * (across / self.slope_voltage).exp();
        self.series + S::constant(1.0) / (forward / self.slope_voltage + self.leak())
    }

    fn leak(&self) -> S {
        S::constant(1.0) / self.shunt
    }
}

impl SingleDiode<f64> {
    /// What diode and shunt leave of the photocurrent at a voltage across them, and its slope.
    fn left(&self, across: f64) -> (f64, f64) {
        let grown = libm::expm1(across / self.slope_voltage);
        let left = self.photo - self.saturation * grown - across / self.shunt;
        let slope = -self.saturation * (grown + 1.0) / self.slope_voltage - 1.0 / self.shunt;
        (left, slope)
    }

    /// The open-circuit voltage: Newton's steps on a curve that bends one way, from a voltage at which the diode alone or the
    /// shunt alone takes all of the photocurrent.
    fn without_current(&self) -> Result<f64, RootError> {
        let shunt = self.photo * self.shunt;
        let mut voltage = self.slope_voltage * libm::log1p(self.photo / self.saturation);
        if self.photo == 0.0 {
            voltage = 0.0;
        } else if shunt.abs() < voltage.abs() || voltage.is_nan() {
            voltage = shunt;
        }
        for _ in 0..MOST_STEPS {
            let (left, slope) = self.left(voltage);
            let step = left / slope;
            voltage -= step;
            if step.abs() <= SMALL_STEP * voltage.abs() {
                return Ok(voltage);
            }
        }
        Err(RootError::NotConverged { x: voltage })
    }

    /// The voltage of most power: Newton's steps on dP/dV, kept between the voltages where it is known to rise and to fall.
    fn most_power(&self) -> Result<f64, RootError> {
        let mut falls = self.without_current()?;
        if self.photo == 0.0 {
            return Ok(0.0);
        }
        let mut rises = 0.0;
        // Without resistances it is known; a current that falls ever faster has its maximum beyond half of the way.
        let ideal = self.slope_voltage * (omega(falls / self.slope_voltage + 1.0) - 1.0);
        let mut voltage = (ideal - self.series * self.photo).max(0.5 * falls);
        for _ in 0..MOST_STEPS {
            let at = self.response(voltage);
            let gain = at.current + voltage * at.by_voltage;
            let step = gain / (2.0 * at.by_voltage + voltage * at.curvature);
            if gain > 0.0 {
                rises = voltage;
            } else {
                falls = voltage;
            }
            if step.abs() <= SMALL_STEP * voltage.abs() {
                return Ok(voltage - step);
            }
            let next = voltage - step;
            voltage = if rises < next && next < falls {
                next
            } else {
                0.5 * (rises + falls)
            };
        }
        Err(RootError::NotConverged { x: voltage })
    }
}

/// Newton's steps double the digits: after one that small the next would change nothing.
const SMALL_STEP: f64 = 1e-9;
/// A handful are taken; halving alone would need some fifty.
const MOST_STEPS: u32 = 100;

/// The z for which z + ln z is this number: Lambert's W of its exponential, which itself may overflow.
///
/// Two steps of fourth order (F. N. Fritsch, R. E. Shafer, W. P. Crowley, Comm. ACM 16 (1973) 123: from memory) from a
/// start within a third of the root.
#[must_use]
pub fn wright_omega<S: Scalar>(of: S) -> S {
    let z = omega(of.value());
    of.chain(z, z / (1.0 + z))
}

fn omega(of: f64) -> f64 {
    // From here on ln z is lost beside z, or z beside ln z.
    if of > 1e18 {
        return of;
    }
    if of < -40.0 {
        return libm::exp(of);
    }
    let mut z = if of < 1.0 {
        let e = libm::exp(of);
        e / (1.0 + e)
    } else {
        let ln = libm::log(of);
        of - ln + ln / of
    };
    for _ in 0..2 {
        let left = of - z - libm::log(z);
        let one = 1.0 + z;
        let third = one * (one + left * (2.0 / 3.0));
        z *= 1.0 + left / one * (third - 0.5 * left) / (third - left);
    }
    z
}
