//! The program as people meet it: run as a process, in a folder of its own.

mod bench;
mod cables;
mod commands;
mod explain;
mod files;
mod json;
mod practice;
mod readme;
