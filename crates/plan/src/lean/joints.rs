//! The lean taken out at a joint that gives: set plumb there, drawn over to a brace, or at a sleeve on iron cut back.

use super::remedy::{Asked, Idea, Kind};
use super::stack::Leaner;
use truefall_model::catalog::joint::JointKind;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::height::{Height, Surface};
use truefall_model::job::pipes::{Base, Fit};
use truefall_model::job::point::{PlanPoint, Spot};
use truefall_model::job::survey::Correction;
use truefall_model::label::Label;
use truefall_model::units::{Angle, Length};

/// Straight barrel left between the cut and the hub's throat that is cut away; of our own.
const CUT_BELOW_HUB_IN: f64 = 1.0;

/// The stack set plumb at each of its joints, up to the first that leaves a tee's branch leaning below it.
pub(super) fn plumb(stack: &Leaner<'_>) -> Vec<Idea> {
    let first_tee = stack.run.fits.iter().position(|(_, fit)| {
        stack.rough_in.part(*fit).pattern().is_some_and(|pattern| pattern.ports.len() > 2)
    });
    let most = first_tee.map_or(stack.run.fits.len(), |at| at + 2).min(stack.run.fits.len());
    (0..most).filter_map(|at| plumb_at(stack, at)).collect()
}

fn plumb_at(stack: &Leaner<'_>, at: usize) -> Option<Idea> {
    let (joint, asked) = asked(stack, at)?;
    let from = stack.written.up.get(at)?.name.clone();
    let mut edits = stack.clear();
    edits.push(correction(stack, Correction::Plumb { from: from.clone() }));
    Some(Idea {
        kind: Kind::Plumb,
        words: format!("set {} plumb at the joint between {}", stack.written.name, asked.between),
        lines: over(stack, joint),
        asked: Some(asked),
        edits,
        on_found: false,
    })
}

/// Height of the joint under a fitting, and what setting it plumb asks of it.
fn asked(stack: &Leaner<'_>, at: usize) -> Option<(f64, Asked)> {
    let joint = stack.joint_under(at)?;
    let z = stack.rough_in.found.stop(stack.rough_in, joint.high.0, joint.high.1).z;
    let (asks, limit) = (stack.angle(), stack.limit(joint.kind));
    Some((z, Asked { between: stack.between(at), kind: joint.kind, asks, limit }))
}

fn correction(stack: &Leaner<'_>, what: Correction) -> Edit {
    Edit::Correction {
        stack: stack.written.name.clone(),
        change: Change::Insert { at: 0, item: Box::new(what) },
    }
}

/// How far the stack is to be drawn over, at each height where it is held.
fn over(stack: &Leaner<'_>, joint_z: f64) -> Vec<String> {
    let lean = stack.lean.lean_in_per_ft();
    let line = |(hold, z): (String, f64)| {
        let up = (z - joint_z) / 12.0;
        format!(
            "at {hold}, {up:.2} ft over the joint: draw it over or wedge it by {} ({lean:.3} x {up:.2} = {:.3} in)",
            Length::inches(lean * up),
            lean * up
        )
    };
    stack.holds_above(joint_z).into_iter().map(line).collect()
}

/// The stack drawn over towards one wall at the highest hold, as far as the lean goes that way and the first joint takes.
pub(super) fn brace(stack: &Leaner<'_>) -> Option<Idea> {
    let (joint_z, mut asked) = asked(stack, 0)?;
    let from = stack.written.up.first()?.name.clone();
    let (toward, takes) = stack.against()?;
    let (hold, z) = stack.holds_above(joint_z).pop()?;
    let up = z - joint_z;
    let most = takes.abs().min(asked.limit.to_radians().tan());
    let size = Length::inches((most * up * 16.0).floor() / 16.0);
    if size.to_inches() <= 0.0 {
        return None;
    }
    let (by, way) = if takes > 0.0 { (size, "toward") } else { (-size, "away from") };
    let floor = stack
        .rough_in
        .framed
        .floors
        .iter()
        .filter(|f| f.rough_z <= z)
        .max_by(|one, other| one.rough_z.total_cmp(&other.rough_z))?;
    let at = Height {
        off: Length::inches(z - floor.rough_z),
        floor: floor.label.clone(),
        surface: Surface::Rough,
    };
    asked.asks = Angle::radians((size.to_inches() / up).atan());
    let what = Correction::Brace { from, at, toward: toward.clone(), by };
    let mut edits = stack.clear();
    edits.push(correction(stack, what));
    let lean = stack.lean.lean_in_per_ft();
    Some(Idea {
        kind: Kind::Brace,
        words: format!("draw {} over {way} {toward} by {size} and hold it at {hold}", stack.written.name),
        lines: vec![
            format!(
                "square to {toward} it is off by {:.3} of the {lean:.3} in per ft it leans; {:.3} x {:.2} ft = {:.3} in",
                takes.abs() * 12.0,
                takes.abs() * 12.0,
                up / 12.0,
                takes.abs() * up
            ),
            format!("the joint between {} turns {} for it", asked.between, asked.asks),
        ],
        asked: Some(asked),
        edits,
        on_found: false,
    })
}

/// The hub cut off, the iron left as long as it is straight, and a sleeve on the barrel that gives.
pub(super) fn cut_back(stack: &Leaner<'_>) -> Option<Idea> {
    let Base::IronHub { size, depth, rim, .. } = &stack.written.base else { return None };
    let iron = truefall_model::catalog::material::Material::Iron;
    let depth = depth.or_else(|| stack.catalog.socket(iron, *size).map(|s| s.depth))?;
    let down = depth + Length::inches(CUT_BELOW_HUB_IN);
    let foot = stack.foot();
    let axis = stack.lean.axis();
    let rim_z = stack.rough_in.framed.height(rim)?;
    let z = rim_z - down.to_inches();
    let at = foot - axis.into_inner() * ((foot.z - z) / axis.z);
    let height = Height { off: rim.off - down, ..rim.clone() };
    let name = free_name(stack, "C");
    let pattern = format!("{size} transition coupling");
    let mut new = stack.written.clone();
    new.base = Base::CutPipe {
        size: *size,
        material: iron,
        at: Spot(PlanPoint::At { x: Length::inches(at.x), y: Length::inches(at.y) }),
        top: height.clone(),
        straight: None,
    };
    new.up.insert(0, Fit::plain(&pattern, &name));
    new.corrections = vec![Correction::Plumb { from: name.clone() }];
    let kind = JointKind::TransitionCoupling;
    let asked = Asked {
        between: format!("{} and {name}", stack.label(stack.base)),
        kind,
        asks: stack.angle(),
        limit: stack.limit(kind),
    };
    let edit = Edit::Stack(Change::Replace { at: stack.index, item: Box::new(new) });
    Some(Idea {
        kind: Kind::CutBack,
        words: format!(
            "cut the iron {down} below its rim, at {height}, and set a {pattern} on the barrel plumb"
        ),
        lines: vec![
            format!(
                "hub {depth} deep and {CUT_BELOW_HUB_IN:.0} in below it: straight, sound barrel is needed there; look before you cut"
            ),
            "hold up all iron above and below the cut first".to_owned(),
        ],
        asked: Some(asked),
        edits: vec![edit],
        on_found: false,
    })
}

/// A name of a letter and a number that no fitting of the job has.
pub(super) fn free_name(stack: &Leaner<'_>, letter: &str) -> Label {
    let taken = |name: &Label| {
        let fits = stack.job.stacks.iter().flat_map(|s| &s.up);
        fits.chain(stack.job.branches.iter().flat_map(|b| &b.along)).any(|fit| fit.name == *name)
    };
    let mut number = 1u32;
    loop {
        let name = Label::new(format!("{letter}{number}"));
        if !taken(&name) {
            return name;
        }
        number += 1;
    }
}
