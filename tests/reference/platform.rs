//! The same sheet gives the same bits everywhere.

use glasswick_tests::bits;
use wasm_bindgen_test::wasm_bindgen_test;

#[wasm_bindgen_test(unsupported = test)]
fn elementary_functions_have_the_bits_of_the_native_build() {
    assert_eq!(
        format!("{:016x}", bits::of_functions()),
        env!("NATIVE_FUNCTION_BITS")
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn worked_cases_have_the_bits_of_the_native_build() {
    assert_eq!(
        format!("{:016x}", bits::of_cases()),
        env!("NATIVE_CASE_BITS")
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn draws_have_the_bits_of_the_native_build() {
    assert_eq!(
        format!("{:016x}", bits::of_draws()),
        env!("NATIVE_DRAW_BITS")
    );
}

/// Inputs, results with their uncertainty, checks and working: every digit and word of the record is in its digest.
#[wasm_bindgen_test(unsupported = test)]
fn the_demo_record_has_the_digest_of_the_native_build() {
    let digest = bits::of_demo_record();
    assert!(
        digest.len() == 64 && digest.bytes().all(|b| b.is_ascii_hexdigit()),
        "{digest}"
    );
    assert_eq!(digest, env!("NATIVE_DEMO_DIGEST"));
}
