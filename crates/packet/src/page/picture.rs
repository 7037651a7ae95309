//! Pictures made elsewhere, put into the page itself so that it stays one file.

use crate::markup::Markup;

/// A picture.
#[derive(Debug, Clone)]
pub struct Picture {
    /// Name of its file without ending, such as `wall-bath-wall` or `wall-bath-wall-2`.
    pub name: String,
    /// `image/png` or `image/jpeg`.
    pub kind: &'static str,
    /// The file.
    pub bytes: Vec<u8>,
}

impl Picture {
    /// A picture from a file's name and bytes; none where they are not PNG or JPEG by their first bytes.
    pub fn of(name: &str, bytes: Vec<u8>) -> Option<Self> {
        let kind = if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
            "image/png"
        } else if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
            "image/jpeg"
        } else {
            return None;
        };
        Some(Self { name: name.to_owned(), kind, bytes })
    }

    /// Whether it shows a place: the same name, with a number behind it or none.
    pub fn is_of(&self, place: &str) -> bool {
        let rest = self.name.strip_prefix(place);
        rest.is_some_and(|r| {
            r.is_empty() || r.strip_prefix('-').is_some_and(|n| n.bytes().all(|b| b.is_ascii_digit()))
        })
    }

    /// Whether it shows a stop of the walk: `stop-`, a number, and the stop's key, as the viewer's `--shots` names them.
    pub fn is_of_stop(&self, key: &str) -> bool {
        let numbered = self.name.strip_prefix("stop-").and_then(|rest| rest.split_once('-'));
        numbered.is_some_and(|(n, of)| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()) && of == key)
    }

    /// The rule whose red tag it shows: `tag-`, a number, and the rule's name, as the viewer's `--shots` names them.
    pub fn tagged(&self) -> Option<&str> {
        let (number, rule) = self.name.strip_prefix("tag-")?.split_once('-')?;
        (!number.is_empty() && number.bytes().all(|b| b.is_ascii_digit())).then_some(rule)
    }

    /// Puts it with its caption.
    pub fn put(&self, m: &mut Markup, caption: &str) {
        let source = format!("data:{};base64,{}", self.kind, base64(&self.bytes));
        m.tag("figure", &[], |m| {
            m.empty("img", &[("src", &source), ("alt", caption)]);
            m.line("figcaption", &[], caption);
        });
    }
}

/// Base 64 (RFC 4648, section 4).
pub fn base64(bytes: &[u8]) -> String {
    const SIGNS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let byte = |i: usize| u32::from(three.get(i).copied().unwrap_or(0));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for i in 0..4 {
            let sign = SIGNS[(bits >> (18 - 6 * i) & 63) as usize];
            out.push(if i <= three.len() { char::from(sign) } else { '=' });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    // RFC 4648, section 10.
    #[test]
    fn the_published_vectors() {
        let vectors = [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ];
        for (plain, coded) in vectors {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }

    #[test]
    fn what_is_no_picture_is_refused() {
        assert!(Picture::of("x", b"<svg onload=alert(1)>".to_vec()).is_none());
        let png = Picture::of("wall-north-2", b"\x89PNG\r\n\x1a\n".to_vec()).unwrap();
        let stop = Picture { name: "stop-04-fixture-closet".to_owned(), ..png.clone() };
        assert!(
            stop.is_of_stop("fixture-closet") && !stop.is_of_stop("closet") && !png.is_of_stop("north-2")
        );
        assert!(png.is_of("wall-north") && !png.is_of("wall-nor"));
    }
}
