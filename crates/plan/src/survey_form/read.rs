//! One answer against its question: taken in its plain form, or refused with what is allowed.

use super::answers::Answers;
use super::questions::{Question, Takes};
use truefall_model::catalog::Catalog;
use truefall_model::catalog::material::Material;
use truefall_model::units::{Length, NominalSize};

/// How far a tape round the barrel may be off what the catalog's pipe measures, inches: rust and paint are thick, and extra heavy
/// iron is 5/8 more round than service weight.
const ROUND_SLACK_IN: f64 = 0.75;

/// The answer as it is kept.
///
/// # Errors
/// A sentence with what was read and what is allowed.
pub fn take(question: &Question, text: &str, answers: &Answers) -> Result<String, String> {
    let text = text.trim();
    match question.takes {
        Takes::Words if text.is_empty() => Err("write at least a word".to_owned()),
        Takes::Words => Ok(text.replace('"', "'")),
        Takes::Length(least, most) => within(text, least, most).map(|_| text.to_owned()),
        Takes::Tape(count, least, most) => tape(text, count, least, most),
        Takes::AsManyAs(key, least, most) => {
            let wanted = split(answers.value(key)).len();
            let read = split(text);
            if read.len() != wanted {
                return Err(format!("read {} gaps; {wanted} are needed, one for each height", read.len()));
            }
            read.iter().try_for_each(|one| within(one, least, most).map(drop))?;
            Ok(read.join(", "))
        }
        Takes::OneOf(words) => {
            let lower = text.to_lowercase();
            let found = words.iter().find(|word| **word == lower);
            found
                .map(|w| (*w).to_owned())
                .ok_or_else(|| format!("\"{text}\" is none of {}; {}", words.join(", "), question.help))
        }
        Takes::Number(least, most) => match text.parse::<f64>() {
            Ok(number) if (least..=most).contains(&number) => Ok(text.to_owned()),
            Ok(_) => Err(format!("{text} is outside {least} to {most}")),
            Err(_) => Err(format!("\"{text}\" is not a number; from {least} to {most} is allowed")),
        },
        Takes::Round => iron_size(text).map(|_| text.to_owned()),
    }
}

/// The pieces of a list.
pub(super) fn split(text: &str) -> Vec<&str> {
    text.split([',', ';']).map(str::trim).filter(|one| !one.is_empty()).collect()
}

fn within(text: &str, least: f64, most: f64) -> Result<Length, String> {
    let length = Length::parse(text).map_err(|why| why.to_string())?;
    if (least..=most).contains(&length.to_inches()) {
        return Ok(length);
    }
    Err(format!("{length} is outside {} to {}", Length::inches(least), Length::inches(most)))
}

fn tape(text: &str, count: usize, least: f64, most: f64) -> Result<String, String> {
    let read = split(text);
    if read.len() < count {
        return Err(format!("read {}; at least {count} lengths with commas between are needed", read.len()));
    }
    let mut before = f64::NEG_INFINITY;
    for one in &read {
        let length = within(one, least, most)?;
        if length.to_inches() <= before {
            return Err(format!(
                "{one} does not lie beyond the one before it; read the tape without moving it"
            ));
        }
        before = length.to_inches();
    }
    Ok(read.join(", "))
}

/// The nominal size of iron from the way round it.
pub(super) fn iron_size(text: &str) -> Result<NominalSize, String> {
    let round = Length::parse(text).map_err(|why| why.to_string())?.to_inches();
    let iron = Catalog::builtin().pipes().filter(|pipe| pipe.material == Material::Iron);
    let way = |outside: Length| (outside.to_inches() * std::f64::consts::PI - round).abs();
    let sizes: Vec<_> = iron.filter(|pipe| ["3", "4"].contains(&pipe.size.to_string().as_str())).collect();
    let nearest = sizes.iter().min_by(|one, other| way(one.outside).total_cmp(&way(other.outside)));
    let told: Vec<String> = sizes
        .iter()
        .map(|pipe| {
            let round = Length::inches(pipe.outside.to_inches() * std::f64::consts::PI);
            format!("{round} for {} in", pipe.size)
        })
        .collect();
    nearest.filter(|pipe| way(pipe.outside) <= ROUND_SLACK_IN).map(|pipe| pipe.size).ok_or_else(|| {
        format!(
            "{text} round is no 3 or 4 in iron barrel: about {} is; was it read on the barrel",
            told.join(", ")
        )
    })
}
