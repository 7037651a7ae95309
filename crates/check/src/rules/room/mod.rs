//! Room for pipes between themselves and towards fixtures.
