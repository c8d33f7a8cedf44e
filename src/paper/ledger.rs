//! What a secret has been used for.

use std::collections::BTreeMap;
use std::fmt::Write;

use super::{Secret, SecretProblem};

/// A secret with a note of the papers that were drawn under it, so that no two groups get the same
/// ones without anybody having asked for it: what the file of a secret holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SecretFile {
    /// The secret.
    pub secret: Secret,
    /// For each blueprint, by its id, how many numbers of papers have been used up.
    used: BTreeMap<String, u64>,
}

/// The word before the number of papers used up.
const USED: &str = "used";

impl SecretFile {
    /// A secret under which nothing has been drawn.
    pub fn new(secret: Secret) -> Self {
        Self { secret, used: BTreeMap::new() }
    }

    /// How many numbers of papers a blueprint has used up.
    pub fn used(&self, blueprint: &str) -> u64 {
        self.used.get(blueprint).copied().unwrap_or(0)
    }

    /// Notes that a blueprint has used up so many numbers; a smaller number changes nothing.
    pub fn note(&mut self, blueprint: &str, used: u64) {
        let known = self.used.entry(blueprint.to_owned()).or_insert(0);
        *known = used.max(*known);
    }

    /// Reads the text of a secret file.
    ///
    /// # Errors
    /// When it is anything else.
    pub fn read(text: &str) -> Result<Self, SecretProblem> {
        let mut lines = text.lines();
        let head: Vec<&str> = lines.by_ref().take(2).collect();
        let mut file = Self::new(Secret::read(&head.join("\n"))?);
        for line in lines.map(str::trim).filter(|line| !line.is_empty()) {
            let words: Vec<&str> = line.split_whitespace().collect();
            let [USED, count, blueprint] = words[..] else { return Err(SecretProblem) };
            file.note(blueprint, count.parse().map_err(|_| SecretProblem)?);
        }
        Ok(file)
    }

    /// The text of the secret file.
    pub fn write(&self) -> String {
        let mut text = self.secret.write();
        for (blueprint, used) in &self.used {
            // Writing to a text cannot fail.
            let _ = writeln!(text, "{USED} {used} {blueprint}");
        }
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_noted_is_read_back_and_never_becomes_less() {
        let mut file = SecretFile::new(Secret::new([7; 32]));
        file.note("midterm", 60);
        file.note("midterm", 3);
        file.note("resit", 8);
        let read = SecretFile::read(&file.write()).unwrap();
        assert_eq!((read.used("midterm"), read.used("resit"), read.used("final")), (60, 8, 0));
        assert_eq!(read, file);
    }

    #[test]
    fn a_damaged_note_is_refused() {
        let secret = Secret::new([7; 32]).write();
        for line in ["used x midterm", "used 3", "spent 3 midterm", "used -3 midterm"] {
            assert_eq!(
                SecretFile::read(&format!("{secret}{line}\n")),
                Err(SecretProblem),
                "{line}"
            );
        }
    }
}
