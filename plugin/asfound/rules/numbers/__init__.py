"""Rules about values, units and the conditions they were read under."""
