//! Storage in a real browser.
