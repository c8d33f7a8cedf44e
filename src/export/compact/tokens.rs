//! The content of a page in its operations (ISO 32000-1, 7.8.2).

/// A word of the content.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Token<'a> {
    /// A number, as it is written.
    Number(&'a str),
    /// A name, with its solidus.
    Name(&'a str),
    /// The bytes of a string.
    Text(Vec<u8>),
    /// The beginning or end of a list or of a group of entries.
    Bracket(&'a str),
}

/// What is done with the words before it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Operation<'a> {
    pub operands: Vec<Token<'a>>,
    pub operator: &'a str,
}

/// The operations of a content; nothing where it is not sound, or holds an image within itself.
pub(super) fn operations(content: &[u8]) -> Option<Vec<Operation<'_>>> {
    let mut rest = content;
    let mut found = Vec::new();
    let mut operands = Vec::new();
    loop {
        rest = rest.trim_ascii_start();
        let Some(first) = rest.first() else { break };
        match first {
            b'(' => {
                let (text, after) = literal(rest)?;
                operands.push(Token::Text(text));
                rest = after;
            }
            b'[' | b']' => {
                operands.push(Token::Bracket(ascii(&rest[..1])?));
                rest = &rest[1..];
            }
            b'<' | b'>' if rest.get(1) == Some(first) => {
                operands.push(Token::Bracket(ascii(&rest[..2])?));
                rest = &rest[2..];
            }
            b'<' => {
                let end = rest.iter().position(|byte| *byte == b'>')?;
                operands.push(Token::Text(hexadecimal(&rest[1..end])?));
                rest = &rest[end + 1..];
            }
            b'>' => return None,
            _ => {
                let is_end = |byte: &u8| byte.is_ascii_whitespace() || b"()<>[]/%".contains(byte);
                let end = rest[1..].iter().position(is_end).map_or(rest.len(), |end| end + 1);
                let word = ascii(&rest[..end])?;
                rest = &rest[end..];
                match first {
                    b'/' => operands.push(Token::Name(word)),
                    b'+' | b'-' | b'.' | b'0'..=b'9' => operands.push(Token::Number(word)),
                    b'%' => return None,
                    _ if word == "BI" => return None,
                    _ => found.push(Operation {
                        operands: std::mem::take(&mut operands),
                        operator: word,
                    }),
                }
            }
        }
    }
    operands.is_empty().then_some(found)
}

fn ascii(bytes: &[u8]) -> Option<&str> {
    std::str::from_utf8(bytes).ok().filter(|text| text.is_ascii())
}

/// The bytes of a string in round brackets, and what follows it.
fn literal(text: &[u8]) -> Option<(Vec<u8>, &[u8])> {
    let mut bytes = Vec::new();
    let mut depth = 0;
    let mut at = 0;
    loop {
        let byte = *text.get(at)?;
        at += 1;
        match byte {
            b'\\' => {
                let escaped = *text.get(at)?;
                at += 1;
                match escaped {
                    b'n' => bytes.push(b'\n'),
                    b'r' => bytes.push(b'\r'),
                    b't' => bytes.push(b'\t'),
                    b'b' => bytes.push(8),
                    b'f' => bytes.push(12),
                    b'0'..=b'7' => {
                        let mut code = u32::from(escaped - b'0');
                        for _ in 0..2 {
                            let Some(digit) = text.get(at).filter(|it| (b'0'..=b'7').contains(it))
                            else {
                                break;
                            };
                            code = code * 8 + u32::from(digit - b'0');
                            at += 1;
                        }
                        bytes.push(u8::try_from(code & 0xff).ok()?);
                    }
                    b'\n' => {}
                    other => bytes.push(other),
                }
            }
            b'(' => {
                depth += 1;
                if depth > 1 {
                    bytes.push(byte);
                }
            }
            b')' => {
                depth -= 1;
                if depth == 0 {
                    return Some((bytes, &text[at..]));
                }
                bytes.push(byte);
            }
            _ => bytes.push(byte),
        }
    }
}

fn hexadecimal(digits: &[u8]) -> Option<Vec<u8>> {
    let digits: Vec<u8> = digits.iter().copied().filter(|it| !it.is_ascii_whitespace()).collect();
    let value = |digit: u8| char::from(digit).to_digit(16);
    let pair = |pair: &[u8]| {
        let low = pair.get(1).map_or(Some(0), |digit| value(*digit))?;
        u8::try_from(value(pair[0])? * 16 + low).ok()
    };
    digits.chunks(2).map(pair).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strings_are_read_however_they_are_written() {
        let read = |text: &'static str| operations(text.as_bytes()).unwrap()[0].operands[0].clone();
        assert_eq!(read("(a\\(\\0001\\r(b))Tj"), Token::Text(b"a(\x001\r(b)".to_vec()));
        assert_eq!(read("<0aF>Tj"), Token::Text(vec![0x0a, 0xf0]));
    }

    #[test]
    fn operations_have_their_operands_and_what_is_unsound_is_refused() {
        let found = operations(b"/Span<</MCID 3>>BDC\nq 1 0 0 -1 2.5 .5 cm/c0 cs").unwrap();
        let operators: Vec<&str> = found.iter().map(|it| it.operator).collect();
        assert_eq!(operators, ["BDC", "q", "cm", "cs"]);
        assert_eq!(found[0].operands.len(), 5);
        assert_eq!(found[2].operands[5], Token::Number(".5"));
        for unsound in ["(a", "<0g>Tj", "1 2", "BI ID xEI", "% a", "<1"] {
            assert_eq!(operations(unsound.as_bytes()), None, "{unsound}");
        }
    }
}
