//! What is wrong with one file: as much of it as somebody reads, and a count of the rest.

/// How many complaints about one file are kept.
pub(crate) const MOST: usize = 50;

/// How many are counted before a reader gives up: the rest of the file is not what it should be.
const MOST_COUNTED: usize = 10_000;

/// A complaint that can stand for others behind it.
pub trait Complaint {
    /// The same place, with these words for what is wrong.
    #[must_use]
    fn saying(self, what: String) -> Self;
}

/// Complaints about one file. The first fifty are kept; the others are counted, since a file with a
/// mistake in every line would otherwise fill the memory and the screen.
#[derive(Clone, Debug)]
pub struct Complaints<T> {
    kept: Vec<T>,
    /// The first that was not kept, and how many were not.
    more: Option<(T, usize)>,
}

impl<T: Complaint> Complaints<T> {
    /// None so far.
    pub fn new() -> Self {
        Self { kept: Vec::new(), more: None }
    }

    /// Notes one more.
    pub fn push(&mut self, complaint: T) {
        match &mut self.more {
            Some((_, count)) => *count += 1,
            None if self.kept.len() < MOST => self.kept.push(complaint),
            None => self.more = Some((complaint, 1)),
        }
    }

    /// How many there are, those that were not kept among them.
    pub fn count(&self) -> usize {
        self.kept.len() + self.more.as_ref().map_or(0, |(_, count)| *count)
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.kept.is_empty()
    }

    /// Whether there are so many that reading on is of no use.
    pub fn is_enough(&self) -> bool {
        self.count() >= MOST_COUNTED
    }

    /// Those that were kept in the order of a key, such as their lines, and one that counts the others.
    pub fn sorted_by_key<K: Ord>(mut self, key: impl Fn(&T) -> K) -> Vec<T> {
        self.kept.sort_by_key(key);
        self.into_vec()
    }

    /// Those that were kept, and one that counts the others.
    pub fn into_vec(self) -> Vec<T> {
        let or_more = if self.is_enough() { " or more" } else { "" };
        let mut all = self.kept;
        all.extend(self.more.map(|(first, count)| match count {
            1 => first,
            _ => first.saying(format!(
                "{count} more problems{or_more} begin here; correct those above, then try again"
            )),
        }));
        all
    }

    /// What was read, if nothing is wrong with it.
    ///
    /// # Errors
    /// Everything that was noted.
    pub fn finish<V>(self, read: V) -> Result<V, Vec<T>> {
        if self.is_empty() { Ok(read) } else { Err(self.into_vec()) }
    }
}

impl<T: Complaint> Default for Complaints<T> {
    fn default() -> Self {
        Self::new()
    }
}

impl<T: Complaint> Extend<T> for Complaints<T> {
    fn extend<I: IntoIterator<Item = T>>(&mut self, complaints: I) {
        complaints.into_iter().for_each(|complaint| self.push(complaint));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    impl Complaint for (usize, String) {
        fn saying(self, what: String) -> Self {
            (self.0, what)
        }
    }

    fn of(count: usize) -> Vec<(usize, String)> {
        let mut all = Complaints::new();
        all.extend((1..=count).map(|line| (line, "wrong".to_owned())));
        assert_eq!(all.count(), count);
        all.into_vec()
    }

    #[test]
    fn fifty_are_kept_and_the_others_counted_where_they_begin() {
        assert_eq!(of(50).len(), 50);
        assert_eq!(of(51)[50], (51, "wrong".to_owned()));
        let many = of(1_000);
        assert_eq!(many.len(), 51);
        let rest = "950 more problems begin here; correct those above, then try again";
        assert_eq!(many[50], (51, rest.to_owned()));
        assert!(of(10_000)[50].1.starts_with("9950 more problems or more begin here"));
    }

    #[test]
    fn what_is_read_comes_back_when_nothing_is_wrong() {
        assert_eq!(Complaints::<(usize, String)>::new().finish(1), Ok(1));
    }
}
