//! Computes natively what the checks compare with where they run.

#[expect(unreachable_pub, reason = "the library shares this file")]
mod bits;

fn main() {
    println!("cargo::rerun-if-changed=bits.rs");
    println!("cargo::rerun-if-changed=../demo-data/zinc-oxide-tiles.json");
    println!(
        "cargo::rustc-env=NATIVE_FUNCTION_BITS={:016x}",
        bits::of_functions()
    );
    println!(
        "cargo::rustc-env=NATIVE_CASE_BITS={:016x}",
        bits::of_cases()
    );
    println!(
        "cargo::rustc-env=NATIVE_DRAW_BITS={:016x}",
        bits::of_draws()
    );
    println!(
        "cargo::rustc-env=NATIVE_DEMO_DIGEST={}",
        bits::of_demo_record()
    );
}
