//! A share of many files, for several machines that judge them together.

use std::path::Path;
use std::str::FromStr;

use super::digest::start_of_digest;

/// The `number`th of so many shares, from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shard {
    number: u64,
    of: u64,
}

impl Shard {
    /// Whether a file is in this share. Its path alone decides, so that another file moves none.
    pub fn holds(self, path: &Path) -> bool {
        let words = path.to_string_lossy().replace('\\', "/");
        let number = start_of_digest(words.trim_start_matches("./").as_bytes());
        number % self.of == self.number - 1
    }
}

impl FromStr for Shard {
    type Err = String;

    fn from_str(words: &str) -> Result<Self, String> {
        let numbers = words.split_once('/');
        let numbers = numbers.and_then(|(number, of)| {
            let number: u64 = number.trim().parse().ok()?;
            let of: u64 = of.trim().parse().ok()?;
            (1..=of).contains(&number).then_some(Self { number, of })
        });
        numbers.ok_or_else(|| format!("`{words}` is no share; write it as in 1/4, from 1/4 to 4/4"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_file_is_in_one_share() {
        let files: Vec<String> = (0..1000).map(|n| format!("books/{n}/horn.abc")).collect();
        for of in [1, 2, 3, 7] {
            let shares: Vec<Shard> = (1..=of).map(|number| Shard { number, of }).collect();
            let mut held = vec![0; shares.len()];
            for file in &files {
                let path = Path::new(file);
                let mine: Vec<usize> = (0..shares.len())
                    .filter(|at| shares[*at].holds(path))
                    .collect();
                assert_eq!(mine.len(), 1, "{file} of {of}");
                held[mine[0]] += 1;
            }
            println!("{of} shares of 1000 files: {held:?}");
            let fair = files.len() / shares.len();
            assert!(held.iter().all(|held| held * 2 > fair), "{held:?}");
        }
        // A path says the same however it begins.
        let shard = Shard { number: 1, of: 3 };
        assert_eq!(
            shard.holds(Path::new("./a.abc")),
            shard.holds(Path::new("a.abc"))
        );
    }

    #[test]
    fn what_is_no_share_is_said() {
        for words in ["", "1", "0/4", "5/4", "1/0", "a/b", "-1/4", "1/2/3"] {
            assert!(words.parse::<Shard>().is_err(), "{words}");
        }
        assert_eq!("2/3".parse(), Ok(Shard { number: 2, of: 3 }));
    }
}
