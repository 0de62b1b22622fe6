//! Tests against outside values.
