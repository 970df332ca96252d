"""What a case is: frozen records and values. Pure."""
