//! Small texts that a person set: the look, which run sheet was open.

use super::error::StorageError;
use super::local;

const SETTING: &str = "glasswick/setting/";

/// A setting; none where it was never set or nothing is kept.
pub(crate) fn get(name: &str) -> Option<String> {
    local::get(&[SETTING, name].concat())
}

/// Keeps a setting.
pub(crate) fn set(name: &str, value: &str) -> Result<(), StorageError> {
    local::put(&[SETTING, name].concat(), value)
}
