//! Stacks and branches as the user lists them: fittings in the order they are put on, from the base outwards.

use super::clock::Clock;
use super::height::Height;
use super::point::Spot;
use super::survey::{Correction, PlumbString};
use crate::catalog::joint::JointKind;
use crate::catalog::material::Material;
use crate::document::{Document, Kind, Node, Reader};
use crate::label::Label;
use crate::units::{Grade, Length, NominalSize};

choice! {
    /// What a pipe is for.
    pub enum System {
        /// Waste, from a fixture down.
        Drain = "drain",
        /// Air.
        Vent = "vent",
        /// Cold water.
        Cold = "cold",
        /// Hot water.
        Hot = "hot",
    }
}

/// A port of a named fitting: `T1.branch`, or `T1` for its one free side.
#[derive(Debug, Clone, PartialEq)]
pub struct PortName {
    /// The fitting.
    pub fitting: Label,
    /// The port, where it was named.
    pub port: Option<Label>,
}

impl std::fmt::Display for PortName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.port {
            Some(port) => write!(f, "{}.{port}", self.fitting),
            None => self.fitting.fmt(f),
        }
    }
}

impl Document for PortName {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let label = Label::read(node, reader)?;
        Some(match label.as_str().split_once('.') {
            Some((fitting, port)) => Self { fitting: Label::new(fitting), port: Some(Label::new(port)) },
            None => Self { fitting: label, port: None },
        })
    }

    fn write(&self) -> Node {
        Node::new(Kind::Text(self.to_string()))
    }
}

variants! {
    /// What a stack stands on. Existing work is never assumed to be plumb or on grade.
    pub enum Base {
        /// A hub of existing iron, open upwards.
        IronHub {
            /// Nominal size of the hub.
            size: NominalSize,
            /// Its centre on the plan, at the rim.
            at: Spot,
            /// Height of the hub's rim.
            rim: Height,
            /// Rim to where a pipe end stops; the catalog's when left out.
            depth: Option<Length>,
            /// How the pipe is made tight in it.
            joint: JointKind = JointKind::CompressionGasket,
        },
        /// A hub of an existing iron tee or wye, open to the side.
        IronBranch {
            /// Nominal size of the hub.
            size: NominalSize,
            /// The centre of its rim on the plan.
            at: Spot,
            /// Height of the rim's centre.
            centre: Height,
            /// Where it looks, as a clock on the plan (12 is +y).
            looks: Clock,
            /// Its fall as read with a level on a stub pushed into it; never assumed.
            reads: Option<Grade>,
            /// Rim to where a pipe end stops; the catalog's when left out.
            depth: Option<Length>,
            /// How the pipe is made tight in it.
            joint: JointKind = JointKind::CompressionGasket,
        },
        /// A cut end of pipe standing up, to take a coupling.
        CutPipe {
            /// Nominal size.
            size: NominalSize,
            /// What it is made of.
            material: Material,
            /// Its centre on the plan, at the cut.
            at: Spot,
            /// Height of the cut.
            top: Height,
            /// How much straight barrel there is from the cut down, clear of hubs and fittings; not told when left out.
            straight: Option<Length>,
        },
        /// A cut end of pipe lying on grade, to take a coupling.
        Stub {
            /// Nominal size.
            size: NominalSize,
            /// What it is made of.
            material: Material,
            /// Its centre on the plan, at the cut.
            at: Spot,
            /// Height of its centre at the cut.
            centre: Height,
            /// Where its open end looks, as a clock on the plan (12 is +y).
            looks: Clock,
            /// Its fall as read with a level; never assumed.
            reads: Option<Grade>,
            /// How much straight barrel there is from the cut back, clear of hubs and fittings; not told when left out.
            straight: Option<Length>,
            /// It is the building sewer, where it meets the building drain.
            sewer: bool = false,
        },
    }
}

variants! {
    /// What stands at the far end of a stack or branch.
    pub enum End {
        /// A fixture.
        Fixture {
            /// Its name.
            name: Label,
            /// How far a stub stands out of the finished wall, to be trimmed at finish.
            past: Length = Length::inches(3.0),
        },
        /// Tied into another fitting; the closing piece is solved and what is left is the closure misfit.
        Tie {
            /// The port it is tied to.
            to: PortName,
        },
        /// Out through the roof.
        Roof {
            /// Above the roof, at the high side of the pipe.
            above: Length = Length::inches(12.0),
        },
        /// An air admittance valve.
        Valve {},
        /// Closed with a cap or plug.
        Capped {},
        /// Left open for later work.
        Open {},
    }
}

record! {
    /// One fitting of a stack or branch and how far it is from the one before. At most one of `height`, `to`,
    /// `level`, `centre` and `cut` says how long the piece before it is; with none of them the hubs are pushed
    /// together: a spigot goes straight into the hub, two hubs get a make-up piece.
    pub struct Fit {
        /// The pattern by size and name, such as `3x3x2 sanitary tee`.
        fit: Label,
        /// Its name in this job.
        name: Label,
        /// Height of its centre (a flange: its ring's underside; a trap: its weir).
        height: Option<Height>,
        /// The plan point its centre is to reach.
        to: Option<Spot>,
        /// Level distance from the centre before to its centre.
        level: Option<Length>,
        /// Centre to centre.
        centre: Option<Length>,
        /// Cut length of the piece before it.
        cut: Option<Length>,
        /// Where its branch (or the leg that leaves it) points.
        clock: Option<Clock>,
        /// The port towards the base, where it is not the usual one.
        enter: Option<Label>,
        /// The port through which this run goes on, where it is not the usual one.
        leave: Option<Label>,
        /// Where a trap's inlet is swung to, as a clock on the plan; left out, it is swung to its fixture.
        swing: Option<Clock>,
        /// The grade aimed at in the leg before it; the branch's when left out.
        grade: Option<Grade>,
        /// Ports closed with a plug.
        plugs: Vec<Label>,
        /// Anything worth remembering.
        note: Option<String>,
    }

    /// A riser, listed from its base up.
    pub struct Stack {
        /// Its name.
        name: Label,
        /// What new pieces are made of.
        material: Material = Material::Pvc,
        /// What it is for; told from what hangs on it when left out.
        system: Option<System>,
        /// What it stands on.
        base: Base,
        /// The survey of its lean: strings in two directions.
        lean: Vec<PlumbString>,
        /// What is done about the lean.
        corrections: Vec<Correction>,
        /// Fittings from the base up.
        up: Vec<Fit>,
        /// What stands at its top.
        end: End = End::Open {},
        /// Anything worth remembering.
        note: Option<String>,
    }

    /// A run that leaves a fitting, listed outwards.
    pub struct Branch {
        /// Its name.
        name: Label,
        /// The port it leaves.
        from: PortName,
        /// What new pieces are made of.
        material: Material = Material::Pvc,
        /// What it is for; told from what hangs on it when left out.
        system: Option<System>,
        /// The grade aimed at in its level legs; 1/4 in per ft where it drains and nothing is said.
        grade: Option<Grade>,
        /// Fittings outwards.
        along: Vec<Fit>,
        /// What stands at its far end.
        end: End,
        /// Anything worth remembering.
        note: Option<String>,
    }

    /// A measurement of one fitting in the hand; it replaces the catalog's figure.
    pub struct InHand {
        /// The pattern by size and name.
        fit: Label,
        /// The port measured.
        port: Label,
        /// Centre to stop, as measured.
        laying: Length,
        /// Socket depth, as measured.
        socket: Option<Length>,
        /// Who measured, which box it came from.
        note: Option<String>,
    }
}

impl Fit {
    /// A fitting of a pattern, with nothing said of where it sits.
    pub fn plain(pattern: impl AsRef<str>, name: impl AsRef<str>) -> Self {
        Self {
            fit: Label::new(pattern),
            name: Label::new(name),
            height: None,
            to: None,
            level: None,
            centre: None,
            cut: None,
            clock: None,
            enter: None,
            leave: None,
            swing: None,
            grade: None,
            plugs: Vec::new(),
            note: None,
        }
    }
}

impl super::Job {
    /// The fittings listed for a stack or branch; none where no run has that name.
    pub fn fits(&self, run: &Label) -> Option<&[Fit]> {
        let stack = self.stacks.iter().find(|s| s.name == *run).map(|s| s.up.as_slice());
        let branch = self.branches.iter().find(|b| b.name == *run).map(|b| b.along.as_slice());
        stack.or(branch)
    }
}
