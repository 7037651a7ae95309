//! `truefall codes [PROFILE]`.

use super::check::look;
use crate::args::Codes;
use crate::exit_status::ExitStatus;
use crate::output::{result, talk};
use truefall_check::Profile;
use truefall_model::document::nearest;
use truefall_packet::{code, codes};

/// The figures of a profile, or the list of profiles.
pub fn run(args: &Codes) -> ExitStatus {
    let Some(name) = &args.profile else { return result(&codes(look(false)), ExitStatus::Fine) };
    match Profile::builtin(name) {
        Some(profile) => result(&code(&profile, look(false)), ExitStatus::Fine),
        None => {
            let near = nearest(name, &Profile::names())
                .map(|near| format!("; did you mean `{near}`?"))
                .unwrap_or_default();
            talk(&format!("there is no code profile `{name}`{near} (`truefall codes` lists them all)"));
            ExitStatus::Unusable
        }
    }
}
