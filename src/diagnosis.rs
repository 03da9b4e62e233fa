//! Findings to ranked causes.
