//! Short lists, one for each line of a file.

/// Lists of numbers, laid behind one another.
///
/// Most lists are empty, and millions of empty lists of their own would take more than all that the
/// others hold.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Lists {
    numbers: Vec<u32>,
    /// Where each list ends.
    ends: Vec<u32>,
}

impl Lists {
    /// Adds a list.
    pub(super) fn push(&mut self, list: impl IntoIterator<Item = u32>) {
        self.numbers.extend(list);
        // Each number was a text of a file that is at most a few gigabytes long.
        self.ends.push(u32::try_from(self.numbers.len()).unwrap_or(u32::MAX));
    }

    /// The list of that index; an empty one where there is none.
    pub(super) fn get(&self, index: usize) -> &[u32] {
        let end = |index: usize| self.ends.get(index).map(|end| *end as usize);
        let start = index.checked_sub(1).map_or(Some(0), end);
        let list = start.zip(end(index)).and_then(|(start, end)| self.numbers.get(start..end));
        list.unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_come_back_as_they_were_added() {
        let added: [&[u32]; 4] = [&[], &[3, 1], &[], &[7]];
        let mut lists = Lists::default();
        for list in added {
            lists.push(list.iter().copied());
        }
        for (index, list) in added.into_iter().enumerate() {
            assert_eq!(lists.get(index), list, "{index}");
        }
        assert_eq!(lists.get(added.len()), &[] as &[u32]);
        assert_eq!(Lists::default().get(0), &[] as &[u32]);
    }
}
