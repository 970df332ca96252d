"""Rules about things: which there are, who held them when, under which seal."""
