//! The figures of one code and edition, by key.

use super::figure::Figure;
use super::read::{Head, Written, read_chapter};
use truefall_model::document::{Fault, Faults, Span, read_text};
use truefall_model::units::NominalSize;

/// The chapters of a profile, in the order they are printed; each is a file beside `profile.ron`.
pub const CHAPTERS: [&str; 11] = [
    "grade",
    "fittings",
    "traps",
    "venting",
    "loads",
    "wood",
    "room",
    "support",
    "cleanouts",
    "iron",
    "test",
];

/// A profile as text: what `profile.ron` says and its chapters in the order of [`CHAPTERS`].
#[derive(Debug, Clone, Copy)]
pub struct ProfileText<'a> {
    /// The folder, for faults.
    pub folder: &'a str,
    /// `profile.ron`.
    pub profile: &'a str,
    /// The chapters.
    pub chapters: [&'a str; CHAPTERS.len()],
}

macro_rules! builtin {
    ($($folder:literal),*) => { &[$(builtin!(@texts $folder grade fittings traps venting loads wood room support
        cleanouts iron test)),*] };
    (@texts $folder:literal $($chapter:ident)*) => { ProfileText {
        folder: $folder,
        profile: builtin!(@text $folder, "profile"),
        chapters: [$(builtin!(@text $folder, stringify!($chapter))),*],
    } };
    (@text $folder:literal, $file:expr) => {
        include_str!(concat!("../../../../assets/codes/", $folder, "/", $file, ".ron"))
    };
}

const BUILTIN: &[ProfileText<'static>] = builtin!("irc-2021", "ipc-2021", "upc-2021");

/// The figures of one code and edition.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    pub(super) name: String,
    code: String,
    edition: String,
    note: String,
    pub(super) figures: Vec<Figure>,
}

impl Profile {
    /// The profiles that come with the tool, by name.
    pub fn names() -> Vec<&'static str> {
        BUILTIN.iter().map(|text| text.folder).collect()
    }

    /// A profile that comes with the tool.
    pub fn builtin(name: &str) -> Option<Self> {
        let text = Self::builtin_text(name)?;
        Some(Self::read(&text).expect("a test reads every profile that comes with the tool"))
    }

    /// The text of a profile that comes with the tool.
    pub fn builtin_text(name: &str) -> Option<ProfileText<'static>> {
        BUILTIN.iter().find(|text| text.folder == name).copied()
    }

    /// Reads a profile from its texts.
    ///
    /// # Errors
    /// All faults of the first text that has any.
    pub fn read(text: &ProfileText<'_>) -> Result<Self, Faults> {
        let file = |name: &str| format!("{}/{name}.ron", text.folder);
        let head: Head = read_text(&file("profile"), text.profile)?;
        let mut figures: Vec<Figure> = Vec::new();
        for (chapter, text) in CHAPTERS.into_iter().zip(text.chapters) {
            let file = file(chapter);
            let read = read_chapter(&Written { chapter, file: &file, text }, &head)?;
            let twice = |figure: &&Figure| figures.iter().any(|f| f.key == figure.key);
            if let Some(figure) = read.iter().find(twice) {
                let message = format!("the figure `{}` stands in another chapter too", figure.key);
                let fault = Fault { span: Span::default(), path: String::new(), message, help: None };
                return Err(Faults { file, text: text.to_owned(), faults: vec![fault] });
            }
            figures.extend(read);
        }
        figures.sort_by(|a, b| a.key.cmp(&b.key));
        let Head { name, code, edition, note } = head;
        Ok(Self { name, code, edition, note, figures })
    }

    /// Its name, such as `irc-2021`.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The code, such as `IRC`.
    pub fn code(&self) -> &str {
        &self.code
    }

    /// The edition, such as `2021`.
    pub fn edition(&self) -> &str {
        &self.edition
    }

    /// What is to be known of the profile as a whole.
    pub fn note(&self) -> &str {
        &self.note
    }

    /// All figures, by key.
    pub fn figures(&self) -> &[Figure] {
        &self.figures
    }

    /// The figures of a chapter, in the order written.
    pub fn chapter(&self, chapter: &str) -> Vec<&Figure> {
        let mut figures: Vec<&Figure> = self.figures.iter().filter(|f| f.chapter == chapter).collect();
        figures.sort_by_key(|f| f.place);
        figures
    }

    /// A figure that every profile has; one that some code lacks is asked for with [`Profile::find`].
    pub fn figure(&self, key: &str) -> &Figure {
        self.find(key).unwrap_or_else(|| {
            panic!("the registry tests hold every profile to the keys of the rules: {key}")
        })
    }

    /// A figure, if the profile has it.
    pub fn find(&self, key: &str) -> Option<&Figure> {
        self.figures.binary_search_by(|f| f.key.as_str().cmp(key)).ok().map(|i| &self.figures[i])
    }

    /// Whether a vent may end in an air admittance valve: the code has them, and no local amendment takes them out.
    pub fn has_valves(&self) -> bool {
        self.find("valve-allowed").is_some_and(|figure| figure.value > 0.0)
    }

    /// A figure that depends on the pipe's size, such as `grade-min.3`; none for a size the code's table leaves out.
    pub fn for_size(&self, key: &str, size: NominalSize) -> Option<&Figure> {
        self.find(&format!("{key}.{size}"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use truefall_model::units::Grade;

    fn irc() -> Profile {
        Profile::builtin("irc-2021").expect("it comes with the tool")
    }

    #[test]
    fn every_profile_reads_under_its_own_name() {
        assert_eq!(Profile::names(), ["irc-2021", "ipc-2021", "upc-2021"]);
        for name in Profile::names() {
            let profile = Profile::builtin(name).expect("named");
            assert_eq!(profile.name(), name);
            let told: usize = CHAPTERS.iter().map(|chapter| profile.chapter(chapter).len()).sum();
            assert_eq!(told, profile.figures().len(), "every figure stands in a chapter");
        }
    }

    // IRC Table P3105.1 as charted by a builders' magazine; P3005.3 as an inspector quotes it.
    #[test]
    fn the_irc_says_what_is_published() {
        let irc = irc();
        let feet = |size| irc.for_size("trap-arm-length", size).map(|f| f.length().to_feet());
        assert_eq!(feet(NominalSize::ONE_AND_A_QUARTER), Some(5.0));
        assert_eq!(feet(NominalSize::ONE_AND_A_HALF), Some(6.0));
        assert_eq!(feet(NominalSize::TWO), Some(8.0));
        assert_eq!(feet(NominalSize::THREE), Some(12.0));
        assert_eq!(feet(NominalSize::FOUR), Some(16.0));
        let fall = |size| irc.for_size("grade-min", size).map(|f| f.grade());
        assert_eq!(fall(NominalSize::TWO_AND_A_HALF), Some(Grade::per_foot(0.25)));
        assert_eq!(fall(NominalSize::THREE), Some(Grade::percent(100.0 / 96.0)));
        assert_eq!(fall(NominalSize::EIGHT), None, "not a house size");
    }

    // R502.8.1 as worked in trade pages: 2-3/8 in holes for a 2x8 (7-1/4 deep), 3.08 for a 2x10, 3-3/4 for a 2x12.
    #[test]
    fn a_third_of_a_joist_comes_out_as_published() {
        let third = irc().figure("joist-bore").value;
        assert!((7.25 * third - 2.417).abs() < 5e-4 && 7.25 * third > 2.375);
        assert!((9.25 * third - 3.083).abs() < 5e-4);
        assert!(11.25 * third >= 3.75 - truefall_model::tolerance::SLACK);
    }

    fn values(profile: &str, key: &str, sizes: &[NominalSize]) -> Vec<f64> {
        let profile = Profile::builtin(profile).expect("it comes with the tool");
        sizes.iter().map(|size| profile.for_size(key, *size).map_or(f64::NAN, |f| f.value)).collect()
    }

    const TRAPS: [NominalSize; 5] = [
        NominalSize::ONE_AND_A_QUARTER,
        NominalSize::ONE_AND_A_HALF,
        NominalSize::TWO,
        NominalSize::THREE,
        NominalSize::FOUR,
    ];

    // IPC Table 909.1, charted by a builders' magazine; UPC Table 1002.2, from exam cards and a manual of calculations.
    #[test]
    fn trap_arms_are_those_of_the_tables() {
        assert_eq!(values("ipc-2021", "trap-arm-length", &TRAPS), [60.0, 72.0, 96.0, 144.0, 192.0]);
        assert_eq!(values("upc-2021", "trap-arm-length", &TRAPS), [30.0, 42.0, 60.0, 72.0, 120.0]);
    }

    // IPC Table 704.1 as a city code reproduces it; UPC 708.1 as exam cards have it.
    #[test]
    fn least_grades_are_those_of_the_tables() {
        assert_eq!(values("ipc-2021", "grade-min", &TRAPS), [0.25, 0.25, 0.25, 0.125, 0.125]);
        assert_eq!(values("ipc-2021", "grade-min", &[NominalSize::EIGHT]), [1.0 / 16.0]);
        assert_eq!(values("upc-2021", "grade-min", &TRAPS), [0.25; 5]);
    }

    // IRC P2603.2.1 and IPC 305.6 since 2015: 1-1/4 in; UPC 312.9: 1 in, 18 gage (0.0478 in, gage table of sheet steel).
    #[test]
    fn shields_differ_and_wood_is_the_residential_codes() {
        let cover = |name: &str| Profile::builtin(name).expect("named").figure("shield-cover").value;
        assert_eq!(["irc-2021", "ipc-2021", "upc-2021"].map(cover), [1.25, 1.25, 1.0]);
        let upc = Profile::builtin("upc-2021").expect("named");
        assert_eq!(upc.figure("stud-edge").source().to_string(), "IRC 2021 R602.6 (confirmed)");
        assert_eq!(upc.figure("shield-cover").source().to_string(), "UPC 2021 312.9 (secondary)");
        let wood = |p: &Profile| -> Vec<(String, f64)> {
            let own = |f: &&Figure| !f.key.starts_with("shield");
            p.figures()
                .iter()
                .filter(|f| f.chapter == "wood")
                .filter(own)
                .map(|f| (f.key.clone(), f.value))
                .collect()
        };
        assert_eq!(wood(&upc), wood(&irc()));
    }
}
