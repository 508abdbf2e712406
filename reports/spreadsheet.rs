//! Lines of tables for a spreadsheet: comma-separated.

/// One line, cells quoted where they have to be.
pub fn line<S: AsRef<[u8]>>(cells: &[S]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let written = writer.write_record(cells);
    written.expect("memory can be written to");
    let bytes = writer.into_inner().expect("memory can be written to");
    String::from_utf8(bytes).expect("cells are text, and so are commas")
}

#[cfg(test)]
mod tests {
    use super::line;

    #[test]
    fn a_cell_is_quoted_where_it_has_to_be() {
        assert_eq!(
            line(&["0.10", "", "a, b", "3\" ring", "two\nlines", "µm"]),
            "0.10,,\"a, b\",\"3\"\" ring\",\"two\nlines\",µm\n"
        );
    }
}
