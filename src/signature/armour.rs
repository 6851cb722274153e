//! Base64 as RFC 4648 has it, and the armour that OpenSSH puts around a signature.

/// What stands before and after the base64 of a signature.
const BEGIN: &str = "-----BEGIN SSH SIGNATURE-----";
const END: &str = "-----END SSH SIGNATURE-----";

/// How many characters OpenSSH writes on a line.
const WIDTH: usize = 70;

const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// The bytes of an armoured signature, where it is written exactly as OpenSSH writes it. A line end after the last line
/// may be there or not.
pub(super) fn strip(armoured: &str) -> Option<Vec<u8>> {
    let text = armoured.strip_suffix('\n').unwrap_or(armoured);
    let body = text.strip_prefix(BEGIN)?.strip_suffix(END)?.strip_prefix('\n')?.strip_suffix('\n')?;
    let bytes = decode(body.bytes().filter(|byte| *byte != b'\n'))?;
    (wrap(&bytes) == format!("{text}\n")).then_some(bytes)
}

/// The armour around bytes, as OpenSSH writes it.
fn wrap(bytes: &[u8]) -> String {
    let mut text = format!("{BEGIN}\n");
    for (place, character) in encode(bytes).chars().enumerate() {
        if place > 0 && place % WIDTH == 0 {
            text.push('\n');
        }
        text.push(character);
    }
    text.push_str(&format!("\n{END}\n"));
    text
}

/// Bytes as base64 with its padding.
pub(super) fn encode(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for group in bytes.chunks(3) {
        let bits = group.iter().enumerate().fold(0, |bits, (place, byte)| bits | u32::from(*byte) << (16 - 8 * place));
        for place in 0..4 {
            if place <= group.len() {
                text.push(char::from(ALPHABET[(bits >> (18 - 6 * place)) as usize & 63]));
            } else {
                text.push('=');
            }
        }
    }
    text
}

/// The bytes that base64 stands for, where it is the one way to write them: padded, no bits left over, nothing else.
pub(super) fn decode(text: impl Iterator<Item = u8>) -> Option<Vec<u8>> {
    // Room for all of it at once, so that no copy is left behind where the bytes are a secret.
    let mut bytes = Vec::with_capacity(text.size_hint().1.unwrap_or(0) / 4 * 3 + 3);
    let (mut bits, mut count, mut padding) = (0_u32, 0_usize, 0_usize);
    for character in text {
        if character == b'=' {
            padding += 1;
            continue;
        }
        if padding > 0 {
            return None;
        }
        bits = bits << 6 | sixth(character)?;
        count += 1;
        if count % 4 == 0 {
            bytes.extend_from_slice(&bits.to_be_bytes()[1..]);
            bits = 0;
        }
    }
    match (count % 4, padding) {
        (0, 0) => {}
        (2, 2) if bits & 0xF == 0 => bytes.push((bits >> 4) as u8),
        (3, 1) if bits & 0x3 == 0 => bytes.extend_from_slice(&((bits >> 2) as u16).to_be_bytes()),
        _ => return None,
    }
    Some(bytes)
}

/// The six bits of one character.
fn sixth(character: u8) -> Option<u32> {
    Some(u32::from(match character {
        b'A'..=b'Z' => character - b'A',
        b'a'..=b'z' => character - b'a' + 26,
        b'0'..=b'9' => character - b'0' + 52,
        b'+' => 62,
        b'/' => 63,
        _ => return None,
    }))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// RFC 4648, section 10.
    #[test]
    fn base64_is_as_published() {
        let published = [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ];
        for (bytes, text) in published {
            assert_eq!(encode(bytes.as_bytes()), text);
            assert_eq!(decode(text.bytes()).as_deref(), Some(bytes.as_bytes()));
        }
    }

    /// RFC 4648, sections 3.2, 3.3 and 3.5: no missing padding, nothing outside of the alphabet, no bits left over.
    #[test]
    fn there_is_one_way_to_write_bytes() {
        for text in
            ["Zg", "Zg=", "Zg===", "Zh==", "Zm9=", "Zm9", "Z", "=", "====", "Zg==Zg==", "Zm 9v", "Zm-_", "Zm9v\n"]
        {
            assert_eq!(decode(text.bytes()), None, "{text}");
        }
    }

    proptest! {
        #[test]
        fn what_is_written_is_read_again(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
            prop_assert_eq!(decode(encode(&bytes).bytes()), Some(bytes.clone()));
            let text = wrap(&bytes);
            prop_assert!(text.lines().all(|line| line.len() <= WIDTH));
            if !bytes.is_empty() {
                prop_assert_eq!(strip(&text), Some(bytes.clone()));
                prop_assert_eq!(strip(text.trim_end()), Some(bytes));
            }
        }

        #[test]
        fn what_is_read_is_what_would_be_written(text in "[A-Za-z0-9+/=]{0,40}") {
            if let Some(bytes) = decode(text.bytes()) {
                prop_assert_eq!(encode(&bytes), text);
            }
        }
    }
}
