//! The figures of vents held to the published tables: sizes, lengths, terminals, valves.

use truefall_check::Profile;

const ALL_CODES: &[&str] = &["irc-2021", "ipc-2021", "upc-2021"];
const I_CODES: &[&str] = &["irc-2021", "ipc-2021"];

fn profile(code: &str) -> Profile {
    Profile::builtin(code).unwrap_or_else(|| panic!("{code} comes with the tool"))
}

#[track_caller]
fn figure(code: &str, key: &str, value: f64) {
    let profile = profile(code);
    let found = profile.find(key).map(|f| f.value);
    assert_eq!(found, Some(value), "{code} {key}");
}

// IPC Table 906.1 as reproduced in a state's adoption of the 2015 edition: stack, units, vent, feet. A blank is not allowed.
#[test]
fn the_table_of_stack_vents_is_as_published() {
    type Row = (&'static str, u32, &'static [(&'static str, f64)]);
    let rows: &[Row] = &[
        ("1-1/4", 2, &[("1-1/4", 30.0)]),
        ("2-1/2", 42, &[("1-1/2", 30.0), ("2", 100.0), ("2-1/2", 300.0)]),
        ("3", 10, &[("1-1/2", 42.0), ("2", 150.0), ("2-1/2", 360.0), ("3", 1040.0)]),
        ("3", 21, &[("1-1/2", 32.0), ("2", 110.0), ("2-1/2", 270.0), ("3", 810.0)]),
        ("3", 53, &[("1-1/2", 27.0), ("2", 94.0), ("2-1/2", 230.0), ("3", 680.0)]),
        ("3", 102, &[("1-1/2", 25.0), ("2", 86.0), ("2-1/2", 210.0), ("3", 620.0)]),
        ("4", 43, &[("2", 35.0), ("2-1/2", 85.0), ("3", 250.0), ("4", 980.0)]),
        ("4", 140, &[("2", 27.0), ("2-1/2", 65.0), ("3", 200.0), ("4", 750.0)]),
        ("4", 320, &[("2", 23.0), ("2-1/2", 55.0), ("3", 170.0), ("4", 640.0)]),
        ("4", 540, &[("2", 21.0), ("2-1/2", 50.0), ("3", 150.0), ("4", 580.0)]),
    ];
    for (stack, units, vents) in rows {
        for (vent, feet) in *vents {
            figure("ipc-2021", &format!("stack-vent-length.{stack}.{units}.{vent}"), feet * 12.0);
        }
    }
    assert!(profile("ipc-2021").find("stack-vent-length.3.10.1-1/4").is_none());
    assert!(profile("irc-2021").find("stack-vent-length.3.10.1-1/2").is_none(), "the IRC has no such table");
}

// UPC Table 703.2, vent rows, as a county health department reproduces it.
#[test]
fn the_table_of_vent_sizes_is_as_published() {
    let rows = [
        ("1-1/4", 1.0, 45.0),
        ("1-1/2", 8.0, 60.0),
        ("2", 24.0, 120.0),
        ("2-1/2", 48.0, 180.0),
        ("3", 84.0, 212.0),
        ("4", 256.0, 300.0),
    ];
    for (size, units, feet) in rows {
        figure("upc-2021", &format!("vent-max-dfu.{size}"), units);
        figure("upc-2021", &format!("vent-max-length.{size}"), feet * 12.0);
    }
}

// Where vents end and what valves need: IRC P3103 and P3114 as a handbook and printed pages have them, IPC 904 and 918 as
// two cities print them, UPC 906 as forum quotations and field guides have it.
#[test]
fn terminals_and_valves_are_as_published() {
    for code in ALL_CODES {
        figure(code, "vent-above-roof", 6.0);
        figure(code, "vent-opening-away", 120.0);
        figure(code, "vent-opening-above", 36.0);
        figure(code, "vent-flat-over-rim", 6.0);
        figure(code, "vent-tie-over-rim", 6.0);
        figure(code, "vent-of-drain", 0.5);
        figure(code, "vent-least", 1.25);
    }
    for code in I_CODES {
        figure(code, "vent-frost-size", 3.0);
        figure(code, "vent-long", 480.0);
        figure(code, "valve-over-drain", 4.0);
        figure(code, "valve-over-rim", 6.0);
    }
    figure("upc-2021", "vent-frost-size", 2.0);
    figure("upc-2021", "closet-vent-least", 2.0);
    assert!(profile("upc-2021").find("valve-over-drain").is_none(), "the UPC's body has no such valves");
}
