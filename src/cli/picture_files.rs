//! The files that a picture is written to: `--svg`, `--png`.

use super::{Failure, load};
use crate::bench::write_file::{Existing, write_file};
use crate::picture::Size;
use crate::picture::png::png;
use crate::site::guard;
use crate::site::mark::{self, Version};
use clap::Args;
use std::path::{Path, PathBuf};

/// Pixels of a PNG file for each CSS pixel of the picture, so that it is sharp in print.
const PNG_RATIO: u8 = 2;

#[derive(Debug, Args)]
#[command(next_help_heading = "The picture")]
pub(super) struct PictureFiles {
    /// Write the picture to this SVG file
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// Write the picture to this PNG file, two pixels for each of its width
    #[arg(long, value_name = "FILE")]
    png: Option<PathBuf>,
    /// Width of the picture in pixels, from 320 to 4000; words keep their size
    #[arg(long, value_name = "PX", default_value_t = 960, value_parser = clap::value_parser!(u16).range(320..=4000))]
    width: u16,
    /// Replace a file even if this program did not write it, or it was changed since
    #[arg(long)]
    force: bool,
}

/// A file to be written.
struct NewFile<'a> {
    path: &'a Path,
    /// The bytes of the file that it replaces, if there is one.
    old: Option<Vec<u8>>,
    bytes: Vec<u8>,
}

impl PictureFiles {
    /// Whether a picture is asked for.
    pub fn any(&self) -> bool {
        self.svg.is_some() || self.png.is_some()
    }

    /// The size of the picture.
    pub fn size(&self) -> Size {
        Size {
            width_px: self.width.into(),
            ..Size::WHOLE
        }
    }

    /// Writes the picture of `data` to its files, each as a whole or not at all. What the data are read
    /// from is never replaced.
    pub fn write(&self, svg: &str, data: Option<&Path>) -> Result<(), Failure> {
        self.apart()?;
        for (option, file) in [("--svg", &self.svg), ("--png", &self.png)] {
            if let Some(file) = file {
                load::not_among_logs(data, option, file)?;
            }
        }
        let inputs = &data.map(load::inputs).unwrap_or_default();
        let version = Version::of_program();
        let mut files = Vec::new();
        if let Some(path) = &self.svg {
            files.push(NewFile {
                path,
                old: guard::file(path, inputs, self.force)?,
                bytes: mark::sealed(mark::svg(&version, svg).into_bytes()),
            });
        }
        if let Some(path) = &self.png {
            let old = guard::file(path, inputs, self.force)?;
            let painted = png(svg, PNG_RATIO)
                .map_err(|error| Failure::Misuse(format!("cannot paint the picture: {error}")))?;
            files.push(NewFile {
                path,
                old,
                bytes: mark::sealed(mark::png(&version, &painted)),
            });
        }
        for NewFile { path, old, bytes } in &files {
            let existing = old.as_deref().map_or(Existing::Nothing, Existing::Bytes);
            write_file(path, bytes, existing).map_err(Failure::Misuse)?;
        }
        Ok(())
    }

    /// Refuses one file for both kinds, of which one would be lost.
    fn apart(&self) -> Result<(), Failure> {
        let location = |file: &Path| {
            let file = std::path::absolute(file).ok()?;
            let folder = file.parent()?.canonicalize().ok()?;
            Some(folder.join(file.file_name()?))
        };
        let [svg, png] = [&self.svg, &self.png].map(|file| location(file.as_deref()?));
        match (svg, png) {
            (Some(svg), Some(png)) if svg == png => Err(Failure::Misuse(format!(
                "--svg and --png name one file, {}: give each its own",
                png.display()
            ))),
            _ => Ok(()),
        }
    }

    /// Where the picture was written to, in a sentence.
    pub fn written(&self) -> String {
        let files = [&self.svg, &self.png].into_iter().flatten();
        let files: Vec<String> = files.map(|file| file.display().to_string()).collect();
        format!("Written to {}.", files.join(" and "))
    }
}
