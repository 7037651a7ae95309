//! Macros that declare a document's types once: the struct, how it is read and how it is printed.

/// Declares structs read from `Name(field: value, …)`; `= value` after a field is what it means when left out.
macro_rules! record {
    ($( $(#[$meta:meta])* pub struct $name:ident { $( $(#[$fmeta:meta])* $field:ident : $ty:ty $(= $default:expr)? ),* $(,)? } )*) => { $(
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq)]
        pub struct $name { $( $(#[$fmeta])* pub $field: $ty, )* }

        impl $crate::document::Document for $name {
            fn read(node: &$crate::document::Node, reader: &mut $crate::document::Reader) -> Option<Self> {
                let fields = reader.fields(node, stringify!($name), &[$(stringify!($field)),*])?;
                $( let $field: Option<$ty> = fields.read(reader, stringify!($field), || $crate::document::record!(@default $ty $(, $default)?)); )*
                Some(Self { $( $field: $field?, )* })
            }

            fn write(&self) -> $crate::document::Node {
                let mut out = Vec::new();
                $( if !$crate::document::record!(@skip self.$field, $ty $(, $default)?) {
                    out.push((stringify!($field).to_owned(), $crate::document::Span::default(), $crate::document::Document::write(&self.$field)));
                } )*
                $crate::document::Node::new($crate::document::Kind::Record(Some(stringify!($name).to_owned()), out))
            }
        }
    )* };
    (@default $ty:ty) => { <$ty as $crate::document::Document>::absent() };
    (@default $ty:ty, $default:expr) => { Some($default) };
    (@skip $value:expr, $ty:ty) => { $crate::document::Document::is_absent(&$value) };
    (@skip $value:expr, $ty:ty, $default:expr) => { $value == $default };
}

/// Declares an enum of bare words: `finished`, or `"finished"` in quotes; letter case and `_` against blank don't matter.
macro_rules! choice {
    ($(#[$meta:meta])* pub enum $name:ident { $( $(#[$vmeta:meta])* $variant:ident = $word:literal ),* $(,)? }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum $name { $( $(#[$vmeta])* $variant, )* }

        impl $name {
            /// All of them, in order.
            pub const ALL: &[Self] = &[$(Self::$variant),*];

            /// The word in a document and in print.
            pub fn word(self) -> &'static str {
                match self { $( Self::$variant => $word, )* }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(&self.word().replace('_', " "))
            }
        }

        impl $crate::document::Document for $name {
            fn read(node: &$crate::document::Node, reader: &mut $crate::document::Reader) -> Option<Self> {
                let words: Vec<&str> = Self::ALL.iter().map(|v| v.word()).collect();
                let at = reader.one_of(node, &words)?;
                Self::ALL.get(at).copied()
            }

            fn write(&self) -> $crate::document::Node {
                $crate::document::Node::new($crate::document::Kind::Word(self.word().to_owned()))
            }
        }
    };
}

/// Declares an enum of records: `Stub(fixture: "tub")`; a variant without fields may be written as a bare word.
macro_rules! variants {
    ($(#[$meta:meta])* pub enum $name:ident { $( $(#[$vmeta:meta])* $variant:ident { $( $(#[$fmeta:meta])* $field:ident : $ty:ty $(= $default:expr)? ),* $(,)? } ),* $(,)? }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq)]
        pub enum $name { $( $(#[$vmeta])* $variant { $( $(#[$fmeta])* $field: $ty, )* }, )* }

        impl $crate::document::Document for $name {
            fn read(node: &$crate::document::Node, reader: &mut $crate::document::Reader) -> Option<Self> {
                let name = reader.variant(node, &[$(stringify!($variant)),*])?;
                $( if name == stringify!($variant) {
                    let fields = reader.fields(node, stringify!($variant), &[$(stringify!($field)),*])?;
                    let _ = &fields;
                    $( let $field: Option<$ty> = fields.read(reader, stringify!($field), || $crate::document::record!(@default $ty $(, $default)?)); )*
                    return Some(Self::$variant { $( $field: $field?, )* });
                } )*
                None
            }

            fn write(&self) -> $crate::document::Node {
                match self { $( Self::$variant { $($field,)* } => {
                    #[expect(unused_mut, clippy::allow_attributes, reason = "a variant may have no field")]
                    #[allow(unfulfilled_lint_expectations)]
                    let mut out: Vec<(String, $crate::document::Span, $crate::document::Node)> = Vec::new();
                    $( if !$crate::document::record!(@skip *$field, $ty $(, $default)?) {
                        out.push((stringify!($field).to_owned(), $crate::document::Span::default(), $crate::document::Document::write($field)));
                    } )*
                    let name = stringify!($variant).to_owned();
                    $crate::document::Node::new(if out.is_empty() {
                        $crate::document::Kind::Word(name)
                    } else {
                        $crate::document::Kind::Record(Some(name), out)
                    })
                } )* }
            }
        }
    };
}

pub(crate) use record;
