//! Tests live in `tests/`.
