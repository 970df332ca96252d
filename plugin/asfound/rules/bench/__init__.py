"""Rules about instruments and the bench they were used at."""
