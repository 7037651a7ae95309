//! What may be asked on the command line.

use std::path::PathBuf;

/// Shows a job in three dimensions: the house, the pipes, the red tags and the walk.
#[derive(Debug, Clone, clap::Parser)]
#[command(name = "truefall-view", version)]
pub struct Args {
    /// The job file
    pub job: PathBuf,
    /// Write a picture of every stop and every red tag into this folder, without a window
    #[arg(long, value_name = "DIR", conflicts_with_all = ["shot", "bench_frames"])]
    pub shots: Option<PathBuf>,
    /// Write one picture of the whole to this file, without a window
    #[arg(long, value_name = "FILE", conflicts_with = "bench_frames")]
    pub shot: Option<PathBuf>,
    /// Size of pictures or of the window in pixels
    #[arg(long, value_name = "WxH", default_value = "1280x800", value_parser = size)]
    pub size: (u32, u32),
    /// How far the house is closed: 0 framing, 1 board, 2 tile, 3 finished
    #[arg(long, value_name = "0..3", default_value_t = 0.0, value_parser = cover)]
    pub cover: f32,
    /// Draw so many frames without a window and say how long they took
    #[arg(long, value_name = "N")]
    pub bench_frames: Option<u32>,
    /// With `--bench-frames`: repeat the job side by side up to this many drawn pieces
    #[arg(long, value_name = "PIECES", requires = "bench_frames")]
    pub pieces: Option<usize>,
}

impl Args {
    /// Whether a window is asked for, rather than pictures or figures.
    pub(crate) fn windowed(&self) -> bool {
        self.shots.is_none() && self.shot.is_none() && self.bench_frames.is_none()
    }
}

fn size(text: &str) -> Result<(u32, u32), String> {
    let read = text.split_once('x').and_then(|(w, h)| Some((w.parse().ok()?, h.parse().ok()?)));
    match read {
        Some((w, h)) if (64..=8192).contains(&w) && (64..=8192).contains(&h) => Ok((w, h)),
        _ => Err("write width x height in pixels, each from 64 to 8192, like 1280x800".to_owned()),
    }
}

fn cover(text: &str) -> Result<f32, String> {
    match text.parse::<f32>() {
        Ok(c) if (0.0..=3.0).contains(&c) => Ok(c),
        _ => Err("write a number from 0 to 3".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_is_two_numbers_in_range() {
        assert_eq!(size("640x400"), Ok((640, 400)));
        for bad in ["640", "0x400", "640x", "9000x9000", "-1x100"] {
            assert!(size(bad).is_err(), "{bad}");
        }
    }
}
