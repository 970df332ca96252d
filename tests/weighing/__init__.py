"""The weighing, held against nine narratives written before it was built."""
