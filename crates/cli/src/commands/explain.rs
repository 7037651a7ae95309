//! `truefall explain [RULE]`.

use crate::args::Explain;
use crate::exit_status::ExitStatus;
use crate::output::{result, talk};
use truefall_check::{Profile, explain, rules};
use truefall_model::document::nearest;

/// The page of a rule, or the list of all.
pub fn run(args: &Explain) -> ExitStatus {
    let Some(rule) = &args.rule else { return result(&list(), ExitStatus::Fine) };
    let profiles: Vec<Profile> = Profile::names().into_iter().filter_map(Profile::builtin).collect();
    match explain(rule, &profiles) {
        Some(page) => result(&page, ExitStatus::Fine),
        None => {
            let ids: Vec<&str> = rules::ALL.iter().map(|r| r.id).collect();
            let near =
                nearest(rule, &ids).map(|near| format!("; did you mean `{near}`?")).unwrap_or_default();
            talk(&format!("there is no rule `{rule}`{near} (`truefall explain` lists them all)"));
            ExitStatus::Unusable
        }
    }
}

fn list() -> String {
    let width = rules::ALL.iter().map(|r| r.id.len()).max().unwrap_or(0);
    rules::ALL.iter().map(|r| format!("{:width$}  {}\n", r.id, r.summary)).collect()
}
