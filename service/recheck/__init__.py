"""The whole fleet judged again: which cars' safety findings are others than they were.

items (what there is to judge) -> chunks (work and results as files, so that nothing is done twice) -> judging (one build)
-> running (in processes of this machine, or by whoever takes from the queue) -> report.
"""
