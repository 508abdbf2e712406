//! Tests of the program, by theme.
#![allow(missing_docs)]

mod accepted;
mod asked_again;
mod asking;
mod bad_input;
mod bad_places;
mod bad_sources;
mod bench;
mod borders;
mod browser;
mod customer;
mod decimals;
mod demo;
mod desk;
mod desk_drawer;
mod documents;
mod drawer_page;
mod explained;
mod figures;
mod finished;
mod forms;
mod forms_keys;
mod gear_sets;
mod generated;
mod given;
mod given_up;
mod job_files;
mod job_forms;
mod law;
mod learn;
mod luck;
mod made;
mod mutated;
mod next;
mod owner;
mod page;
#[allow(
    dead_code,
    reason = "the whole model, of which the comparison uses a part"
)]
mod plain;
mod program;
mod properties;
mod quoting;
mod rails;
mod reading;
mod report_files;
mod schemas;
mod script;
mod second_opinion;
mod sheet;
mod short_files;
mod singles;
mod slips;
mod stock;
mod stories;
mod sturdy;
mod sums;
mod sweeping;
mod tables;
mod telling;
mod terminal;
mod till;
mod used_up;
mod what_if;
mod whole_answers;
mod why;
