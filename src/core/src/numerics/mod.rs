//! Fits, roots, measured curves and the distributions behind coverage factors.
//!
//! Reading order: [`sample`] (mean and spread), [`line`] (straight line), [`polynomial`] (least-squares
//! polynomial), [`profile`] (steps of measured profiles), [`root`] (equations without a closed form), [`curve`]
//! (functions of measured points), [`student`] (Student's t, Fisher's F and the normal distribution), [`comparison`]
//! (means of samples beside each other).
//! (functions of measured points), [`single_diode`] (current of a cell model), [`student`] (Student's t, Fisher's F and
//! the normal distribution).
//! (functions of measured points), [`integral`] (of products of curves), [`student`] (Student's t, Fisher's F and the normal distribution).
//! polynomial), [`least_squares`] (any other model), [`profile`] (steps of measured profiles), [`root`] (equations
//! without a closed form), [`curve`] (functions of measured points), [`single_diode`] (current of a cell model),
//! [`diode_fit`] (that model through measured points), [`student`] (Student's t, Fisher's F and the normal distribution).
//!
//! What formulas call is generic over [`crate::scalar::Scalar`], so a fitted or solved quantity carries its
//! derivative with respect to every linked input. Sums run in the order given: same input, same bits.

pub mod comparison;
pub mod curve;
pub mod diode_fit;
pub mod integral;
pub mod least_squares;
pub mod line;
pub mod polynomial;
pub mod profile;
pub mod root;
pub mod sample;
pub mod single_diode;
pub mod student;
