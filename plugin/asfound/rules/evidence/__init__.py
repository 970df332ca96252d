"""Rules about files, citations and the words of the text."""
