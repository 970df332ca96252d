"""Rules about the plan: written first, followed, and covered."""
