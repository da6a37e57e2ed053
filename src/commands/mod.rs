//! The command line: one file per subcommand.
