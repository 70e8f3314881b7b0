//! What tests of texts and their faults share.

#![allow(dead_code, reason = "each test takes what it needs")]

pub(crate) mod bends;
pub(crate) mod cases;
pub(crate) mod faults;
