"""What runs before a commit."""
