//! The program as people meet it: run as a process, in a folder of its own.

mod atlas;
mod axes;
mod bench;
mod board;
mod buzz;
mod cables;
mod commands;
mod compare;
mod diagnose;
mod donor;
mod explain;
mod files;
mod fits;
mod json;
mod mends;
mod own;
mod play;
mod practice;
mod readme;
mod refusals;
mod shelf;
mod show;
mod survey;
mod switch;
mod timing;
mod two;
