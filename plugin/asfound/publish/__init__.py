"""Floor 6¾: cases to the pages and files of a site, for whichever engine publishes them. Imports no engine."""
