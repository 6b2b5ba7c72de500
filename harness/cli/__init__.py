"""The command line: commands, machine formats, writing files."""
