//! Ways to damage a good file.

use proptest::prelude::*;

/// No damaged file is longer, so that a case is bounded by what it reads.
const LONGEST: usize = 192 * 1024;

/// What is put between good bytes: each has broken some reader of some program.
const PIECES: &[&[u8]] = &[
    b"\0",
    b"\xff\xfe",
    b"\xc0\xaf",
    b"\xed\xa0\x80",
    b"\xf0\x9f\x98",
    b"\xef\xbb\xbf",
    b"\r",
    b"\n\n",
    b"\t",
    b"\\",
    b"\"",
    b"'",
    b",",
    b";",
    b": ",
    b"- ",
    b"#",
    b"%",
    b"*",
    b"&a [*a, *a]",
    b"<<: *a",
    b"!!binary ",
    b"!x ",
    b"|\n",
    b"---\n",
    b"...\n",
    b"~",
    b"null",
    b"{}",
    b"[]",
    b"0",
    b"-1",
    b"1e999999999",
    b"-1e-999999999",
    b"NaN",
    b".inf",
    b"0x7fffffffffffffff",
    b"18446744073709551616",
    b"340282366920938463463374607431768211456",
    b"99999999999999999999999999999999999999999999999999",
    b"0.00000000000000000000000000000000000000000001",
    b"=cmd|' /C calc'!A0",
    b"../../../etc",
    b"<script>",
    b"{{ 7 * 7 }}",
    b"{{ x",
    b"{% for x in range(9999) %}{% endfor %}",
    b"#let x = 1",
    "\u{202e}".as_bytes(),
    "\u{2066}\u{200b}".as_bytes(),
    "\u{2028}".as_bytes(),
    "\u{85}".as_bytes(),
    "\u{feff}".as_bytes(),
    "\u{1f469}\u{200d}\u{1f52c}".as_bytes(),
    "e\u{301}\u{301}\u{301}".as_bytes(),
    "\u{ff11}\u{ff12}".as_bytes(),
    "\u{130}".as_bytes(),
    "\u{df}".as_bytes(),
];

/// What opens something that is never closed, or closes what was never opened.
const OPENING: &[&[u8]] = &[
    b"[",
    b"{",
    b"(",
    b"\"",
    b"'",
    b"{\"a\":",
    b"- ",
    b"? ",
    b"-(",
    b"{{",
    b"{% if x %}",
    b"]",
    b"}",
    b"&a ",
    b"a: ",
    b"not ",
];

/// One thing done to a file; places are parts of 65,536 of its length.
#[derive(Clone, Debug)]
pub(super) enum Wound {
    Flip(u16, u8),
    Cut(u16, u16),
    Double(u16, u16),
    Move(u16, u16, u16),
    SwapLines(u16, u16),
    RepeatLine(u16, u16),
    Put(u16, usize),
    InPlaceOf(u16, u16, usize),
    Run(u16, u8, u16),
    Nest(u16, usize, u16),
    Aliases,
    Endings(bool),
    End(u16),
}

/// A few wounds.
pub(super) fn wounds() -> impl Strategy<Value = Vec<Wound>> {
    let at = any::<u16>;
    let short = || 1..60_u16;
    let wound = prop_oneof![
        4 => (at(), any::<u8>()).prop_map(|(at, with)| Wound::Flip(at, with)),
        3 => (at(), short()).prop_map(|(at, many)| Wound::Cut(at, many)),
        2 => (at(), short()).prop_map(|(at, many)| Wound::Double(at, many)),
        2 => (at(), short(), at()).prop_map(|(at, many, to)| Wound::Move(at, many, to)),
        2 => (at(), at()).prop_map(|(one, other)| Wound::SwapLines(one, other)),
        2 => (at(), 1..40_u16).prop_map(|(at, times)| Wound::RepeatLine(at, times)),
        6 => (at(), 0..PIECES.len()).prop_map(|(at, piece)| Wound::Put(at, piece)),
        5 => (at(), short(), 0..PIECES.len())
            .prop_map(|(at, many, piece)| Wound::InPlaceOf(at, many, piece)),
        1 => (at(), any::<u8>(), 1..30_000_u16).prop_map(|(at, byte, many)| Wound::Run(at, byte, many)),
        2 => (at(), 0..OPENING.len(), 1..4_000_u16)
            .prop_map(|(at, opening, many)| Wound::Nest(at, opening, many)),
        1 => Just(Wound::Aliases),
        1 => any::<bool>().prop_map(Wound::Endings),
        1 => at().prop_map(Wound::End),
    ];
    prop::collection::vec(wound, 1..6)
}

/// The file after all that was done to it.
pub(super) fn damaged(good: &[u8], wounds: &[Wound]) -> Vec<u8> {
    let mut bytes = good.to_vec();
    for wound in wounds {
        bytes = hurt(bytes, wound);
        bytes.truncate(LONGEST);
    }
    bytes
}

fn hurt(mut bytes: Vec<u8>, wound: &Wound) -> Vec<u8> {
    let place = |at: u16, length: usize| length * usize::from(at) / 65_536;
    let length = bytes.len();
    let piece = |at: u16, many: u16| {
        let start = place(at, length);
        start..(start + usize::from(many)).min(length)
    };
    match *wound {
        Wound::Flip(at, with) => {
            if let Some(byte) = bytes.get_mut(place(at, length)) {
                *byte ^= with;
            }
        }
        Wound::Cut(at, many) => drop(bytes.drain(piece(at, many))),
        Wound::Double(at, many) => {
            let twice = bytes[piece(at, many)].to_vec();
            put(&mut bytes, place(at, length), &twice);
        }
        Wound::Move(at, many, to) => {
            let moved: Vec<u8> = bytes.drain(piece(at, many)).collect();
            let to = place(to, bytes.len());
            put(&mut bytes, to, &moved);
        }
        Wound::SwapLines(one, other) => {
            let mut lines: Vec<&[u8]> = bytes.split(|byte| *byte == b'\n').collect();
            let (one, other) = (place(one, lines.len()), place(other, lines.len()));
            lines.swap(one, other);
            return lines.join(&b'\n');
        }
        Wound::RepeatLine(at, times) => {
            let mut lines: Vec<&[u8]> = bytes.split(|byte| *byte == b'\n').collect();
            let at = place(at, lines.len());
            let line = lines[at];
            lines.splice(at..at, std::iter::repeat_n(line, usize::from(times)));
            return lines.join(&b'\n');
        }
        Wound::Put(at, which) => put(&mut bytes, place(at, length), PIECES[which]),
        Wound::InPlaceOf(at, many, which) => {
            let range = piece(at, many);
            bytes.splice(range, PIECES[which].iter().copied());
        }
        Wound::Run(at, byte, many) => {
            put(&mut bytes, place(at, length), &[byte].repeat(usize::from(many)));
        }
        Wound::Nest(at, which, many) => {
            put(&mut bytes, place(at, length), &OPENING[which].repeat(usize::from(many)));
        }
        Wound::Aliases => {
            let mut bomb = b"\na0: &a0 [x, x]\n".to_vec();
            for level in 1..30 {
                let one = level - 1;
                let line = format!("a{level}: &a{level} [*a{one}, *a{one}, *a{one}, *a{one}]\n");
                bomb.extend(line.into_bytes());
            }
            bytes.extend(bomb);
        }
        Wound::Endings(both) => {
            let ending: &[u8] = if both { b"\r\n" } else { b"\r" };
            let lines: Vec<&[u8]> = bytes.split(|byte| *byte == b'\n').collect();
            return lines.join(ending);
        }
        Wound::End(at) => bytes.truncate(place(at, length)),
    }
    bytes
}

fn put(bytes: &mut Vec<u8>, at: usize, piece: &[u8]) {
    let at = at.min(bytes.len());
    bytes.splice(at..at, piece.iter().copied());
}
