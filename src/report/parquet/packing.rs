//! Keys in as few bits as they need: runs of equal ones by their length, all others bit by bit, eight at a time.

use polars_parquet::parquet::encoding::hybrid_rle::encode;

/// Keys of a run that is written by its length, at least.
const RUN: usize = 16;
/// Keys that are packed at a time.
const EIGHT: usize = 8;
/// The most bits of a key, of which eight fit the widest number.
const BITS: u32 = 16;

/// Appends keys of so many bits each. What the library does with any number of bits is done here at once for the usual ones.
pub fn pack(keys: &[u32], bits: u32, out: &mut Vec<u8>) -> std::io::Result<()> {
    if bits > BITS {
        return encode::<u32, _, _>(out, keys.iter().copied(), bits);
    }
    let (mut from, mut at) = (0, 0);
    while at < keys.len() {
        let run = run(&keys[at..]);
        if run < RUN {
            at += EIGHT.min(keys.len() - at);
            continue;
        }
        pack_each(&keys[from..at], bits, out);
        pack_run(keys[at], run, bits, out);
        at += run;
        from = at;
    }
    pack_each(&keys[from..], bits, out);
    Ok(())
}

/// Appends one key of so many bits, so many times.
pub fn pack_run(key: u32, times: usize, bits: u32, out: &mut Vec<u8>) {
    push_length((times as u64) << 1, out);
    out.extend_from_slice(&key.to_le_bytes()[..bits.div_ceil(8) as usize]);
}

/// How many keys from the first on are equal; 0 where they are fewer than [`RUN`].
fn run(keys: &[u32]) -> usize {
    match keys.first_chunk::<RUN>() {
        Some(first) if first.iter().all(|key| *key == first[0]) => {
            RUN + keys[RUN..].iter().take_while(|key| **key == first[0]).count()
        }
        _ => 0,
    }
}

/// Each key by itself, the last eight filled up with zeros.
fn pack_each(keys: &[u32], bits: u32, out: &mut Vec<u8>) {
    if keys.is_empty() {
        return;
    }
    let groups = keys.len().div_ceil(EIGHT);
    push_length((groups as u64) << 1 | 1, out);
    let (start, size) = (out.len(), bits as usize);
    // Every eight are written in full width, and the next over what was too much.
    out.resize(start + groups * size + size_of::<u128>(), 0);
    for (i, keys) in keys.chunks(EIGHT).enumerate() {
        let mut eight = [0; EIGHT];
        eight[..keys.len()].copy_from_slice(keys);
        let at = start + i * size;
        out[at..at + size_of::<u128>()].copy_from_slice(&packed(&eight, bits).to_le_bytes());
    }
    out.truncate(start + groups * size);
}

/// Eight keys one above the other, the first in the lowest bits.
fn packed(keys: &[u32; EIGHT], bits: u32) -> u128 {
    let four = |keys: &[u32]| keys.iter().rev().fold(0, |sum: u64, key| sum << bits | u64::from(*key));
    u128::from(four(&keys[..4])) | u128::from(four(&keys[4..])) << (4 * bits)
}

/// A length in groups of seven bits, the lowest first.
fn push_length(mut length: u64, out: &mut Vec<u8>) {
    while length >= 0x80 {
        out.push(length as u8 | 0x80);
        length >>= 7;
    }
    out.push(length as u8);
}

#[cfg(test)]
mod tests {
    use super::*;
    use polars_parquet::parquet::encoding::hybrid_rle::HybridRleDecoder;

    /// Read back by the library, whatever the runs and the bits.
    #[test]
    fn keys_are_read_back() {
        let mut random = fastrand::Rng::with_seed(7);
        for bits in 0..=20 {
            for _ in 0..200 {
                let mut keys = Vec::new();
                for _ in 0..random.usize(..12) {
                    let key = random.u32(..) & ((1 << bits) - 1);
                    match random.bool() {
                        true => keys.extend(std::iter::repeat_n(key, random.usize(..40))),
                        false => keys.extend((0..random.usize(..40)).map(|_| random.u32(..) & ((1 << bits) - 1))),
                    }
                }
                let mut out = Vec::new();
                pack(&keys, bits, &mut out).unwrap();
                let read = HybridRleDecoder::new(&out, bits, keys.len()).collect().unwrap();
                assert_eq!(read, keys, "{bits} bits");
            }
        }
    }
}
