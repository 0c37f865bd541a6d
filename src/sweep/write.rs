//! To a file or a folder: whole rows, or nothing.

use std::fs::{self, File};
use std::io::{BufWriter, ErrorKind, Write as _};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use rayon::iter::{IntoParallelIterator, ParallelIterator};

use super::rows::Chunk;
use super::tally::Tally;
use super::{Asked, PART_ROWS, Sweep};
use crate::file::{BESIDE, Beside};

/// What rows are written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// One file of CSV.
    Csv,
    /// A folder of parts of Parquet.
    Parquet,
}

/// How a sweep is run.
#[derive(Default)]
pub struct Options<'a> {
    /// Threads; as many as there are processors where it is zero.
    pub threads: usize,
    /// Goes on with a folder of parts.
    pub resume: bool,
    /// Once it is true the sweep ends.
    pub stop: Option<&'a AtomicBool>,
    /// Is told how many rows are solved, from time to time.
    pub progress: Option<&'a (dyn Fn(u64) + Sync)>,
}

impl Options<'_> {
    /// Its threads.
    pub(super) fn pool(&self) -> Result<rayon::ThreadPool, SweepError> {
        let threads = self.threads;
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
        pool.build().map_err(|_| SweepError::Threads { threads })
    }

    /// Whether it was told to end.
    pub(super) fn stopped(&self) -> bool {
        self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed))
    }
}

/// A sweep that is done.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Written {
    /// What all rows come to.
    pub tally: Tally,
    /// Files of parts; one of CSV.
    pub parts: u64,
    /// Parts that were there from a run before.
    pub resumed_parts: u64,
}

/// Why there is no file.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SweepError {
    /// A file that cannot be written.
    #[error("{}: cannot be written ({kind})", path.display())]
    Write {
        /// The file or folder.
        path: PathBuf,
        /// Why.
        kind: ErrorKind,
    },
    /// A file where a folder is to be.
    #[error("{}: this is a file; parts of Parquet go into a folder of their own", path.display())]
    NoFolder {
        /// The file.
        path: PathBuf,
    },
    /// A folder or a device where a file is to be.
    #[error("{}: this is not a file; name a file for CSV", path.display())]
    NoFile {
        /// What is there.
        path: PathBuf,
    },
    /// A folder with something in it.
    #[error("{}: this folder is not empty; name another, or go on with the same sweep by --resume", path.display())]
    NotEmpty {
        /// The folder.
        path: PathBuf,
    },
    /// Parts of another sweep.
    #[error("{}: the parts in this folder are of another sweep (other values, options or version): name another folder", path.display())]
    Another {
        /// The folder.
        path: PathBuf,
    },
    /// The Parquet library refuses.
    #[error("{}: cannot be written as Parquet ({message})", path.display())]
    Parquet {
        /// The part.
        path: PathBuf,
        /// Its words.
        message: String,
    },
    /// So many threads are not to be had.
    #[error("{threads} threads are not to be had; ask for fewer")]
    Threads {
        /// Threads asked for.
        threads: usize,
    },
    /// It was told to end.
    #[error("interrupted: {}", kept(*parts, *rows))]
    Interrupted {
        /// Parts of Parquet that are whole; none of CSV.
        parts: Option<u64>,
        /// Rows in them.
        rows: u64,
    },
}

fn kept(parts: Option<u64>, rows: u64) -> String {
    match parts {
        None => "no file is written".to_owned(),
        Some(parts) => format!(
            "{rows} rows are written, in {parts} whole parts; the same command with --resume goes on from there"
        ),
    }
}

/// File beside the parts that says which sweep they are of. Readers of folders of Parquet pass over names that start so.
const MANIFEST: &str = "_sweep.json";

fn failed(path: &Path) -> impl Fn(std::io::Error) -> SweepError + '_ {
    |error| SweepError::Write {
        path: path.to_owned(),
        kind: error.kind(),
    }
}

impl Sweep {
    /// Solves every row, and writes it.
    ///
    /// CSV goes to a file beside the place first, and takes the place of a file that is there once it is whole. Parquet goes part
    /// by part into a folder, which must be empty or new, or have parts of the same sweep to go on from.
    ///
    /// # Errors
    /// [`SweepError`]; then there is no file, or there are whole parts alone.
    pub fn write(
        &self,
        path: &Path,
        format: Format,
        options: &Options,
    ) -> Result<Written, SweepError> {
        options.pool()?.install(|| match format {
            Format::Csv => self.to_csv(path, options),
            Format::Parquet => self.to_parquet(path, options),
        })
    }

    fn to_csv(&self, path: &Path, options: &Options) -> Result<Written, SweepError> {
        // A folder, a device or a pipe takes no file in its place.
        if fs::metadata(path).is_ok_and(|there| !there.is_file()) {
            let path = path.to_owned();
            return Err(SweepError::NoFile { path });
        }
        let (mut file, beside) = Beside::create(path).map_err(failed(path))?;
        let put =
            |file: &mut BufWriter<File>, bytes: &[u8]| file.write_all(bytes).map_err(failed(path));
        put(&mut file, self.csv_head().as_bytes())?;
        let parts = self.rows.div_ceil(PART_ROWS);
        let tally = self.stream(
            0..parts,
            options,
            &|chunk| self.csv(chunk),
            &mut |_, chunks: Vec<Vec<u8>>| {
                chunks.iter().try_for_each(|chunk| put(&mut file, chunk))
            },
        )?;
        let tally = tally.ok_or(SweepError::Interrupted {
            parts: None,
            rows: 0,
        })?;
        file.into_inner()
            .map_err(|error| failed(path)(error.into_error()))?;
        beside.take_place().map_err(failed(path))?;
        Ok(Written {
            tally,
            parts: 1,
            resumed_parts: 0,
        })
    }

    fn to_parquet(&self, folder: &Path, options: &Options) -> Result<Written, SweepError> {
        self.open_folder(folder, options.resume)?;
        let parts = self.rows.div_ceil(PART_ROWS);
        let digits = 5.max((parts - 1).to_string().len());
        let place = |part: u64| folder.join(format!("part-{part:0digits$}.parquet"));
        let mut whole = Tally::default();
        let mut missing = Vec::new();
        for part in 0..parts {
            match self.part_there(part, &place(part)) {
                Some(tally) => whole.and(&tally),
                None => missing.push(part),
            }
        }
        let resumed_parts = parts - missing.len() as u64;
        let resumed_rows = whole.rows();
        let (mut written, mut rows) = (0, 0);
        let found = self.stream(
            missing,
            options,
            &|chunk| self.columns_of(chunk),
            &mut |part, chunks| {
                let place = place(part);
                let beside = Beside::of(&place);
                self.parquet(&beside.place, &chunks)
                    .map_err(|error| SweepError::Parquet {
                        path: place.clone(),
                        message: error.to_string(),
                    })?;
                beside.take_place().map_err(failed(&place))?;
                written += 1;
                rows += (self.rows - part * PART_ROWS).min(PART_ROWS);
                Ok(())
            },
        )?;
        let Some(found) = found else {
            return Err(SweepError::Interrupted {
                parts: Some(resumed_parts + written),
                rows: resumed_rows + rows,
            });
        };
        whole.and(&found);
        Ok(Written {
            tally: whole,
            parts,
            resumed_parts,
        })
    }

    /// Makes the folder, or sees that it is of this sweep; parts that were not whole go.
    fn open_folder(&self, folder: &Path, resume: bool) -> Result<(), SweepError> {
        let path = folder.to_owned();
        if folder.is_file() {
            return Err(SweepError::NoFolder { path });
        }
        let manifest = folder.join(MANIFEST);
        let due = self.manifest();
        if folder.is_dir() {
            let all: Vec<_> = fs::read_dir(folder).map_err(failed(folder))?.collect();
            if !all.is_empty() {
                if !resume {
                    return Err(SweepError::NotEmpty { path });
                }
                if fs::read_to_string(&manifest).ok().as_deref() != Some(&due) {
                    return Err(SweepError::Another { path });
                }
                for entry in all.into_iter().flatten() {
                    if entry.file_name().to_string_lossy().ends_with(BESIDE) {
                        fs::remove_file(entry.path()).map_err(failed(&entry.path()))?;
                    }
                }
                return Ok(());
            }
        } else {
            fs::create_dir(folder).map_err(failed(folder))?;
        }
        let (mut file, beside) = Beside::create(&manifest).map_err(failed(&manifest))?;
        let written = file.write_all(due.as_bytes()).and_then(|()| file.flush());
        written
            .and_then(|()| beside.take_place())
            .map_err(failed(&manifest))
    }

    /// What says which sweep a folder is of.
    fn manifest(&self) -> String {
        let keys: serde_json::Map<_, _> = self
            .axes
            .iter()
            .map(|axis| (axis.key().to_owned(), axis.text().into()))
            .collect();
        let manifest = serde_json::json!({
            "made_by": concat!("risewater ", env!("CARGO_PKG_VERSION")),
            "fingerprint": self.fingerprint(),
            "keys": keys,
            "rows": self.rows,
            "rows_per_part": PART_ROWS,
            "parts": self.rows.div_ceil(PART_ROWS),
            "columns": self.columns(),
        });
        format!("{manifest:#}\n")
    }

    /// Solves parts, a chunk a task, and writes each while the next is solved; none where it was told to end.
    fn stream<C: Send>(
        &self,
        parts: impl IntoIterator<Item = u64>,
        options: &Options,
        encode: &(impl Fn(&Chunk) -> C + Sync),
        write: &mut (impl FnMut(u64, Vec<C>) -> Result<(), SweepError> + Send),
    ) -> Result<Option<Tally>, SweepError> {
        let solved = AtomicU64::new(0);
        let solve = |part: u64| -> Option<(u64, Vec<C>, Tally)> {
            let solve = |number: u64| {
                let chunk = self.chunk(number, Asked::Flow, options);
                if options.stopped() {
                    return None;
                }
                let encoded = encode(&chunk);
                let rows = chunk.rows.len() as u64;
                let so_far = solved.fetch_add(rows, Ordering::Relaxed) + rows;
                if let Some(progress) = options.progress {
                    progress(so_far);
                }
                Some((encoded, chunk.tally))
            };
            let chunks: Option<Vec<_>> = self.chunks(part).into_par_iter().map(solve).collect();
            let (mut tally, mut all) = (Tally::default(), Vec::new());
            for (encoded, own) in chunks? {
                tally.and(&own);
                all.push(encoded);
            }
            Some((part, all, tally))
        };
        let mut whole = Tally::default();
        let mut before = None;
        for part in parts {
            let (written, next) = rayon::join(
                || {
                    before
                        .take()
                        .map_or(Ok(()), |(part, chunks)| write(part, chunks))
                },
                || solve(part),
            );
            written?;
            let Some((part, chunks, tally)) = next else {
                return Ok(None);
            };
            whole.and(&tally);
            before = Some((part, chunks));
        }
        if let Some((part, chunks)) = before {
            write(part, chunks)?;
        }
        Ok(Some(whole))
    }
}
