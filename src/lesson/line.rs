//! The journal's line: one record framed so that damage to any bit of it shows.
//!
//! `v1 <seq> <len> <crc32c> <json>` and a line feed: the record's number, the bytes of the JSON
//! text, the check sum of number, length and text as eight hexadecimal digits, the text itself. JSON
//! as written here holds no raw line feed, so lines and records are the same thing.
//!
//! Takes the bytes of a journal and gives the records up to the first trouble, where that is, and
//! whether anything whole comes after it. Invariant: there is exactly one way to write a record, so
//! bytes that read back as a record are the bytes that were written. It touches no file.

use super::record::Record;

/// The longest JSON text a record may have, in bytes.
pub const MOST_TEXT: usize = 1 << 20;

/// Where a journal stops making sense, and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Damage {
    /// Byte offset of the first line that is not the record that should be there.
    pub offset: u64,
    /// Number of the record that should be there.
    pub record: u64,
    /// What is wrong with the line.
    pub fault: Fault,
    /// At the end or in the middle.
    pub place: Place,
}

/// What is wrong with a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// The file ends before the line does.
    Unfinished,
    /// No frame of a record.
    Frame,
    /// A whole record with another number than the one due.
    Number {
        /// The number found.
        found: u64,
    },
    /// The text is not as long as the frame says.
    Length,
    /// The check sum does not fit.
    CheckSum,
    /// The text is no JSON object.
    Text,
}

/// Whether whole records follow the damage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Nothing whole follows: a record that was being written when the power went.
    Tail,
    /// Whole records follow: something else harmed the file.
    Inside {
        /// Byte offset of the next whole record.
        next: u64,
    },
}

/// A whole record and where its line starts.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Placed {
    pub(super) record: Record,
    pub(super) offset: usize,
}

/// What reading a journal from its start gave.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Scan {
    /// The records before any damage, numbered from 0 without gaps.
    pub(super) records: Vec<Placed>,
    /// Where the last of them ends.
    pub(super) end: usize,
    /// The first trouble, if any.
    pub(super) damage: Option<Damage>,
}

/// The line of a record, line feed included.
pub(super) fn encode(seq: u64, text: &str) -> Vec<u8> {
    let mut line = frame(seq, text).into_bytes();
    line.extend_from_slice(text.as_bytes());
    line.push(b'\n');
    line
}

fn frame(seq: u64, text: &str) -> String {
    let length = text.len();
    let covered = crc32c::crc32c(format!("{seq} {length} ").as_bytes());
    let sum = crc32c::crc32c_append(covered, text.as_bytes());
    format!("v1 {seq} {length} {sum:08x} ")
}

/// The longest a frame can be: version, two numbers, a check sum and the spaces.
const LONGEST_FRAME: usize = 3 + 21 + 21 + 9;

/// The record whose line starts at this offset, and the offset after its line feed. Looks at the
/// frame first, so that garbage is refused without reading on.
fn record_at(bytes: &[u8], offset: usize) -> Result<(Record, usize), Fault> {
    let rest = bytes.get(offset..).unwrap_or_default();
    let head = rest.get(..LONGEST_FRAME).unwrap_or(rest);
    let broken = || {
        if head.len() < LONGEST_FRAME {
            Fault::Unfinished
        } else {
            Fault::Frame
        }
    };
    let frame_length = head
        .iter()
        .enumerate()
        .filter(|(_, b)| **b == b' ')
        .nth(3)
        .map(|(i, _)| i + 1)
        .ok_or_else(broken)?;
    let stated_frame = head
        .get(..frame_length)
        .and_then(|h| str::from_utf8(h).ok())
        .ok_or(Fault::Frame)?;
    let mut parts = stated_frame.split(' ');
    let mut next = || parts.next().ok_or(Fault::Frame);
    let (version, seq, length) = (next()?, next()?, next()?);
    if version != "v1" {
        return Err(Fault::Frame);
    }
    let seq: u64 = seq.parse().map_err(|_| Fault::Frame)?;
    let length: usize = length.parse().map_err(|_| Fault::Frame)?;
    if length > MOST_TEXT {
        return Err(Fault::Length);
    }
    let line_feed = frame_length + length;
    match rest.get(line_feed) {
        None => return Err(Fault::Unfinished),
        Some(b'\n') => {}
        Some(_) => return Err(Fault::Length),
    }
    let text = rest
        .get(frame_length..line_feed)
        .and_then(|t| str::from_utf8(t).ok());
    let text = text.filter(|t| !t.contains('\n')).ok_or(Fault::Text)?;
    if stated_frame != frame(seq, text) {
        return Err(Fault::CheckSum);
    }
    let record = Record::read(seq, text).ok_or(Fault::Text)?;
    Ok((record, offset + line_feed + 1))
}

/// Reads records from the start for as long as they are whole and in order.
pub(super) fn scan(bytes: &[u8]) -> Scan {
    scan_from(bytes, 0, 0)
}

/// The same from an offset at which the record `first` is due.
fn scan_from(bytes: &[u8], start: usize, first: u64) -> Scan {
    let mut found = Scan {
        records: Vec::new(),
        end: start,
        damage: None,
    };
    let mut due = first;
    while found.end < bytes.len() {
        let fault = match record_at(bytes, found.end) {
            Ok((record, end)) if record.seq == due => {
                found.records.push(Placed {
                    record,
                    offset: found.end,
                });
                found.end = end;
                due += 1;
                continue;
            }
            Ok((record, _)) => Fault::Number { found: record.seq },
            Err(fault) => fault,
        };
        let place = next_whole(bytes, found.end, due)
            .map_or(Place::Tail, |next| Place::Inside { next: next as u64 });
        found.damage = Some(Damage {
            offset: found.end as u64,
            record: due,
            fault,
            place,
        });
        break;
    }
    found
}

/// Where the next whole record starts that could belong after the damage. Records numbered below the
/// one due are left-overs on a block of the disk that was used before, and do not count.
fn next_whole(bytes: &[u8], from: usize, due: u64) -> Option<usize> {
    let starts = bytes
        .get(from..)?
        .windows(3)
        .enumerate()
        .filter(|(_, w)| *w == b"v1 ");
    starts
        .map(|(i, _)| from + i)
        .find(|&at| record_at(bytes, at).is_ok_and(|(r, _)| r.seq >= due))
}

/// Everything whole that is left in a damaged journal, in order, with where each trouble began.
pub(super) struct Salvage {
    /// Whole records in order of number, with gaps.
    pub(super) records: Vec<Placed>,
    /// Every stretch that made no sense.
    pub(super) damage: Vec<Damage>,
}

/// Picks every whole record out of a journal, past any damage.
pub(super) fn salvage(bytes: &[u8]) -> Salvage {
    let mut all = Salvage {
        records: Vec::new(),
        damage: Vec::new(),
    };
    let (mut start, mut due) = (0, 0);
    loop {
        let part = scan_from(bytes, start, due);
        all.records.extend(part.records);
        let Some(damage) = part.damage else {
            return all;
        };
        all.damage.push(damage);
        let Place::Inside { next } = damage.place else {
            return all;
        };
        start = next as usize;
        due = record_at(bytes, start).map_or(damage.record, |(record, _)| record.seq);
    }
}
