"""Rules about what was worked out: named, fed, grounded, and no further than it models."""
