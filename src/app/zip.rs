//! The browser's own zlib: packs and unpacks the plan of a link without a byte of program for it.

use js_sys::{Array, Function, Reflect, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, ReadableStream, ReadableStreamDefaultReader, ReadableWritablePair};

/// A stream that packs or unpacks zlib (RFC 1950), by the name of its class; `None` in a browser without it.
fn zlib(class: &str) -> Option<ReadableWritablePair> {
    let global = js_sys::global();
    let class: Function = Reflect::get(&global, &class.into()).ok()?.dyn_into().ok()?;
    let stream = Reflect::construct(&class, &Array::of1(&"deflate".into())).ok()?;
    // It has the two fields of such a pair.
    Some(stream.unchecked_into())
}

/// Packs `bytes`; `None` if the browser cannot.
pub async fn pack(bytes: &[u8]) -> Option<Vec<u8>> {
    let stream = through(bytes, &zlib("CompressionStream")?)?;
    collect(stream, usize::MAX).await.ok()
}

/// Why bytes did not unpack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unpacked {
    /// The browser cannot unpack.
    Unable,
    /// They were cut off or changed.
    Damaged,
    /// They hold more than was allowed.
    TooLarge,
}

/// Unpacks `bytes` to at most `limit` bytes: it stops there, whatever the bytes claim.
pub async fn unpack(bytes: &[u8], limit: usize) -> Result<Vec<u8>, Unpacked> {
    let stream = zlib("DecompressionStream").and_then(|pair| through(bytes, &pair));
    collect(stream.ok_or(Unpacked::Unable)?, limit).await
}

fn through(bytes: &[u8], pair: &ReadableWritablePair) -> Option<ReadableStream> {
    let parts = Array::of1(&Uint8Array::from(bytes));
    let blob = Blob::new_with_u8_array_sequence(&parts).ok()?;
    Some(blob.stream().pipe_through(pair))
}

async fn collect(stream: ReadableStream, limit: usize) -> Result<Vec<u8>, Unpacked> {
    let reader: ReadableStreamDefaultReader = stream
        .get_reader()
        .dyn_into()
        .map_err(|_| Unpacked::Unable)?;
    let mut all = Vec::new();
    loop {
        let piece: JsValue = JsFuture::from(reader.read())
            .await
            .map_err(|_| Unpacked::Damaged)?;
        let get = |name: &str| Reflect::get(&piece, &name.into()).unwrap_or_default();
        if get("done").is_truthy() {
            return Ok(all);
        }
        let bytes = Uint8Array::new(&get("value"));
        if all.len() + bytes.length() as usize > limit {
            let _ = reader.cancel();
            return Err(Unpacked::TooLarge);
        }
        all.extend(bytes.to_vec());
    }
}
