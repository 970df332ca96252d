"""Rules about the other parties: who they are, what they were told, and what they agreed to."""
