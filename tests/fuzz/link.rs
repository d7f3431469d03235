//! Any text as the fragment of a link, and any bytes made into one.
#![no_main]

use libfuzzer_sys::fuzz_target;
use loomwright::plan::file;
use loomwright::share;
use miniz_oxide::inflate::decompress_to_vec_zlib_with_limit;

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    for fragment in [text.to_string(), format!("#plan={text}"), format!("n={text}")] {
        let Some(Ok(packed)) = share::packed(&fragment) else { continue };
        if let Ok(unpacked) = decompress_to_vec_zlib_with_limit(&packed, file::MAX_BYTES) {
            match share::unpacked(&unpacked) {
                Ok(plan) => assert!(file::read(file::write(&plan).as_bytes()).as_ref() == Ok(&plan)),
                Err(error) => assert!(error.to_string().len() > 20),
            }
        }
    }
    if let Ok(link) = share::link("https://a.example/page", bytes) {
        let fragment = link.split_once('#').expect("a fragment").1;
        assert!(share::packed(fragment) == Some(Ok(bytes.to_vec())));
    }
    let _ = share::qr("https://a.example/page", bytes);
});
