"""The command line: what is asked, what is said where, and with which exit code."""
