"""How fast the program is, measured against peers and floors: `python -m tests.bench`.

Every figure is a ratio of two medians taken in one run, the two sides in turn, so that a slow or busy machine slows
both. The times beside a ratio belong to the machine they were taken on and mean nothing elsewhere. Work inside this
process is counted in processor time, whole processes in elapsed time; nothing is pinned, and each side runs once
unmeasured before it counts.

A ratio above its bound makes the exit code 1. No test depends on a clock: `test_bench.py` runs the same parts on tiny
input and asks only that both sides find the same.
"""
