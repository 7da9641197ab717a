"""The bench: how much our pages cost beside the bare SQL of the same answer, and on ten times the data.

Everything is measured in one run on one machine and told as ratios; nothing here is asserted by a test. Each page is
measured in a process of its own, so that its peak memory is its own.
"""
