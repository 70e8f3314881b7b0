//! Whether a map does what was promised, and what is wrong where it does not.
//!
//! A [`Promise`] holds the response, its uncertainty and the chain of curves; [`verify`] compares it with
//! outputs measured again at known forces. Each check has an interval that allows for the noise of
//! readings, the uncertainty of the response, and the error of the force placed. Where more checks fall
//! outside than chance explains, the causes are ranked by how well each explains all of the checks.

mod allowed;
mod cause;
mod explain;
mod promise;
mod verdict;

pub use cause::{Cause, Explained};
pub use promise::{Check, Promise};
pub use verdict::{CheckRow, Verdict, verify};
