//! The test sheet: what is plugged, how high the water stands, how much of it and how long.

use super::frame::{BOX, list, table};
use super::summary::cautions;
use crate::markup::Markup;
use crate::plans::Plans;
use crate::say::Say;
use truefall_check::trial_test::Trial;

/// The water test of each stack.
pub fn water_test(plans: &Plans, say: Say) -> Markup {
    let mut m = Markup::new();
    if plans.trials.is_empty() {
        m.line("p", &[], "There is no stack to test in this job.");
    }
    for trial in &plans.trials {
        one(&mut m, trial, say);
    }
    cautions(&mut m);
    m
}

fn one(m: &mut Markup, trial: &Trial, say: Say) {
    m.line("h3", &[], &format!("{} and all that hangs on it, as {}", trial.stack, trial.placement));
    m.tag("div", &[("class", "caution")], |m| list(m, &trial.cautions()));
    let rows: Vec<Vec<String>> = trial
        .plugs
        .iter()
        .map(|plug| {
            vec![
                BOX.to_owned(),
                plug.at.to_string(),
                plug.size.to_string(),
                plug.how.to_string(),
                say.length(plug.z),
                say.length(plug.head.to_inches()),
            ]
        })
        .collect();
    let heads = ["done", "where", "size", "what", "over the rough datum floor", "water over it"];
    table(m, "Openings, from the lowest up", &heads, &rows);
    let riser = trial.riser.to_inches();
    let set_on = if riser > 1.0 / 32.0 {
        format!(": set a riser of {} on the highest end", say.length(riser))
    } else {
        String::new()
    };
    let (head, head_source) = &trial.head;
    let lowest = say.length(trial.lowest.1.to_inches());
    let mut told = vec![
        format!(
            "fill until the water stands {} off the datum floor's rough surface{set_on}",
            say.length(trial.level_z)
        ),
        format!(
            "that is {lowest} over the lowest joint, at {}, and {:.1} psi there",
            trial.lowest.0, trial.pounds
        ),
        if trial.full_head_on_all {
            format!(
                "the code's head is {} ({head_source}): every joint has that or more",
                say.length(head.to_inches())
            )
        } else {
            format!(
                "the code's head is {} ({head_source}): joints higher than {} have less, and are proved by the overflow alone",
                say.length(head.to_inches()),
                say.length(trial.full_head_below_z)
            )
        },
        format!(
            "it takes about {:.0} gal, {:.0} lb; fittings are counted as pipe",
            trial.gallons, trial.weight
        ),
        format!("the water stands {} minutes without falling ({})", trial.minutes, trial.hold),
    ];
    told.push("look at every joint while it stands, then let it down slowly".to_owned());
    list(m, &told);
    m.line("p", &[], "Filled at ________   looked at ________   held: yes / no   by ______________________");
}
