//! `shimcast generate` as typed, and what is made of the arguments themselves: completions and the manual
//! page.

use std::io::{self, Write};
use std::path::PathBuf;

use clap::{Args, Command, CommandFactory, Id, Subcommand, ValueEnum};
use clap_complete::Shell;
use clap_mangen::Man;

use super::Cli;
use crate::files::FileKind;

const EXAMPLES: &str = "\
Examples:
  shimcast generate completions bash     for your shell: commands, options, choices, file names
  shimcast generate man                  the manual page: read it with man -l
  shimcast generate schema axle          what editors complete and check axle files by
  shimcast generate reference            every key of the files
";

/// `shimcast generate`.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES)]
pub struct Generate {
    /// What to make.
    #[command(subcommand)]
    pub what: What,
    /// Write it to a file that must not exist yet; it is printed where none is given.
    #[arg(short, long, global = true, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

/// What can be made.
#[derive(Debug, Subcommand)]
pub enum What {
    /// What a file may say, as JSON Schema: editors complete its keys and check it by that.
    Schema {
        /// Which kind of file.
        #[arg(value_enum, value_name = "KIND")]
        kind: KindOfFile,
    },
    /// What a shell completes: commands, options, choices and file names.
    Completions {
        /// Which shell.
        #[arg(value_enum, value_name = "SHELL")]
        shell: Shell,
    },
    /// The manual page.
    Man,
    /// Every key of axle, shop and job files, as Markdown.
    Reference,
}

/// Kinds of files that are written by hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum KindOfFile {
    /// An axle.
    Axle,
    /// A shop.
    Shop,
    /// One axle on the bench.
    Job,
}

impl From<KindOfFile> for FileKind {
    fn from(kind: KindOfFile) -> Self {
        match kind {
            KindOfFile::Axle => Self::Axle,
            KindOfFile::Shop => Self::Shop,
            KindOfFile::Job => Self::Job,
        }
    }
}

/// What a shell completes.
pub fn completions(shell: Shell) -> String {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "shimcast", &mut script);
    String::from_utf8_lossy(&script).into_owned()
}

/// The manual page: the program, then every command.
pub fn man() -> String {
    let mut page = Vec::new();
    sections(&mut page).expect("memory takes what is written");
    String::from_utf8_lossy(&page).into_owned()
}

fn sections(out: &mut Vec<u8>) -> io::Result<()> {
    let mut program = Cli::command().subcommand_value_name("command");
    program.build();
    let page = Man::new(program.clone());
    page.render_title(out)?;
    page.render_name_section(out)?;
    page.render_synopsis_section(out)?;
    page.render_description_section(out)?;
    examples(&program, "SH", out)?;
    page.render_options_section(out)?;
    let everywhere: Vec<Id> = program
        .get_arguments()
        .map(|of| of.get_id().clone())
        .collect();
    commands(&program, &everywhere, out)?;
    page.render_extra_section(out)?;
    page.render_version_section(out)
}

/// A section for each command, and for those below it, without what every command takes.
fn commands(of: &Command, everywhere: &[Id], out: &mut Vec<u8>) -> io::Result<()> {
    for command in of.get_subcommands() {
        let bare = command.clone().mut_args(|argument| {
            let hidden = everywhere.contains(argument.get_id());
            argument.hide(hidden)
        });
        let name = bare.get_bin_name().unwrap_or_else(|| bare.get_name());
        writeln!(out, ".SH \"{}\"", name.to_uppercase())?;
        let mut section = Vec::new();
        let page = Man::new(bare.clone());
        page.render_description_section(&mut section)?;
        page.render_synopsis_section(&mut section)?;
        page.render_options_section(&mut section)?;
        // its headings are below that of the command
        let section = String::from_utf8_lossy(&section).replace(".SH DESCRIPTION\n", "");
        out.write_all(section.replace(".SH ", ".SS ").as_bytes())?;
        examples(&bare, "SS", out)?;
        commands(&bare, everywhere, out)?;
    }
    Ok(())
}

/// The examples at the head of a command's help, line by line.
fn examples(of: &Command, heading: &str, out: &mut Vec<u8>) -> io::Result<()> {
    let Some(help) = of.get_before_help() else {
        return Ok(());
    };
    let help = help.to_string().replace('\\', "\\\\").replace('-', "\\-");
    writeln!(out, ".{heading} EXAMPLES\n.nf")?;
    for line in help.lines().filter(|line| *line != "Examples:") {
        // a line that begins with a point would be a request
        let guard = if line.starts_with(['.', '\'']) {
            "\\&"
        } else {
            ""
        };
        writeln!(out, "{guard}{line}")?;
    }
    writeln!(out, ".fi")
}
