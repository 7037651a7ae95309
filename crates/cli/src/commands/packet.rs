//! `truefall packet FILE -o DIR`.

use super::cuts::stock;
use super::swap::swap_in;
use super::{catalog, job};
use crate::args::Packet;
use crate::exit_status::ExitStatus;
use crate::fault_report;
use crate::output::{result, talk};
use std::fs;
use std::path::{Path, PathBuf};
use truefall_model::job::Placement;
use truefall_model::units::Fineness;
use truefall_packet::drawing::Subject;
use truefall_packet::packet::packet;
use truefall_packet::page::picture::Picture;
use truefall_packet::say::Say;
use truefall_packet::{Asked, Plans, examine_with};

/// Makes the packet of one job and puts it where it is asked for.
pub fn run(args: &Packet) -> ExitStatus {
    let Some(options) = stock(&args.stock) else { return ExitStatus::Unusable };
    let catalog = catalog::load(args.catalog.as_deref());
    let file = job::load(&args.file);
    let pictures = pictures(args.pictures.as_deref());
    let (Some(catalog), Some(file), Some(pictures)) = (catalog, file, pictures) else {
        return ExitStatus::Unusable;
    };
    let asked = Asked { placements: &[Placement::Drawn, Placement::Found], passes: true, fixes: args.fixes };
    let mut examined = match examine_with(&file.job, &catalog, &asked) {
        Ok(examined) => examined,
        Err(faults) => {
            fault_report::show(&file.faults(&faults));
            return ExitStatus::Unusable;
        }
    };
    // The findings leave as `check` prints them, without what passes.
    examined.report.passes = None;
    let fineness = if args.eighths { Fineness::Eighth } else { Fineness::Sixteenth };
    let subject = Subject::of(&file.job, &examined, &catalog, Say { fineness, metric: args.metric });
    let plans = match Plans::of(&subject, options) {
        Ok(plans) => plans,
        Err(faults) => {
            fault_report::show(&file.faults(&faults));
            return ExitStatus::Unusable;
        }
    };
    let files = match packet(&subject, &plans, &pictures) {
        Ok(files) => files,
        Err(why) => {
            talk(&format!("the findings can't be written as JSON: {why}"));
            return ExitStatus::Unusable;
        }
    };
    if let Err(why) = swap_in(&args.output, &files) {
        talk(&why);
        return ExitStatus::Unusable;
    }
    let size: usize = files.iter().map(|f| f.bytes.len()).sum();
    let red = examined.report.counts.red_tag;
    let told = format!("{}: {} files, {} KiB\n", args.output.display(), files.len(), size.div_ceil(1024));
    result(&told, if red > 0 { ExitStatus::RedTags } else { ExitStatus::Fine })
}

/// Pictures of a folder by name; what is neither PNG nor JPEG is told and left out.
fn pictures(folder: Option<&Path>) -> Option<Vec<Picture>> {
    let Some(folder) = folder else { return Some(Vec::new()) };
    let read = || -> std::io::Result<Vec<(String, Vec<u8>)>> {
        let mut paths: Vec<PathBuf> =
            fs::read_dir(folder)?.map(|e| e.map(|e| e.path())).collect::<Result<_, _>>()?;
        paths.retain(|p| p.is_file());
        paths.sort();
        paths
            .iter()
            .map(|p| Ok((p.file_stem().unwrap_or_default().to_string_lossy().into_owned(), fs::read(p)?)))
            .collect()
    };
    match read() {
        Ok(files) => Some(
            files
                .into_iter()
                .filter_map(|(name, bytes)| {
                    let picture = Picture::of(&name, bytes);
                    if picture.is_none() {
                        talk(&format!(
                            "{name} in {} is neither PNG nor JPEG and is left out",
                            folder.display()
                        ));
                    }
                    picture
                })
                .collect(),
        ),
        Err(why) => {
            talk(&format!("{} can't be read: {why}", folder.display()));
            None
        }
    }
}
