//! One row of a price file as it was typed, whatever the file's form, and what may be wrong with it.

use super::{Item, Money, PriceList, Unit};
use truefall_model::document::nearest;

/// What was typed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Row<'t> {
    pub item: &'t str,
    pub material: &'t str,
    pub unit: &'t str,
    pub price: &'t str,
}

/// Something wrong in it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Slip {
    /// Which of its four values.
    pub field: &'static str,
    /// What was read and what is allowed.
    pub message: String,
    /// What to write instead.
    pub help: Option<String>,
}

impl Row<'_> {
    /// Puts the price into a list; what is wrong otherwise. A price left empty is no fault: there is none.
    pub fn into_list(self, list: &mut PriceList) -> Vec<Slip> {
        let mut slips = Vec::new();
        let mut slip = |field, message: String, help| slips.push(Slip { field, message, help });
        let item = match Item::parse(self.item, self.material) {
            Ok(item) => Some(item),
            Err(why) => {
                let help = why.contains("nothing is called").then(|| near(self.item));
                slip("item", why, help);
                None
            }
        };
        let pipe = matches!(item, Some(Item::Pipe(..)));
        let unit = match Unit::parse(self.unit) {
            _ if self.unit.is_empty() && !pipe => Some(Unit::Each),
            Some(Unit::Each) if !pipe => Some(Unit::Each),
            Some(unit) if unit != Unit::Each && (pipe || item.is_none()) => Some(unit),
            _ => {
                let allowed = if pipe { "foot, or a length as sold such as 10' 0" } else { "each" };
                slip("unit", format!("\"{}\" was read; allowed here: {allowed}", self.unit), None);
                None
            }
        };
        if self.price.is_empty() {
            return slips;
        }
        let Some(price) = Money::parse(self.price) else {
            let message = format!(
                "\"{}\" is no price; allowed: digits, and behind a point one or two more",
                self.price
            );
            slip("price", message, None);
            return slips;
        };
        if let (Some(item), Some(unit)) = (item, unit)
            && !list.insert(item, unit, price)
        {
            slip("item", format!("{} {} has a price by {unit} already", self.item, self.material), None);
        }
        slips
    }
}

fn near(name: &str) -> String {
    let known = ["steel plate", "plate tie", "3 hanger", "3 hub gasket", "3 pipe"];
    nearest(name, &known).map_or_else(
        || {
            "write a fitting by its sizes such as 3x3x2 sanitary tee, pipe as 3 pipe; --template lists every name this \
             job needs"
                .to_owned()
        },
        |near| format!("did you mean {near}?"),
    )
}
