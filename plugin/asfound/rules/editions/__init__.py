"""Rules about editions: that what was issued is what still lies there, and that an amendment says why."""
