//! Text broken into lines at its blanks, lengths kept whole.

use unicode_width::UnicodeWidthStr;

/// The text in lines of at most so many columns, broken at blanks; a longer word stands alone. At least one line.
pub fn folded(text: &str, width: usize) -> Vec<String> {
    if text.width() <= width {
        return vec![text.to_owned()];
    }
    let mut lines = vec![String::new()];
    for word in words(text) {
        let line = lines.last_mut().expect("there is always a line");
        if line.is_empty() {
            line.push_str(&word);
        } else if line.width() + 1 + word.width() <= width {
            line.push(' ');
            line.push_str(&word);
        } else {
            lines.push(word);
        }
    }
    lines
}

/// What is not broken: words, and a length of several, of which `13` on one line and `3/16"` on the next would be misread.
pub fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match words.last_mut() {
            Some(last) if one_length(last, word) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// Whether the second goes on with a length that the first begins: inches behind feet, a fraction behind inches.
fn one_length(first: &str, second: &str) -> bool {
    let number = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_digit());
    let last = first.rsplit(' ').next().unwrap_or(first).trim_start_matches(['(', '-', '+']);
    let after_feet = last.strip_suffix('\'').is_some_and(number);
    let fraction = second
        .split_once('/')
        .is_some_and(|(top, low)| number(top) && low.starts_with(|c: char| c.is_ascii_digit()));
    (after_feet && second.starts_with(|c: char| c.is_ascii_digit())) || (number(last) && fraction)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folds_at_blanks_and_keeps_every_word() {
        assert_eq!(folded("one two three", 7), ["one two", "three"]);
        assert_eq!(folded("unbreakable x", 4), ["unbreakable", "x"]);
        assert_eq!(folded("", 4), [""]);
    }

    #[test]
    fn a_length_is_never_broken() {
        assert_eq!(folded("it is 13 3/16\" clear", 9), ["it is", "13 3/16\"", "clear"]);
        assert_eq!(folded("(finish 19' 5 1/2\")", 12), ["(finish", "19' 5 1/2\")"]);
        assert_eq!(folded("joist 10 (1 9/16\" clear", 9), ["joist 10", "(1 9/16\"", "clear"]);
    }
}
