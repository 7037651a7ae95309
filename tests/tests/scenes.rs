//! Every scene of a rule gives the findings it says and no others; every broken one is refused in the words it says.

use truefall_tests::expect::differences;
use truefall_tests::scene::{Scene, list, scenes};

fn of_rules() -> Vec<Scene> {
    list("rules", None).iter().flat_map(|rule| scenes(&format!("rules/{rule}"))).collect()
}

#[test]
fn every_scene_of_a_rule_gives_what_it_says_and_nothing_else() {
    let mut wrong = Vec::new();
    for scene in of_rules() {
        let told = match scene.findings() {
            Ok(findings) => differences(&scene.expected, &findings),
            Err(faults) => vec![format!("refused  {faults}")],
        };
        if !told.is_empty() {
            wrong.push(format!("{}: {}\n  {}", scene.name, scene.why, told.join("\n  ")));
        }
    }
    assert!(wrong.is_empty(), "{} scenes do not give what they say:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn every_scene_says_on_its_first_line_why_it_is_there() {
    for scene in of_rules().into_iter().chain(scenes("broken")) {
        assert!(scene.why.len() > 10 && scene.why.ends_with('.'), "{}: {:?}", scene.name, scene.why);
    }
}

#[test]
fn every_broken_job_is_refused_in_the_words_it_says() {
    let mut wrong = Vec::new();
    for scene in scenes("broken") {
        let told: Vec<String> = match scene.findings() {
            Ok(findings) => vec![format!("it was taken, with {} findings", findings.len())],
            Err(faults) => {
                let file = format!("{}:", scene.name);
                faults.to_string().lines().map(|l| l.strip_prefix(&file).unwrap_or(l).to_owned()).collect()
            }
        };
        assert!(!scene.refused.is_empty(), "{} says no words", scene.name);
        if told != scene.refused {
            wrong.push(format!(
                "{}\n  said    {}\n  refused {}",
                scene.name,
                scene.refused.join("\n          "),
                told.join("\n          ")
            ));
        }
    }
    assert!(wrong.is_empty(), "{} are refused in other words:\n{}", wrong.len(), wrong.join("\n"));
}

// The harness itself: without this a comparison that always agrees would pass everything.
#[test]
fn a_missing_and_an_extra_finding_are_both_told() {
    let scene = Scene::load("rules/drain-too-flat/bad_eighth.ron");
    let findings = scene.findings().expect("it is a job");
    assert_eq!(differences(&scene.expected, &findings), Vec::<String>::new());
    let extra = differences(&[], &findings);
    assert!(
        extra.len() == findings.len() && extra[0].starts_with("extra    red tag: drain-too-flat:"),
        "{extra:?}"
    );
    let missing = differences(&scene.expected, &[]);
    let all: Vec<String> = scene.expected.iter().map(|e| format!("missing  {}", e.line)).collect();
    assert_eq!(missing, all);
}
