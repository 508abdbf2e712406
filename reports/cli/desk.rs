//! `shimcast desk` as typed.

use std::net::IpAddr;
use std::path::PathBuf;

use clap::Args;

const EXAMPLES: &str = "\
Examples:
  shimcast desk mine                     the files in \"mine\", in the browser of this machine
  shimcast desk mine --lan 192.168.1.20  for a phone at the bench as well: a code to type or scan
";

#[derive(Debug, Args)]
#[command(before_help = EXAMPLES)]
pub struct Desk {
    /// Folder of axle, shop and job files; an empty one offers the starter files.
    #[arg(default_value = ".", value_name = "FOLDER")]
    pub folder: PathBuf,
    /// Port to listen on; any free one where none is given.
    #[arg(long, value_name = "N", default_value_t = 0, hide_default_value = true)]
    pub port: u16,
    /// Do not open the browser.
    #[arg(long)]
    pub no_open: bool,
    /// Serve this address of the machine as well, for a phone in the same network, which is asked for a
    /// code. Nothing is encrypted on the way: use it in a network of your own.
    #[arg(long, value_name = "ADDRESS", value_parser = address)]
    pub lan: Option<IpAddr>,
}

fn address(text: &str) -> Result<IpAddr, String> {
    let wanted = "an address of this machine is wanted, e.g. 192.168.1.20";
    let address: IpAddr = text.parse().map_err(|_| wanted.to_owned())?;
    match address.is_unspecified() || address.is_multicast() || address.is_loopback() {
        true => Err(format!(
            "{wanted}, and not every one that there is or its own"
        )),
        false => Ok(address),
    }
}
