"""Rules about people: who examines, on whose authority, with which ties, and who looks again."""
