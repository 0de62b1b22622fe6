//! What the build script and the checks share.

pub mod bits;
