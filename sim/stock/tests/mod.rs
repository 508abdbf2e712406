//! Tests of the drawer.
