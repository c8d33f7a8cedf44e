//! Objects on their way into a file. Those without a stream are packed together, which makes them
//! small (ISO 32000-1, 7.5.7), and a stream tells where each object is (7.5.8).

use std::io::Write;

use flate2::Compression;
use flate2::write::ZlibEncoder;

use super::object::put;

/// How many bytes of objects are packed together: more makes them hardly smaller, and a reader unpacks
/// all of them to see one.
const PACK: usize = 100_000;

/// Where an object is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Position {
    /// Nowhere: the number is not used.
    Nowhere,
    /// It begins at that byte.
    At(u64),
    /// It is packed, behind so many others.
    In { pack: u32, behind: u32 },
}

/// A file in the making. Every piece of it is handed on as soon as it is finished.
#[derive(Debug, Default)]
pub(in crate::export) struct Writer {
    /// How many bytes have been handed on.
    length: u64,
    /// Where the objects are, from number 1.
    positions: Vec<Position>,
    /// The numbers of the objects in the open pack, each with where it begins.
    open: Vec<(u32, usize)>,
    /// Their bytes.
    body: Vec<u8>,
}

impl Writer {
    /// The next number that no object has yet.
    pub(in crate::export) fn reserve(&mut self) -> u32 {
        self.positions.push(Position::Nowhere);
        self.last_number()
    }

    /// The number that was given last.
    pub(in crate::export) fn last_number(&self) -> u32 {
        u32::try_from(self.positions.len()).unwrap_or(u32::MAX)
    }

    /// Gives back all numbers behind that one, and drops the objects of the open pack.
    pub(in crate::export) fn go_back(&mut self, last_number: u32) {
        self.positions.truncate(last_number as usize);
        self.open.clear();
        self.body.clear();
    }

    /// How many bytes have been handed on.
    pub(in crate::export) fn length(&self) -> u64 {
        self.length
    }

    /// Notes that a piece has been handed on.
    pub(in crate::export) fn hand_on(&mut self, piece: &[u8]) {
        self.length += piece.len() as u64;
    }

    fn put_position(&mut self, number: u32, position: Position) {
        if let Some(kept) = self.positions.get_mut((number as usize).wrapping_sub(1)) {
            *kept = position;
        }
    }

    /// Writes an object that has a stream.
    pub(in crate::export) fn whole(&mut self, out: &mut Vec<u8>, number: u32, object: &[u8]) {
        self.put_position(number, Position::At(self.length + out.len() as u64));
        put(out, format_args!("{number} 0 obj\n"));
        out.extend(object);
        out.extend(b"\nendobj\n");
    }

    /// Writes bytes as a stream; `entries` are those of its dictionary but for its length.
    pub(in crate::export) fn stream(
        &mut self,
        out: &mut Vec<u8>,
        number: u32,
        entries: &str,
        bytes: &[u8],
    ) {
        let small = deflated(bytes);
        let mut object = Vec::with_capacity(small.len() + 100);
        put(
            &mut object,
            format_args!("<<{entries}/Length {}/Filter/FlateDecode>>\nstream\n", small.len()),
        );
        object.extend(small);
        object.extend(b"\nendstream");
        self.whole(out, number, &object);
    }

    /// Packs an object that has no stream.
    pub(in crate::export) fn pack(&mut self, out: &mut Vec<u8>, number: u32, object: &[u8]) {
        self.open.push((number, self.body.len()));
        self.body.extend(object);
        self.body.push(b'\n');
        if self.body.len() > PACK {
            self.close_pack(out);
        }
    }

    /// Writes what is packed so far.
    pub(in crate::export) fn close_pack(&mut self, out: &mut Vec<u8>) {
        if self.open.is_empty() {
            return;
        }
        let pack = self.reserve();
        let open = std::mem::take(&mut self.open);
        let mut bytes = Vec::with_capacity(self.body.len() + 12 * open.len());
        for (behind, (number, begin)) in (0..).zip(&open) {
            put(&mut bytes, format_args!("{number} {begin} "));
            self.put_position(*number, Position::In { pack, behind });
        }
        let first = bytes.len();
        bytes.append(&mut self.body);
        let entries = format!("/Type/ObjStm/N {}/First {first}", open.len());
        self.stream(out, pack, &entries, &bytes);
    }

    /// Writes where every object is, and how to begin reading: `entries` are those of a trailer but for its
    /// size.
    pub(in crate::export) fn end(mut self, out: &mut Vec<u8>, entries: &[u8]) {
        self.close_pack(out);
        let number = self.reserve();
        let at = self.length + out.len() as u64;
        self.put_position(number, Position::At(at));
        let wide = |most: u64| (8 - most.leading_zeros() as usize / 8).max(1);
        let behind = self.positions.iter().map(|position| match position {
            Position::In { behind, .. } => u64::from(*behind),
            _ => 0,
        });
        // The widths of a place and of a number of objects before it; every byte offset fits, and so do
        // the numbers of packs, which are smaller.
        let (first, second) = (wide(at), wide(behind.max().unwrap_or(0)).max(2));
        let rows = std::iter::once(row([0, 0, 0xffff], first, second)).chain(
            self.positions.iter().map(|position| match *position {
                Position::Nowhere => row([0, 0, 0xffff], first, second),
                Position::At(at) => row([1, at, 0], first, second),
                Position::In { pack, behind } => {
                    row([2, u64::from(pack), u64::from(behind)], first, second)
                }
            }),
        );
        // Each row as its difference from the one above it (predictor 12), which is mostly the same.
        let mut table = Vec::new();
        let mut above = vec![0; 1 + first + second];
        for row in rows {
            table.push(2);
            table.extend(row.iter().zip(&above).map(|(new, old)| new.wrapping_sub(*old)));
            above = row;
        }
        let small = deflated(&table);
        let mut object = Vec::with_capacity(small.len() + 300);
        put(
            &mut object,
            format_args!("<</Type/XRef/Size {}/W[1 {first} {second}]", self.positions.len() + 1),
        );
        object.extend(entries);
        put(
            &mut object,
            format_args!(
                "/Filter/FlateDecode/DecodeParms<</Predictor 12/Columns {}>>/Length {}>>\nstream\n",
                1 + first + second,
                small.len()
            ),
        );
        object.extend(small);
        object.extend(b"\nendstream");
        self.whole(out, number, &object);
        put(out, format_args!("startxref\n{at}\n%%EOF\n"));
    }
}

/// A row of the table of places.
fn row([kind, first, second]: [u64; 3], wide: usize, less_wide: usize) -> Vec<u8> {
    let mut row = vec![u8::try_from(kind).unwrap_or(0)];
    row.extend(&first.to_be_bytes()[8 - wide..]);
    row.extend(&second.to_be_bytes()[8 - less_wide..]);
    row
}

/// Bytes made small.
pub(super) fn deflated(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::best());
    // Memory takes all that is written.
    let _ = encoder.write_all(bytes);
    encoder.finish().unwrap_or_default()
}
