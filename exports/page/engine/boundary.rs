//! The boundary between a browser and the library: texts in UTF-8 go in and out through the module's
//! memory. Nothing is imported from the host.
//!
//! This is the only place of the project with unsafe code. It relies on the caller for one thing: a
//! pointer and a length that it hands in are those of memory that [`alloc`] gave it.

use std::cell::RefCell;

use castmark::page::{Page, VERSION};

thread_local! {
    /// The page that was opened; there is one thread.
    static PAGE: RefCell<Option<Page>> = const { RefCell::new(None) };
}

/// The answer to a request before a page was opened.
const CLOSED: &str = "expected a page that was opened, found none; load the page again";

/// Gives memory for a text of so many bytes.
#[unsafe(no_mangle)]
pub extern "C" fn alloc(length: usize) -> *mut u8 {
    let text: Box<[u8]> = vec![0; length].into_boxed_slice();
    Box::into_raw(text).cast()
}

/// Takes memory back that [`alloc`], [`open`] or [`reply`] gave.
///
/// # Safety
/// Pointer and length are those of memory that was given and not taken back.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn free(pointer: *mut u8, length: usize) {
    drop(unsafe { taken(pointer, length) });
}

/// Opens the page whose contents the text holds.
///
/// # Safety
/// As for [`free`].
#[unsafe(no_mangle)]
pub unsafe extern "C" fn open(pointer: *const u8, length: usize) -> *mut u8 {
    let contents = unsafe { lent(pointer, length) };
    let opened = Page::open(&String::from_utf8_lossy(contents));
    let (page, reply) = match opened {
        Ok(page) => (
            Some(page),
            format!("{{\"version\":{VERSION},\"reply\":\"open\",\"with\":{{}}}}"),
        ),
        Err(fault) => (None, fault.reply()),
    };
    PAGE.with(|there| *there.borrow_mut() = page);
    given(reply)
}

/// Answers the request in the text.
///
/// # Safety
/// As for [`free`].
#[unsafe(no_mangle)]
pub unsafe extern "C" fn reply(pointer: *const u8, length: usize) -> *mut u8 {
    let request = unsafe { lent(pointer, length) };
    let request = String::from_utf8_lossy(request);
    let reply = PAGE.with(|there| match &*there.borrow() {
        Some(page) => page.reply(&request),
        None => format!(
            "{{\"version\":{VERSION},\"error\":{{\"kind\":\"failed\",\"text\":\"{CLOSED}\"}}}}"
        ),
    });
    given(reply)
}

/// The bytes in memory that the caller keeps.
unsafe fn lent<'a>(pointer: *const u8, length: usize) -> &'a [u8] {
    // SAFETY: the memory is as long, was filled with zeros when it was made, and the caller waits.
    unsafe { std::slice::from_raw_parts(pointer, length) }
}

/// Takes memory back as the bytes in it.
unsafe fn taken(pointer: *mut u8, length: usize) -> Box<[u8]> {
    // SAFETY: the memory was made by `into_raw` of a boxed slice of that length, and nobody else has it.
    unsafe { Box::from_raw(std::ptr::slice_from_raw_parts_mut(pointer, length)) }
}

/// Gives a text with its length before it, in four bytes, the lowest first.
fn given(text: String) -> *mut u8 {
    let length = u32::try_from(text.len()).unwrap_or(u32::MAX).to_le_bytes();
    let bytes: Vec<u8> = length.into_iter().chain(text.into_bytes()).collect();
    Box::into_raw(bytes.into_boxed_slice()).cast()
}
