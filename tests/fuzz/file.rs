//! Any bytes as a plan file: read or refused in words; what is read comes back to the letter, and mends for good.
#![no_main]

use libfuzzer_sys::fuzz_target;
use loomwright::plan::{file, mend};

fuzz_target!(|bytes: &[u8]| {
    match file::read(bytes) {
        Err(error) => assert!(error.to_string().len() > 20),
        Ok(plan) => {
            let text = file::write(&plan);
            let again = file::read(text.as_bytes()).expect("what was written reads");
            assert!(again == plan && file::write(&again) == text);
            assert!(file::read(file::write_small(&plan).as_bytes()).as_ref() == Ok(&plan));
            let (mended, _) = mend(&plan);
            let (twice, told) = mend(&mended);
            assert!(told.is_empty() && twice == mended, "{told:?}");
            let name = file::name(&plan.title, file::EXTENSION);
            assert!(name.len() > file::EXTENSION.len() + 1 && !name.contains(['/', '\\', ':', '\0']));
        }
    }
});
