//! Temporary.
use glasswick_core::sheet::Sheet;
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct About { pub(crate) title: String }
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Document { pub(crate) about: About, pub(crate) sheet: Sheet }
