//! A price file in the notation of a job: `Prices(items: [Price(item: "3 pipe", material: "pvc", unit: "foot", price: "2.00")])`.
//!
//! It says the same as the comma-separated form and is held to the same rules; all faults are told at once, each where it
//! stands. A price may be written as text or as a number.

use super::row::Row;
use super::{COLUMNS, PriceList};
use truefall_model::document::{Document, Faults, Kind, Node, Reader, Span, read_text};

/// Reads the text of a price file in the notation of a job, called `name`.
///
/// # Errors
/// All its faults.
pub fn read_ron(name: &str, text: &str) -> Result<PriceList, Faults> {
    read_text::<Written>(name, text).map(|written| written.0)
}

/// The list as it stands in such a file.
struct Written(PriceList);

/// One text of a row; a number is taken as it was typed.
struct Typed(String);

impl Document for Typed {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        reader.typed(node, "a text in quotes").map(|t| Self(t.trim().to_owned()))
    }

    fn write(&self) -> Node {
        Node::new(Kind::Text(self.0.clone()))
    }
}

impl Document for Written {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let fields = reader.fields(node, "Prices", &["items"])?;
        let rows: Vec<Entry> = fields.read(reader, "items", || None)?;
        let mut list = PriceList::default();
        for (i, entry) in rows.iter().enumerate() {
            let [item, material, unit, price] = &entry.values;
            let row = Row { item, material, unit, price };
            for slip in row.into_list(&mut list) {
                reader.within(format!("items[{i}].{}", slip.field), |r| {
                    r.fault_at(entry.span, slip.message.clone(), slip.help.clone());
                });
            }
        }
        Some(Self(list))
    }

    fn write(&self) -> Node {
        Node::new(Kind::Unit)
    }
}

/// One row and where it stands.
struct Entry {
    values: [String; 4],
    span: Span,
}

impl Document for Entry {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let fields = reader.fields(node, "Price", &COLUMNS)?;
        let empty = || Some(Typed(String::new()));
        let item: Option<Typed> = fields.read(reader, "item", || None);
        let material: Option<Typed> = fields.read(reader, "material", empty);
        let unit: Option<Typed> = fields.read(reader, "unit", empty);
        let price: Option<Typed> = fields.read(reader, "price", empty);
        Some(Self { values: [item?.0, material?.0, unit?.0, price?.0], span: node.span })
    }

    fn write(&self) -> Node {
        let field = |i: usize| {
            (COLUMNS[i].to_owned(), Span::default(), Node::new(Kind::Text(self.values[i].clone())))
        };
        Node::new(Kind::Record(Some("Price".to_owned()), (0..4).map(field).collect()))
    }
}

/// Rows as text in that notation; each is item, material, unit and price.
pub fn print_ron(rows: &[[String; 4]]) -> String {
    let items =
        rows.iter().map(|values| Entry { values: values.clone(), span: Span::default() }.write()).collect();
    let items = ("items".to_owned(), Span::default(), Node::new(Kind::List(items)));
    truefall_model::document::print(&Node::new(Kind::Record(Some("Prices".to_owned()), vec![items])))
}
