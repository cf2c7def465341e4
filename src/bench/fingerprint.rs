//! The fingerprint of a file.

use sha2::{Digest, Sha256};

/// SHA-256 in hexadecimal.
pub fn fingerprint(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::fingerprint;

    #[test]
    fn the_fingerprint_is_that_of_the_standard() {
        // FIPS 180-4, example of one block.
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(fingerprint(b"abc"), abc);
    }
}
