//! Digests: of files as manifests have them, and of everything a piece of work depends on.

use serde::{Serialize, Serializer};
use sha2::{Digest as _, Sha256};
use std::fmt;
use std::str::FromStr;

/// A SHA-256 (FIPS 180-4); as text, and in JSON, in lower-case hexadecimal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Digest([u8; 32]);

impl Digest {
    /// That of parts, each with its length before it.
    pub(super) fn of_parts<P: AsRef<[u8]>>(parts: impl IntoIterator<Item = P>) -> Self {
        let mut mark = Hash::new();
        for part in parts {
            let part = part.as_ref();
            mark.add(&(part.len() as u64).to_le_bytes());
            mark.add(part);
        }
        mark.finish()
    }

    /// That of bytes, as manifests have it of files.
    pub(super) fn of(bytes: &[u8]) -> Self {
        let mut mark = Hash::new();
        mark.add(bytes);
        mark.finish()
    }

    /// Half of it: enough that no two are alike by chance.
    pub(super) fn half(self) -> u128 {
        u128::from_be_bytes(std::array::from_fn(|at| self.0[at]))
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(out, "{byte:02x}"))
    }
}

/// Not the text of a digest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NoDigest;

impl fmt::Display for NoDigest {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("64 digits from 0 to f are expected")
    }
}

impl FromStr for Digest {
    type Err = NoDigest;

    fn from_str(text: &str) -> Result<Self, NoDigest> {
        let digit = |byte: u8| match byte {
            b'0'..=b'9' => Ok(byte - b'0'),
            b'a'..=b'f' => Ok(byte - b'a' + 10),
            _ => Err(NoDigest),
        };
        let (pairs, rest) = text.as_bytes().as_chunks::<2>();
        if pairs.len() != 32 || !rest.is_empty() {
            return Err(NoDigest);
        }
        let mut digest = [0; 32];
        for (byte, [high, low]) in digest.iter_mut().zip(pairs) {
            *byte = digit(*high)? << 4 | digit(*low)?;
        }
        Ok(Self(digest))
    }
}

impl Serialize for Digest {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        out.collect_str(self)
    }
}

/// The digest of bytes that come in pieces.
pub(super) struct Hash(Sha256);

impl Hash {
    pub(super) fn new() -> Self {
        Self(Sha256::new())
    }

    pub(super) fn add(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    pub(super) fn finish(self) -> Digest {
        Digest(self.0.finalize().into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4, the example of `abc`.
    #[test]
    fn a_digest_is_read_as_it_is_written() {
        let text = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        let digest = Digest::of(b"abc");
        assert_eq!(digest.to_string(), text);
        assert_eq!(text.parse(), Ok(digest));
        let others = [
            text.trim_start_matches('b'),
            &format!("{text}0"),
            &text.to_uppercase(),
            &text.replace('b', "g"),
        ];
        for other in others {
            assert_eq!(other.parse::<Digest>(), Err(NoDigest), "{other}");
        }
    }
}
