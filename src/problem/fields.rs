//! Fields for a hash that must stay the same for years.

use crate::draw::Seed;

use super::Block;

/// Fields, each with its name before it, so that none can be taken for another.
///
/// They are written out one by one: what the program calls things inside makes no difference.
#[derive(Debug, Default)]
pub struct Fields(Vec<String>);

impl Fields {
    /// Adds a field.
    pub fn put(&mut self, name: &str, value: &dyn ToString) {
        self.0.push(name.to_owned());
        self.0.push(value.to_string());
    }

    /// Adds several fields of one name.
    pub fn all(&mut self, name: &str, values: impl IntoIterator<Item = impl ToString>) {
        for value in values {
            self.put(name, &value);
        }
    }

    /// Adds a block of a stem.
    pub fn block(&mut self, block: &Block) {
        match block {
            Block::Paragraph(text) => self.put("paragraph", &text),
            Block::List(points) => {
                self.put("list", &points.len());
                self.all("point", points);
            }
            Block::Table { head, rows } => {
                self.put("table", &rows.len());
                self.all("head", head);
                for row in rows {
                    self.put("row", &row.len());
                    self.all("cell", row);
                }
            }
        }
    }

    /// The first eight bytes of the hash of all fields under a label.
    pub fn hash(&self, key: &[u8], label: &str) -> u64 {
        let fields: Vec<&str> = self.0.iter().map(String::as_str).collect();
        let hash = Seed::derive(key, label, &fields);
        hash.bytes().iter().take(8).fold(0, |sum, byte| sum << 8 | u64::from(*byte))
    }
}
