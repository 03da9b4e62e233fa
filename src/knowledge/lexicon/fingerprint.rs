//! What number stands for a text? The FNV-1a hash (Fowler, Noll and Vo 1991): 64 bits, the same on
//! every machine, so that different texts hardly ever share one. Not meant against ill will.

/// The number of an empty text.
pub(crate) const START: u64 = 0xcbf2_9ce4_8422_2325;

const PRIME: u64 = 0x0100_0000_01b3;

/// The number of a text that goes on with these letters.
pub(crate) fn hashed(before: u64, letters: &str) -> u64 {
    letters
        .bytes()
        .fold(before, |hash, byte| joined(hash, u64::from(byte)))
}

/// The number of a text that goes on with a part that has this number.
pub(crate) fn joined(before: u64, part: u64) -> u64 {
    (before ^ part).wrapping_mul(PRIME)
}
