"""Rules about order: what must have happened before what, and what cannot have happened at all."""
