//! The fields of OpenSSH's binary formats: numbers and strings with their length (RFC 4251, section 5).

/// What is still to be read.
pub(super) struct Fields<'a>(&'a [u8]);

impl<'a> Fields<'a> {
    pub(super) const fn new(bytes: &'a [u8]) -> Self {
        Self(bytes)
    }

    /// The next so many bytes.
    pub(super) fn bytes(&mut self, count: usize) -> Option<&'a [u8]> {
        let (head, tail) = self.0.split_at_checked(count)?;
        self.0 = tail;
        Some(head)
    }

    pub(super) fn number(&mut self) -> Option<u32> {
        Some(u32::from_be_bytes(self.bytes(4)?.try_into().ok()?))
    }

    /// Bytes after their length.
    pub(super) fn string(&mut self) -> Option<&'a [u8]> {
        let count = self.number()?;
        self.bytes(usize::try_from(count).ok()?)
    }

    /// A string that is UTF-8.
    pub(super) fn text(&mut self) -> Option<&'a str> {
        str::from_utf8(self.string()?).ok()
    }

    /// A number above zero of any length, in the one way in which it is written.
    pub(super) fn positive(&mut self) -> Option<&'a [u8]> {
        let bytes = self.string()?;
        let first = *bytes.first()?;
        let needed = first != 0 || *bytes.get(1)? >= 0x80;
        (first < 0x80 && needed).then_some(bytes)
    }

    /// All that is left.
    pub(super) const fn rest(&self) -> &'a [u8] {
        self.0
    }

    /// Something, where nothing is left after it.
    pub(super) fn end<T>(&self, read: T) -> Option<T> {
        self.0.is_empty().then_some(read)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4251, section 5: `string` and the examples of `mpint` (from memory); zero and negative numbers are not above
    /// zero.
    #[test]
    fn fields_are_as_published() {
        let mut fields = Fields::new(b"\0\0\0\x07testing\x29\xb7\xf4\xaa!");
        assert_eq!(fields.text(), Some("testing"));
        assert_eq!(fields.number(), Some(699_921_578));
        assert_eq!(fields.end(()), None);
        assert_eq!(fields.bytes(1), Some(&b"!"[..]));
        assert_eq!(fields.end(1), Some(1));
        assert_eq!(fields.number(), None);
        assert!(Fields::new(b"\0\0\0\x08\x09\xa3\x78\xf9\xb2\xe3\x32\xa7").positive().is_some());
        assert!(Fields::new(b"\0\0\0\x02\0\x80").positive().is_some());
        for other in
            [&b"\0\0\0\0"[..], b"\0\0\0\x02\xed\xcc", b"\0\0\0\x01\0", b"\0\0\0\x02\0\x7f", b"\0\0\0\x03\x01\x02"]
        {
            assert!(Fields::new(other).positive().is_none(), "{other:?}");
        }
        assert!(Fields::new(b"\xff\xff\xff\xffabc").string().is_none());
    }
}
