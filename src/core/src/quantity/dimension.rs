//! The exponents of the SI base quantities.

/// The dimension of a quantity: exponents of the six SI base quantities used here (luminous intensity is not).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Dimension {
    /// Exponent of length (metre).
    pub length: i8,
    /// Exponent of mass (kilogram).
    pub mass: i8,
    /// Exponent of time (second).
    pub time: i8,
    /// Exponent of electric current (ampere).
    pub current: i8,
    /// Exponent of thermodynamic temperature (kelvin).
    pub temperature: i8,
    /// Exponent of amount of substance (mole).
    pub amount: i8,
}

impl Dimension {
    /// The dimension of a plain number.
    pub const ONE: Dimension = Dimension::new(0, 0, 0, 0, 0, 0);

    /// A dimension from its exponents: length, mass, time, current, temperature, amount.
    #[must_use]
    pub const fn new(
        length: i8,
        mass: i8,
        time: i8,
        current: i8,
        temperature: i8,
        amount: i8,
    ) -> Self {
        Dimension {
            length,
            mass,
            time,
            current,
            temperature,
            amount,
        }
    }
}
