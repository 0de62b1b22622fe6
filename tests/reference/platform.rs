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
