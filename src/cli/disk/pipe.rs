//! Opening what may be a pipe.

use std::fs::File;
use std::io;
use std::path::Path;

/// Opens a file to read it, with what was read already to find out whether anybody writes to it. For the
/// writer of a pipe is waited a little, and not for ever.
///
/// # Errors
/// When it cannot be opened, or is a pipe to which nobody writes.
pub(super) fn open(path: &Path) -> io::Result<(Vec<u8>, File)> {
    #[cfg(target_os = "linux")]
    if on_linux::is_pipe(path) {
        return on_linux::open(path);
    }
    Ok((Vec::new(), File::open(path)?))
}

#[cfg(target_os = "linux")]
mod on_linux {
    use std::fs::{self, File, OpenOptions};
    use std::io::{self, Read};
    use std::os::unix::fs::{FileTypeExt, OpenOptionsExt};
    use std::path::Path;
    use std::thread;
    use std::time::{Duration, Instant};

    use rustix::fs::{OFlags, fcntl_setfl};

    /// How long a writer may keep waiting.
    const LONGEST: Duration = Duration::from_secs(2);

    /// How often is looked whether it has come.
    const PAUSE: Duration = Duration::from_millis(20);

    pub(super) fn is_pipe(path: &Path) -> bool {
        fs::metadata(path).is_ok_and(|there| there.file_type().is_fifo())
    }

    pub(super) fn open(path: &Path) -> io::Result<(Vec<u8>, File)> {
        let flags = i32::try_from(OFlags::NONBLOCK.bits()).map_err(io::Error::other)?;
        let mut file = OpenOptions::new().read(true).custom_flags(flags).open(path)?;
        let begun = Instant::now();
        let mut byte = [0];
        let read = loop {
            match file.read(&mut byte) {
                Ok(0) if begun.elapsed() < LONGEST => thread::sleep(PAUSE),
                Ok(0) => return Err(io::Error::other("it is a pipe, and nobody writes to it")),
                Ok(_) => break byte.to_vec(),
                // A writer is there, and has written nothing yet.
                Err(error) if error.kind() == io::ErrorKind::WouldBlock => break Vec::new(),
                Err(error) => return Err(error),
            }
        };
        fcntl_setfl(&file, OFlags::empty())?;
        Ok((read, file))
    }
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use std::io::{Read, Write};
    use std::process::Command;
    use std::{fs, thread};

    use super::*;

    #[test]
    fn a_pipe_is_read_when_somebody_writes_and_refused_when_nobody_does() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("class.csv");
        assert!(Command::new("mkfifo").arg(&path).status().unwrap().success());
        let told = open(&path).unwrap_err().to_string();
        assert_eq!(told, "it is a pipe, and nobody writes to it");
        let there = path.clone();
        let writer = thread::spawn(move || {
            let mut pipe = fs::OpenOptions::new().write(true).open(there).unwrap();
            thread::sleep(std::time::Duration::from_millis(50));
            pipe.write_all(b"candidate\n0101\n").unwrap();
        });
        let (mut bytes, mut file) = open(&path).unwrap();
        file.read_to_end(&mut bytes).unwrap();
        assert_eq!(bytes, b"candidate\n0101\n");
        writer.join().unwrap();
    }
}
