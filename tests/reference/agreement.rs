//! How near a number is to the one expected.

#[track_caller]
pub(crate) fn close(name: &str, found: f64, expected: f64, relative: f64) {
    let off = (found - expected).abs() / expected.abs();
    assert!(
        off <= relative,
        "{name}: found {found:e}, expected {expected:e}, off by {off:.1e}"
    );
}

#[track_caller]
pub(crate) fn within(name: &str, found: f64, expected: f64, absolute: f64) {
    let off = (found - expected).abs();
    assert!(
        off <= absolute,
        "{name}: found {found}, expected {expected}, off by {off:.1e}"
    );
}
