//! Files and folders: read with a bound, written either completely or not at all.
//!
//! In reading order: [reading] a file, the [paths] where something is written, a [`Target`] file, a
//! [`Lock`] on a folder, and the [`Draft`] of a folder.

mod reading;
mod pipe;
mod paths;
mod target;
mod lock;
mod folder;

pub(super) use folder::{Draft, cannot, find};
pub(super) use lock::Lock;
pub(super) use paths::real_path;
pub(super) use reading::{
    Limit, plainly, read_bytes, read_from, read_lines, read_source, read_text,
};
pub(super) use target::{Readers, Target, keep_privately};
