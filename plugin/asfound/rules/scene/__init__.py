"""Rules about the as-found state: settings, and when they were written down."""
