//! Whole numbers that a remark gives, or that are set outside of the file.

use std::ops::RangeInclusive;

use super::Table;
use crate::clean::quoted;
use crate::fault::Fault;

impl<K: Copy + PartialEq + std::fmt::Debug> Table<'_, K> {
    /// The whole number of a remark, else the one that was set outside of the file. Faults are a remark that has no
    /// such number, and one that says another than was set. `example` is a number as it could be.
    pub fn count(
        &mut self,
        key: &str,
        range: &RangeInclusive<u32>,
        example: u32,
        set: Option<u32>,
    ) -> Option<u32> {
        let Some(remark) = self.remark(key) else {
            return set;
        };
        let (place, value) = (remark.place.clone(), remark.value.clone());
        let found = value.parse().ok().filter(|found| range.contains(found));
        let fault = match (found, set) {
            (None, _) => Fault::at(
                place,
                format!("{} as {key}", quoted(&value)),
                format!("a whole number from {} to {}", range.start(), range.end()),
                format!("write # {key} = {example} with the number that is true"),
            ),
            (Some(found), Some(set)) if found != set => Fault::at(
                place,
                format!("{key} = {found} in the file, and {set} as set for it"),
                "",
                "correct the one that is wrong; the file alone says enough",
            ),
            _ => return found,
        };
        self.fault(fault);
        found
    }
}
