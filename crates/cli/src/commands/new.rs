//! `truefall new JOB`: the survey asked question by question, or read from a file of answers.

use super::catalog;
use crate::args::New;
use crate::exit_status::ExitStatus;
use crate::fault_report;
use crate::output::{result, talk};
use std::io::{BufRead as _, ErrorKind, Write as _};
use std::path::{Path, PathBuf};
use truefall_model::catalog::Catalog;
use truefall_model::job::file::{JobFile, save, text};
use truefall_plan::survey_form::{
    Answers, FileFault, MEANT_FOR, NotMade, QUESTIONS, Question, Surveyed, Usual, to_job,
};

/// Asks, or reads the answers, and writes the job.
pub fn run(args: &New) -> ExitStatus {
    if args.blank {
        return result(&Answers::blank(), ExitStatus::Fine);
    }
    let Some(file) = &args.file else {
        talk("name the job file that is to be written");
        return ExitStatus::Unusable;
    };
    let Some(catalog) = catalog::load(args.catalog.as_deref()) else { return ExitStatus::Unusable };
    if file.exists() {
        talk(&format!("{} is there already and is not written over; give another name", file.display()));
        return ExitStatus::Unusable;
    }
    match &args.answers {
        Some(path) => match read(path, Answers::read_whole) {
            Some(answers) => make(file, &answers, &catalog),
            None => ExitStatus::Unusable,
        },
        None => asked(file, &catalog),
    }
}

/// Asks until all is answered; what was answered before is kept beside the job.
fn asked(file: &Path, catalog: &Catalog) -> ExitStatus {
    let kept = kept_beside(file);
    let mut answers = if kept.exists() {
        let Some(answers) = read(&kept, Answers::read) else { return ExitStatus::Unusable };
        talk(&format!("going on with {}", kept.display()));
        answers
    } else {
        talk(MEANT_FOR);
        Answers::default()
    };
    talk(
        "lengths as you read them: 14 3/4, 1' 2 3/4\", 2.5 or 600 mm; a bare number is inches\nan empty line takes the usual figure in brackets; \
         `back` goes back one, `?` tells how it is measured, `stop` stops for now",
    );
    let mut stdin = std::io::stdin().lock();
    let mut place = "";
    while let Some(question) = next(&mut answers) {
        if question.place != place {
            place = question.place;
            let done = answers.asked().filter(|q| answers.answered(q.key)).count();
            talk(&format!("\n{place} ({done} of {} answered)", answers.asked().count()));
        }
        prompt(question);
        let mut line = String::new();
        let read = stdin.read_line(&mut line);
        let ended = match &read {
            Ok(bytes) => *bytes == 0,
            Err(why) => {
                talk(&format!("\nthe answer can't be read: {why}"));
                true
            }
        };
        let line = line.trim();
        if ended || line == "stop" {
            return stopped(&answers, &kept, ended);
        }
        match line {
            "?" => {
                talk(&format!("    {}", question.help));
                continue;
            }
            "back" => match before(&answers, question) {
                Some(before) => answers.forget(before.key),
                None => talk("    this is the first question"),
            },
            text => {
                if let Err(why) = answers.set(question, text) {
                    talk(&format!("    {why}"));
                    continue;
                }
            }
        }
        if let Err(why) = keep(&kept, &answers.text()) {
            talk(&format!("    {} can't be written: {why}", kept.display()));
            return ExitStatus::Unusable;
        }
    }
    talk("");
    make(file, &answers, catalog)
}

/// The next question; at the end those whose answers go against others are asked again, and told why.
fn next(answers: &mut Answers) -> Option<&'static Question> {
    if let Some(question) = answers.next() {
        return Some(question);
    }
    for (key, why) in answers.against() {
        talk(&format!("    {key}: {why}; it is asked again"));
        answers.forget(key);
    }
    answers.next()
}

fn prompt(question: &Question) {
    let usual = match question.usual {
        Usual::None => String::new(),
        Usual::Is(usual) | Usual::LeftOut(usual) => format!(" [{usual}]"),
    };
    let mut stderr = std::io::stderr();
    // There is nobody left to tell if that fails.
    let _ = write!(stderr, "  {}{usual}: ", question.ask).and_then(|()| stderr.flush());
}

/// The last question answered before one.
fn before(answers: &Answers, question: &Question) -> Option<&'static Question> {
    let at = QUESTIONS.iter().position(|q| q.key == question.key)?;
    QUESTIONS[..at].iter().rev().find(|q| answers.answered(q.key))
}

fn stopped(answers: &Answers, kept: &Path, ended: bool) -> ExitStatus {
    let (done, all) = (answers.asked().filter(|q| answers.answered(q.key)).count(), answers.asked().count());
    talk(&format!("\n{done} of {all} answered, kept in {}; run the same again to go on", kept.display()));
    // Whoever stops knows that there is no job yet; a script whose answers ran out has to be told.
    if ended { ExitStatus::Unusable } else { ExitStatus::Fine }
}

fn make(file: &Path, answers: &Answers, catalog: &Catalog) -> ExitStatus {
    let Surveyed { job, told } = match to_job(answers, catalog) {
        Ok(made) => made,
        Err(NotMade::Answers(wrong)) => {
            wrong.iter().for_each(|line| talk(line));
            talk("no job was written; mend the answers");
            return ExitStatus::Unusable;
        }
        Err(NotMade::Text(faults)) => {
            fault_report::show(&faults);
            return ExitStatus::Unusable;
        }
        Err(NotMade::Placing(faults)) => {
            faults.iter().for_each(|fault| talk(&format!("{}: {}", fault.path, fault.message)));
            return ExitStatus::Unusable;
        }
    };
    if let Err(why) = save(file, &job) {
        talk(&why.to_string());
        return ExitStatus::Unusable;
    }
    // What was written is what check will read.
    debug_assert!(JobFile::read("new", &text(&job)).is_ok_and(|read| read.job == job));
    let mut out = format!("wrote {}\n", file.display());
    for line in &told {
        out.push_str(&format!("  {line}\n"));
    }
    out.push_str(&format!("next: truefall check {}\n", file.display()));
    result(&out, ExitStatus::Fine)
}

/// `JOB.answers`, beside the job.
fn kept_beside(file: &Path) -> PathBuf {
    file.with_extension("answers")
}

/// Reads a file of answers; all faults are told.
fn read(path: &Path, how: fn(&str) -> Result<Answers, Vec<FileFault>>) -> Option<Answers> {
    let text = match std::fs::read_to_string(path) {
        Ok(text) => text,
        Err(why) => {
            talk(&format!("{} can't be read: {why}", path.display()));
            return None;
        }
    };
    match how(&text) {
        Ok(answers) => Some(answers),
        Err(faults) => {
            for fault in &faults {
                let line = fault.line.map_or_else(String::new, |line| format!(":{line}"));
                talk(&format!("{}{line}: {}", path.display(), fault.message));
            }
            let count =
                if faults.len() == 1 { "1 fault".to_owned() } else { format!("{} faults", faults.len()) };
            talk(&format!("{}: {count}, no job was written", path.display()));
            None
        }
    }
}

/// Writes to a temporary name and renames, so that a survey is never half written.
fn keep(path: &Path, text: &str) -> std::io::Result<()> {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(format!(".{}.tmp", std::process::id()));
    let temporary = path.with_file_name(name);
    let written = std::fs::File::create(&temporary)
        .and_then(|mut file| file.write_all(text.as_bytes()).and_then(|()| file.sync_all()))
        .and_then(|()| std::fs::rename(&temporary, path));
    if written.as_ref().is_err_and(|why| why.kind() != ErrorKind::NotFound) {
        let _ = std::fs::remove_file(&temporary);
    }
    written
}
