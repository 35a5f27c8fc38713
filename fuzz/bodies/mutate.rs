//! Corpus files bent out of shape, the same way each time: a stand-in for the fuzzing engine where only stable Rust is at
//! hand. It does not watch what the code does; it only keeps the targets and their corpus alive.

use std::path::{Path, PathBuf};

/// A corpus file.
pub struct Seed {
    /// Its file name.
    pub name: String,
    /// What it holds.
    pub bytes: Vec<u8>,
}

/// The files of a corpus folder, by name. Panics when there is none: a smoke test over nothing proves nothing.
pub fn corpus(folder: &Path) -> Vec<Seed> {
    let listing = std::fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let mut paths: Vec<PathBuf> = listing
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .collect();
    paths.sort();
    let seeds: Vec<Seed> = paths
        .into_iter()
        .filter(|path| path.is_file())
        .map(|path| Seed {
            name: path
                .file_name()
                .map(|name| name.to_string_lossy().into_owned())
                .unwrap_or_default(),
            bytes: std::fs::read(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display())),
        })
        .collect();
    assert!(!seeds.is_empty(), "{} holds no corpus", folder.display());
    seeds
}

/// A stream of numbers that is the same for the same seed (splitmix64, Steele, Lea and Flood, OOPSLA 2014).
pub struct Dice {
    state: u64,
}

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    fn roll(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number below `limit`; 0 when the limit is.
    fn below(&mut self, limit: usize) -> usize {
        let limit = limit.max(1) as u64;
        usize::try_from(self.roll() % limit).unwrap_or(0)
    }
}

/// One to six small changes to one seed. `words` are pieces that mean something to what reads it.
pub fn mutate(seeds: &[Seed], words: &[&str], dice: &mut Dice) -> Vec<u8> {
    let mut bytes = seeds[dice.below(seeds.len())].bytes.clone();
    for _ in 0..=dice.below(6) {
        let at = dice.below(bytes.len() + 1);
        let end = (at + 1 + dice.below(8)).min(bytes.len());
        match dice.below(6) {
            0 => bytes
                .splice(at..at, words[dice.below(words.len())].bytes())
                .for_each(drop),
            1 => bytes.drain(at.min(end)..end).for_each(drop),
            2 => {
                let piece = bytes[at.min(end)..end].to_vec();
                bytes.splice(at..at, piece).for_each(drop);
            }
            3 => {
                let other = &seeds[dice.below(seeds.len())].bytes;
                let from = dice.below(other.len() + 1);
                bytes.truncate(at);
                bytes.extend_from_slice(&other[from..]);
            }
            4 => {
                if let Some(byte) = bytes.get_mut(at) {
                    *byte = b' ' + u8::try_from(dice.below(95)).unwrap_or(0);
                }
            }
            _ => {
                if let Some(byte) = bytes.get_mut(at) {
                    *byte ^= 1 << dice.below(8);
                }
            }
        }
    }
    // Mostly text, so that more than the first check is reached; the raw bytes at times.
    if dice.below(8) == 0 {
        bytes
    } else {
        String::from_utf8_lossy(&bytes).into_owned().into_bytes()
    }
}
