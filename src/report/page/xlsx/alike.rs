//! The same bytes on any system: a packed file notes for each entry on what kind of system it was made.

/// "Made by" Unix: ZIP application note 6.3.10, 4.4.2.
const UNIX: u8 = 3;

const ENTRY: [u8; 4] = *b"PK\x01\x02";
/// The length of an entry of the list of contents, without its name, extra field and comment, and of the record at the end.
const ENTRY_LENGTH: usize = 46;
const END_LENGTH: usize = 22;

/// Lets all entries of a packed file say that they were made on the same kind of system.
pub fn made_alike(mut bytes: Vec<u8>) -> Vec<u8> {
    let number = |bytes: &[u8], at: usize| Some(u16::from_le_bytes(bytes.get(at..at + 2)?.try_into().ok()?));
    let end = bytes.len().saturating_sub(END_LENGTH);
    let first = bytes.get(end + 16..end + 20).and_then(|place| place.try_into().ok()).map(u32::from_le_bytes);
    let mut at = first.map_or(end, |first| first as usize);
    while bytes.get(at..).is_some_and(|rest| rest.starts_with(&ENTRY) && rest.len() >= ENTRY_LENGTH) {
        bytes[at + 5] = UNIX;
        let lengths = [28, 30, 32].into_iter().filter_map(|length| number(&bytes, at + length));
        at += ENTRY_LENGTH + lengths.map(usize::from).sum::<usize>();
    }
    bytes
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Write;
    use zip::System;
    use zip::write::SimpleFileOptions;

    fn packed(system: System) -> Vec<u8> {
        let mut file = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
        let options = SimpleFileOptions::default().system(system).last_modified_time(zip::DateTime::default());
        for name in ["one", "two/three", "PK\x01\x02"] {
            file.start_file(name, options).expect("an entry");
            file.write_all(b"PK\x01\x02 is no entry here").expect("room");
        }
        file.finish().expect("a file").into_inner()
    }

    #[test]
    fn files_made_on_two_systems_become_the_same() {
        let (unix, dos) = (packed(System::Unix), packed(System::Dos));
        assert_ne!(unix, dos);
        assert_eq!(made_alike(dos), unix);
        assert_eq!(made_alike(unix.clone()), unix);
    }
}
