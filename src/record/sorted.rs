//! JSON in the canonical form of RFC 8785, written straight from what serialises: the members of an object are sorted where
//! they lie, in one buffer. A library does the same through a buffer for each key; `tests/process/canonical.rs` holds the two
//! together, and a third in another language.

use std::io::{self, Write};
use std::ops::Range;

use serde::Serialize;
use serde_json::ser::{CharEscape, CompactFormatter, Formatter, Serializer};

/// Members that are left out of an object.
pub(super) struct LeaveOut {
    /// The key of the object in the document.
    pub of: &'static str,
    /// The keys in it.
    pub keys: &'static [&'static str],
}

/// The canonical form.
///
/// # Errors
/// Where the value does not serialise.
pub(super) fn to_vec(value: &impl Serialize, leave_out: &LeaveOut) -> serde_json::Result<Vec<u8>> {
    let mut sorting = Sorting { out: vec![], sorted: vec![], members: vec![], objects: vec![], depth: 0, leave_out };
    value.serialize(&mut Serializer::with_formatter(Nowhere, &mut sorting))?;
    Ok(sorting.out)
}

/// What a formatter is given to write to. This one has its own place; what goes here all the same (a number of a size that no
/// record has) would be missing from what is signed.
struct Nowhere;

impl Write for Nowhere {
    fn write(&mut self, _: &[u8]) -> io::Result<usize> {
        Err(io::Error::other("a number of a size that has no canonical form here"))
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// How deep the object lies from which members are left out: the document is 1.
const LEFT_OUT_AT: usize = 2;

/// Whether the order of a key is that of its bytes.
fn is_plain(key: &[u8]) -> bool {
    key.iter().all(|byte| matches!(byte, b' '..=b'~') && *byte != b'\\')
}

/// What a key is sorted by, section 3.2.3: the code units of UTF-16 of what it means.
fn units(quoted: &[u8]) -> Vec<u16> {
    serde_json::from_slice::<String>(quoted).map_or_else(|_| vec![], |text| text.encode_utf16().collect())
}

/// A member of an object that is being written: where its key, with its quotes, and its value lie.
#[derive(Clone)]
struct Member {
    key: Range<usize>,
    end: usize,
}

/// An object that is being written: where it begins, and which is its first member.
struct Object {
    start: usize,
    first: usize,
}

struct Sorting<'a> {
    out: Vec<u8>,
    sorted: Vec<u8>,
    members: Vec<Member>,
    objects: Vec<Object>,
    /// How many objects and arrays are being written, each in the one before.
    depth: usize,
    leave_out: &'a LeaveOut,
}

impl Sorting<'_> {
    fn put(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.out.extend_from_slice(bytes);
        Ok(())
    }

    /// Numbers as ECMAScript prints them, section 3.2.2.3: whole ones too.
    fn number(&mut self, value: f64) -> io::Result<()> {
        self.put(ryu_js::Buffer::new().format_finite(value).as_bytes())
    }

    fn quoted(&self, member: &Member) -> &[u8] {
        &self.out[member.key.clone()]
    }

    /// A key without its quotes: with them, `"a!"` would come before `"a"`.
    fn key(&self, member: &Member) -> &[u8] {
        let quoted = self.quoted(member);
        quoted.strip_prefix(b"\"").and_then(|key| key.strip_suffix(b"\"")).unwrap_or(quoted)
    }

    /// Puts the members of the last object into order.
    fn sort(&mut self) -> io::Result<()> {
        let Some(Object { start, first }) = self.objects.pop() else {
            return Ok(());
        };
        let mut members = self.members.split_off(first);
        let is = |member: &Member, name: &str| self.key(member) == name.as_bytes();
        if self.depth == LEFT_OUT_AT && self.members.last().is_some_and(|of| is(of, self.leave_out.of)) {
            members.retain(|member| !self.leave_out.keys.iter().any(|key| is(member, key)));
        }
        if members.iter().all(|member| is_plain(self.key(member))) {
            members.sort_by(|a, b| self.key(a).cmp(self.key(b)));
        } else {
            members.sort_by_cached_key(|member| units(self.quoted(member)));
        }
        self.sorted.clear();
        for (index, member) in members.iter().enumerate() {
            if index > 0 {
                self.sorted.push(b',');
            }
            self.sorted.extend_from_slice(&self.out[member.key.start..member.end]);
        }
        self.out.truncate(start);
        self.out.extend_from_slice(&self.sorted);
        Ok(())
    }
}

impl Formatter for &mut Sorting<'_> {
    fn write_null<W: ?Sized + Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.put(b"null")
    }

    fn write_bool<W: ?Sized + Write>(&mut self, _: &mut W, value: bool) -> io::Result<()> {
        self.put(if value { b"true" } else { b"false" })
    }

    fn write_i64<W: ?Sized + Write>(&mut self, _: &mut W, value: i64) -> io::Result<()> {
        self.number(value as f64)
    }

    fn write_u32<W: ?Sized + Write>(&mut self, _: &mut W, value: u32) -> io::Result<()> {
        self.number(f64::from(value))
    }

    fn write_u64<W: ?Sized + Write>(&mut self, _: &mut W, value: u64) -> io::Result<()> {
        self.number(value as f64)
    }

    fn write_f64<W: ?Sized + Write>(&mut self, _: &mut W, value: f64) -> io::Result<()> {
        self.number(value)
    }

    fn begin_string<W: ?Sized + Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.put(b"\"")
    }

    fn end_string<W: ?Sized + Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.put(b"\"")
    }

    fn write_string_fragment<W: ?Sized + Write>(&mut self, _: &mut W, fragment: &str) -> io::Result<()> {
        self.put(fragment.as_bytes())
    }

    fn write_char_escape<W: ?Sized + Write>(&mut self, _: &mut W, escape: CharEscape) -> io::Result<()> {
        CompactFormatter.write_char_escape(&mut self.out, escape)
    }

    fn begin_array<W: ?Sized + Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.depth += 1;
        self.put(b"[")
    }

    fn end_array<W: ?Sized + Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.depth -= 1;
        self.put(b"]")
    }

    fn begin_array_value<W: ?Sized + Write>(&mut self, _: &mut W, first: bool) -> io::Result<()> {
        if first { Ok(()) } else { self.put(b",") }
    }

    fn begin_object<W: ?Sized + Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.put(b"{")?;
        self.depth += 1;
        self.objects.push(Object { start: self.out.len(), first: self.members.len() });
        Ok(())
    }

    fn end_object<W: ?Sized + Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.sort()?;
        self.depth -= 1;
        self.put(b"}")
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, _: &mut W, _: bool) -> io::Result<()> {
        let start = self.out.len();
        self.members.push(Member { key: start..start, end: start });
        Ok(())
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, _: &mut W) -> io::Result<()> {
        let end = self.out.len();
        if let Some(member) = self.members.last_mut() {
            member.key.end = end;
        }
        self.put(b":")
    }

    fn end_object_value<W: ?Sized + Write>(&mut self, _: &mut W) -> io::Result<()> {
        let end = self.out.len();
        if let Some(member) = self.members.last_mut() {
            member.end = end;
        }
        Ok(())
    }
}
