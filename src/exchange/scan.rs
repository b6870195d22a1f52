//! Places in the text of a table: lines, and a quotation mark that is never closed, as in a file that was cut off.

/// The byte at which the quotation mark stands that is open where the text ends, read as the table's reader reads it:
/// a mark opens at the begin of a cell only, and within quoted text two of them are one.
pub(super) fn left_open(text: &str, delimiter: u8) -> Option<usize> {
    let mut open = None;
    let mut begins = true;
    let mut bytes = text.bytes().enumerate().peekable();
    while let Some((at, byte)) = bytes.next() {
        if open.is_some() {
            let doubled = byte == b'"' && bytes.next_if(|(_, next)| *next == b'"').is_some();
            if byte == b'"' && !doubled {
                open = None;
            }
        } else if begins && byte == b'"' {
            open = Some(at);
            begins = false;
        } else {
            begins = byte == delimiter || matches!(byte, b'\n' | b'\r');
        }
    }
    open
}

/// Finds the line of a byte; asked for rising bytes only.
pub(super) struct LineCounter<'t> {
    bytes: &'t [u8],
    at: usize,
    last: u64,
}

impl<'t> LineCounter<'t> {
    pub(super) fn new(text: &'t str) -> Self {
        Self {
            bytes: text.as_bytes(),
            at: 0,
            last: 1,
        }
    }

    /// The line that was found last.
    pub(super) fn last(&self) -> u64 {
        self.last
    }

    /// The line on which the record stands that the reader began to look for at `start`: the rest
    /// of the line break before it, and blank lines, may lie between.
    pub(super) fn line_at(&mut self, start: usize) -> u64 {
        loop {
            let Some(&byte) = self.bytes.get(self.at) else {
                return self.last;
            };
            if self.at >= start && byte != b'\n' && byte != b'\r' {
                return self.last;
            }
            let next = self.bytes.get(self.at + 1);
            if byte == b'\n' || (byte == b'\r' && next != Some(&b'\n')) {
                self.last += 1;
            }
            self.at += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_mark_that_opens_a_cell_and_is_never_closed_is_found() {
        for (text, open) in [
            ("a,b\n5,\"Eve", Some(6)),
            ("a,b\n5,\"Eve\n", Some(6)),
            ("a,b\n5,\"E\"\"v\"\"", Some(6)),
            ("\"", Some(0)),
            ("a\n\"b\"\n\"", Some(6)),
            ("a,b\n5,\"Eve\"", None),
            ("a,b\n5,\"E\"\"v\"\n", None),
            ("a,b\n5,a ladder of 12\"\n", None),
            ("a,b\n5,\"\"\n", None),
            ("", None),
        ] {
            assert_eq!(left_open(text, b','), open, "{text:?}");
        }
        assert_eq!(left_open("a;b\n5,\"c;\"d", b';'), Some(9));
    }
}
