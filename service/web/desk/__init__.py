"""The desk: the shop's pages, for what has to be overseen. Every page reads without a script."""
