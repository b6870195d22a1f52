//! Whatever happens to the program, the disk or the file: no acknowledged tap is lost, no figure is silently wrong.
//!
//! Each test writes to standard error how many runs it made and what came of them.
#![cfg(unix)]

#[path = "../common/mod.rs"]
mod common;
#[path = "../bundle/device.rs"]
#[allow(dead_code)] // the bundle test uses the rest
mod device;
#[path = "../terminal/pty.rs"]
#[allow(dead_code)] // the terminal test uses the rest
mod pty;

mod astray;
mod backups;
mod child;
mod clock;
mod damage;
mod disk;
mod full;
mod kills;
mod merges;
mod power;
mod screens;
mod sharing;
mod versions;
mod world;

use common::drafts;
