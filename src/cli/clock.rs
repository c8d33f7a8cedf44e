//! The clock.

use std::time::{SystemTime, UNIX_EPOCH};

/// The moment, in seconds since 1970-01-01 UTC.
pub(super) fn now() -> i64 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH);
    since.map_or(0, |since| i64::try_from(since.as_secs()).unwrap_or(i64::MAX))
}
