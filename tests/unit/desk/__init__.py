"""The desk: what it writes, and above all what it leaves alone."""
